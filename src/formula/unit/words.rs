//! Units written out in words, and words that could mean two units.

use std::collections::BTreeMap;
use std::sync::LazyLock;

/// Prefixes in words, with their signs.
const PREFIXES: [(&str, &str); 8] =
    [("", ""), ("pico", "p"), ("nano", "n"), ("micro", "u"), ("milli", "m"), ("centi", "c"), ("kilo", "k"), ("mega", "M")];

/// Metric units in words, in the singular, with their codes.
const METRIC: [(&str, &str); 20] = [
    ("amp", "A"),
    ("ampere", "A"),
    ("volt", "V"),
    ("ohm", "Ohm"),
    ("watt", "W"),
    ("volt-ampere", "V.A"),
    ("farad", "F"),
    ("coulomb", "C"),
    ("watt-hour", "W.h"),
    ("amp-hour", "A.h"),
    ("henry", "H"),
    ("joule", "J"),
    ("newton", "N"),
    ("pascal", "Pa"),
    ("bar", "bar"),
    ("meter", "m"),
    ("metre", "m"),
    ("gram", "g"),
    ("liter", "L"),
    ("litre", "L"),
];

/// Other units in words, each with the code.
const PLAIN: [(&str, &str); 86] = [
    ("second", "s"),
    ("seconds", "s"),
    ("secs", "s"),
    ("sec.", "s"),
    ("millisecond", "ms"),
    ("milliseconds", "ms"),
    ("minute", "min"),
    ("minutes", "min"),
    ("mins", "min"),
    ("min.", "min"),
    ("hour", "h"),
    ("hours", "h"),
    ("hrs", "h"),
    ("days", "d"),
    ("weeks", "wk"),
    ("hertz", "Hz"),
    ("kilohertz", "kHz"),
    ("megohm", "MOhm"),
    ("megohms", "MOhm"),
    ("kilohm", "kOhm"),
    ("kilohms", "kOhm"),
    ("mfd", "uF"),
    ("kilowatt hour", "kW.h"),
    ("kilowatt hours", "kW.h"),
    ("kilowatt-hours", "kW.h"),
    ("kwh", "kW.h"),
    ("horsepower", "[HP]"),
    ("in.", "[in_i]"),
    ("ft.", "[ft_i]"),
    ("yards", "[yd_i]"),
    ("sq. in.", "[sin_i]"),
    ("sq in.", "[sin_i]"),
    ("square inch", "[sin_i]"),
    ("square inches", "[sin_i]"),
    ("sq. ft.", "[sft_i]"),
    ("square foot", "[sft_i]"),
    ("circular mils", "[cml_i]"),
    ("cubic inches", "[cin_i]"),
    ("cu. ft.", "[cft_i]"),
    ("sq.in.", "[sin_i]"),
    ("sq.ft.", "[sft_i]"),
    ("sqft", "[sft_i]"),
    ("cu. in.", "[cin_i]"),
    ("cu.in.", "[cin_i]"),
    ("cu.ft.", "[cft_i]"),
    ("cuft", "[cft_i]"),
    ("cubic foot", "[cft_i]"),
    ("cubic feet per hour", "[cft_i]/h"),
    ("cubic feet per minute", "[cft_i]/min"),
    ("gallon", "[gal_us]"),
    ("gallons", "[gal_us]"),
    ("gallons per minute", "[gal_us]/min"),
    ("ounces", "[oz_av]"),
    ("pounds per square inch", "[psi]"),
    ("inch of water", "[in_i'H2O]"),
    ("inches of water column", "[in_i'H2O]"),
    ("inches water column", "[in_i'H2O]"),
    ("inches wc", "[in_i'H2O]"),
    ("inwc", "[in_i'H2O]"),
    ("btu per hr", "[Btu_IT]/h"),
    ("kbtu/h", "1000.[Btu_IT]/h"),
    ("tonne", "t"),
    ("tonnes", "t"),
    ("mole", "mol"),
    ("moles", "mol"),
    ("ounce", "[oz_av]"),
    ("grain", "[gr]"),
    ("grains", "[gr]"),
    ("yard", "[yd_i]"),
    ("quart", "[qt_us]"),
    ("quarts", "[qt_us]"),
    ("cubic inch", "[cin_i]"),
    ("circular mil", "[cml_i]"),
    ("feet per minute", "[ft_i]/min"),
    ("gallons per hour", "[gal_us]/h"),
    ("liters per minute", "L/min"),
    ("litres per minute", "L/min"),
    ("inhg", "[in_i'Hg]"),
    ("inh2o", "[in_i'H2O]"),
    ("kbtu", "1000.[Btu_IT]"),
    ("kbtuh", "1000.[Btu_IT]/h"),
    ("kbtu/hr", "1000.[Btu_IT]/h"),
    ("parts per million", "[ppm]"),
    ("degrees rankine", "[degR]"),
    ("kelvin", "K"),
    ("revolutions per minute", "{rev}/min"),
];

/// What a temperature's scale may be called.
const SCALES: [(&str, &str); 4] = [("f", "[degF]"), ("fahrenheit", "[degF]"), ("c", "Cel"), ("celsius", "Cel")];

/// Every spelling in words, in small letters, with its code.
static CODES: LazyLock<BTreeMap<String, String>> = LazyLock::new(|| {
    let mut codes: BTreeMap<String, String> = PLAIN.iter().map(|(word, code)| ((*word).to_owned(), (*code).to_owned())).collect();
    for (name, code) in METRIC {
        for (prefix, sign) in PREFIXES {
            for word in [format!("{prefix}{name}"), format!("{prefix}{name}s")] {
                codes.insert(word.replace('-', " "), format!("{sign}{code}"));
                codes.insert(word, format!("{sign}{code}"));
            }
        }
    }
    for (name, code) in SCALES {
        for degrees in ["deg", "deg.", "degree", "degrees"] {
            codes.insert(format!("{degrees} {name}"), code.to_owned());
        }
        if name.len() > 1 {
            codes.insert(name.to_owned(), code.to_owned());
        }
    }
    codes
});

/// The code of a unit that is written out in words, given in small letters with single spaces.
pub(super) fn code(words: &str) -> Option<&'static str> {
    CODES.get(words).map(String::as_str)
}

/// Every such spelling with its code.
pub(super) fn all() -> impl Iterator<Item = (&'static str, &'static str)> {
    CODES.iter().map(|(words, code)| (words.as_str(), code.as_str()))
}

/// What to write in place of a code that is taken for a temperature where it stands by itself.
pub(super) fn twofold(text: &str) -> Option<&'static str> {
    match text {
        "F" | "f" => Some("write `[degF]` or `°F` for a temperature, `farad` or `uF` for a capacitance"),
        "C" | "c" => Some("write `Cel` or `°C` for a temperature, `coulomb` or `mC` for a charge"),
        _ => None,
    }
}

/// What to write in place of words that say more than a unit, or could mean two; given in small letters with single spaces.
pub(super) fn instead(words: &str) -> Option<String> {
    let hint = match words {
        "awg" | "ga" | "ga." | "gauge" | "gage" | "wire gauge" | "wire gage" => "a wire gauge is a plain number: leave the unit out",
        "lb force" | "pound" | "pounds" | "#" => "write `lbf` for a force, `lb` for a mass",
        "mbtu" | "mbtu/h" | "mbtu/hr" | "mmbtu" | "mmbtu/h" | "mmbtuh" => {
            "`M` is a thousand to some and a million to others: write `MBH` for a thousand Btu/h, or the figure in `Btu/h`"
        }
        "mcf" | "mmcf" | "mcfh" | "mmcfh" => {
            "`M` is a thousand to some and a million to others: write `1000.[cft_i]` for a thousand cubic feet, or the figure in `ccf`"
        }
        "scfm" | "acfm" => "write the unit alone, `cfm`; standard or actual belongs in the title",
        "scfh" | "acfh" => "write the unit alone, `cfh`; standard or actual belongs in the title",
        "scf" => "write the unit alone, `cf`; standard or actual belongs in the title",
        "cal" | "kcal" | "calorie" | "calories" | "kcal/h" => {
            "a calorie is 4.1868 J to some and 4.184 J to others: write `cal_IT` or `kcal_IT` for the first, or the figure in `J`"
        }
        "ton" | "tons" => "write `12000.[Btu_IT]/h` for a ton of cooling, `2000.[lb_av]` for a short ton, `t` for a metric one",
        "yr" | "yrs" | "year" | "years" | "mo" | "month" | "months" => "months and years differ in length: write the figure in `d` or `wk`",
        "ft lb" | "ft-lb" | "ft lbs" | "ft-lbs" | "lb ft" | "lb-ft" | "ft lbf" | "ft-lbf" | "foot pounds" | "foot-pounds" => {
            "a product is written with a point, a pound of force as `lbf`: `ft.lbf`"
        }
        "in lb" | "in-lb" | "in lbs" | "in-lbs" | "lb in" | "lb-in" | "in lbf" | "in-lbf" | "inch pounds" | "inch-pounds" => {
            "a product is written with a point, a pound of force as `lbf`: `in.lbf`"
        }
        "mmhg" | "mm hg" => "write `mm[Hg]`",
        "degree" | "degrees" | "deg" | "°" => "write `°F` or `°C` for a temperature, `F°` or `K` for a difference of two",
        "\"" => "write `in` for inches",
        "'" => "write `ft` for feet",
        "\"wc" | "\" wc" | "\"w.c." | "\" w.c." => "write `in. w.c.`",
        "none" | "n/a" | "no unit" | "-" => "a plain number has no unit: leave the unit out",
        _ => return with_a_remark(words),
    };
    Some(hint.to_owned())
}

/// Units that a remark on the current or the pressure follows.
const REMARKED: [(&str, &str); 11] = [
    ("v", "V"),
    ("mv", "mV"),
    ("a", "A"),
    ("ma", "mA"),
    ("ua", "uA"),
    ("µa", "uA"),
    ("psi", "psi"),
    ("pa", "Pa"),
    ("kpa", "kPa"),
    ("bar", "bar"),
    ("mbar", "mbar"),
];

/// `volts dc`, `VAC`, `psig`, `kPa abs`: the unit carries a remark on what is measured.
fn with_a_remark(words: &str) -> Option<String> {
    const CURRENTS: [&str; 4] = ["dc", "ac", "true rms", "rms"];
    const PRESSURES: [&str; 6] = ["gauge", "gage", "absolute", "abs", "g", "a"];
    let unit = |remark: &str| {
        let unit = words.strip_suffix(remark)?.trim_end();
        let short = REMARKED.iter().find(|(word, _)| *word == unit).map(|(_, code)| *code);
        short.or_else(|| code(unit)).filter(|code| code.ends_with('V') || code.ends_with('A') || PRESSURES.contains(&remark))
    };
    let hint = |unit, what| format!("write the unit alone, `{unit}`; {what} belongs in the title");
    let current = CURRENTS.iter().find_map(|remark| unit(remark)).map(|unit| hint(unit, "AC or DC"));
    current.or_else(|| PRESSURES.iter().find_map(|remark| unit(remark)).map(|unit| hint(unit, "gauge or absolute")))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::formula::Unit;

    #[test]
    fn words_mean_their_codes() {
        for (word, code) in CODES.iter() {
            assert_eq!(Unit::parse(word).ok(), Unit::code(code).ok(), "{word}");
            assert!(Unit::code(code).is_ok(), "{code}");
        }
    }

    #[test]
    fn words_with_a_remark_are_told_which_unit_to_write() {
        for (word, unit) in [
            ("vdc", "V"),
            ("volts ac", "V"),
            ("ma dc", "mA"),
            ("microamps dc", "uA"),
            ("psig", "psi"),
            ("psia", "psi"),
            ("kpa gauge", "kPa"),
            ("pa abs", "Pa"),
        ] {
            assert!(instead(word).is_some_and(|hint| hint.contains(&format!("`{unit}`"))), "{word}: {:?}", instead(word));
        }
        assert_eq!(instead("flags"), None);
        assert_eq!(instead("hertzdc"), None);
    }
}
