//! Units against an outside library and against published figures.

use bluecone::formula::{Dimension, Unit, known_units, spellings};
use uom::si::f64::*;
use uom::si::{
    area::square_foot, electric_charge, electric_current::microampere, electrical_resistance::megaohm, energy, energy::btu_it,
    force::pound_force, length, mass::pound, mass_density, power, pressure, thermodynamic_temperature as temperature, time, velocity,
    volume, volume_rate,
};

fn unit(text: &str) -> Unit {
    Unit::parse(text).unwrap_or_else(|error| panic!("{text}: {error:?}"))
}

fn near(found: f64, expected: f64, relative: f64) -> bool {
    (found - expected).abs() <= relative * expected.abs()
}

#[test]
fn conversions_agree_with_uom() {
    let cases: Vec<(&str, f64, f64)> = vec![
        ("[in_i]", 3.7, Length::new::<length::inch>(3.7).value),
        ("ft", 3.7, Length::new::<length::foot>(3.7).value),
        ("[yd_i]", 3.7, Length::new::<length::yard>(3.7).value),
        ("[mi_i]", 3.7, Length::new::<length::mile>(3.7).value),
        ("[sft_i]", 3.7, Area::new::<square_foot>(3.7).value),
        ("ft³", 3.7, Volume::new::<volume::cubic_foot>(3.7).value),
        ("[gal_us]", 3.7, Volume::new::<volume::gallon>(3.7).value),
        ("cfm", 3.7, VolumeRate::new::<volume_rate::cubic_foot_per_minute>(3.7).value),
        ("[lb_av]", 3.7, Mass::new::<pound>(3.7).value),
        ("[lbf_av]", 3.7, Force::new::<pound_force>(3.7).value),
        ("psi", 3.7, Pressure::new::<pressure::pound_force_per_square_inch>(3.7).value),
        ("kPa", 3.7, Pressure::new::<pressure::kilopascal>(3.7).value),
        ("mbar", 3.7, Pressure::new::<pressure::millibar>(3.7).value),
        ("atm", 3.7, Pressure::new::<pressure::atmosphere>(3.7).value),
        ("Btu", 3.7, Energy::new::<btu_it>(3.7).value),
        ("W", 3.7, Power::new::<power::watt>(3.7).value),
        ("µA", 3.7, ElectricCurrent::new::<microampere>(3.7).value),
        ("MΩ", 3.7, ElectricalResistance::new::<megaohm>(3.7).value),
        ("min", 3.7, Time::new::<time::minute>(3.7).value),
        ("d", 3.7, Time::new::<time::day>(3.7).value),
        ("ccf", 3.7, Volume::new::<volume::cubic_foot>(370.0).value),
        ("gph", 3.7, (Volume::new::<volume::gallon>(3.7) / Time::new::<time::hour>(1.0)).value),
        ("lpm", 3.7, VolumeRate::new::<volume_rate::liter_per_minute>(3.7).value),
        ("fpm", 3.7, Velocity::new::<velocity::foot_per_minute>(3.7).value),
        ("Wh", 3.7, Energy::new::<energy::watt_hour>(3.7).value),
        ("Ah", 3.7, ElectricCharge::new::<electric_charge::ampere_hour>(3.7).value),
        ("mAh", 3.7, ElectricCharge::new::<electric_charge::milliampere_hour>(3.7).value),
        ("lb/cu ft", 3.7, MassDensity::new::<mass_density::pound_per_cubic_foot>(3.7).value),
        ("°F", 70.0, ThermodynamicTemperature::new::<temperature::degree_fahrenheit>(70.0).value),
        ("°C", -40.0, ThermodynamicTemperature::new::<temperature::degree_celsius>(-40.0).value),
    ];
    for (text, number, expected) in cases {
        let unit = unit(text);
        // The outside library has these factors rounded to seven figures.
        let relative = if matches!(text, "ft³" | "ccf" | "gph" | "lb/cu ft" | "[gal_us]" | "cfm" | "[lb_av]" | "[lbf_av]" | "psi" | "Btu")
        {
            5e-7
        } else {
            1e-12
        };
        assert!(near(unit.to_base(number), expected, relative), "{text}: {} against {expected}", unit.to_base(number));
        assert!(near(unit.from_base(expected), number, relative), "{text} back");
    }
}

/// NIST Special Publication 811 (2008), appendix B.8, to the seven figures printed there; the inch of mercury, whose conventional
/// value differs there from the fifth figure on, is that of the UCUM specification.
#[test]
fn factors_are_the_published_ones() {
    let cases = [
        ("[in_i]", 2.54e-2, 1e-15),
        ("[mil_i]", 2.54e-5, 1e-15),
        ("[cml_i]", 5.067075e-10, 2e-7),
        ("[in_i'H2O]", 2.490889e2, 2e-7),
        ("[in_i'Hg]", 3386.3788, 1e-15),
        ("[psi]", 6.894757e3, 2e-7),
        ("[Btu_IT]", 1.05505585262e3, 1e-15),
        ("[Btu_IT]/h", 2.930711e-1, 2e-7),
        ("[Btu_IT]/[cft_i]", 3.725895e4, 2e-7),
        ("[Btu_IT]/[lb_av]", 2.326e3, 1e-12),
        ("[HP]", 7.456999e2, 2e-7),
        ("[cft_i]/min", 4.719474e-4, 2e-7),
        ("[gal_us]/min", 6.309020e-5, 2e-7),
        ("[lbf_av]", 4.448222, 2e-7),
        ("[oz_av]", 2.834952e-2, 2e-7),
        ("kW.h", 3.6e6, 1e-15),
    ];
    for (text, expected, relative) in cases {
        assert!(near(unit(text).to_base(1.0), expected, relative), "{text}: {}", unit(text).to_base(1.0));
    }
    assert_eq!(unit("[in_i'H2O]").to_base(1.0), 249.08891);
    assert_eq!(unit("uA").to_base(5.0), 5e-6);
    assert!(near(unit("[degF]").to_base(212.0), 373.15, 1e-15));
    assert_eq!(unit("Cel").from_base(unit("[degF]").to_base(-40.0)).round(), -40.0);
}

#[test]
fn trade_spellings_mean_their_codes() {
    let pairs = [
        ("in. w.c.", "[in_i'H2O]", "in. w.c."),
        ("IN WC", "[in_i'H2O]", "in. w.c."),
        ("Btu/h", "[Btu_IT]/h", "Btu/h"),
        ("BTU/h", "[Btu_IT]/h", "Btu/h"),
        ("BTUH", "[Btu_IT]/h", "Btu/h"),
        ("MBH", "1000.[Btu_IT]/h", "MBH"),
        ("µA", "uA", "µA"),
        ("μA", "uA", "µA"),
        ("uA", "uA", "µA"),
        ("°F", "[degF]", "°F"),
        ("°C", "Cel", "°C"),
        ("F°", "[degR]", "F°"),
        ("delta [degF]", "[degR]", "F°"),
        ("ft³", "[cft_i]", "ft³"),
        ("cfh", "[cft_i]/h", "ft³/h"),
        ("ft³/h", "[cft_i]/h", "ft³/h"),
        ("cfm", "[cft_i]/min", "ft³/min"),
        ("VA", "V.A", "VA"),
        ("V.A", "V.A", "VA"),
        ("kVA", "kV.A", "kVA"),
        ("kΩ", "kOhm", "kΩ"),
        ("MΩ", "MOhm", "MΩ"),
        ("V/uA", "V/uA", "V/µA"),
        ("m3/h", "m3/h", "m³/h"),
        ("m.s-2", "m.s-2", "m·s⁻²"),
        ("Ω/1000 ft", "Ohm/(1000.[ft_i])", "Ω/1000 ft"),
        ("Btu/h/°F", "[Btu_IT]/h/[degR]", "Btu/h/F°"),
        ("microamps", "uA", "µA"),
        ("Milliamps", "mA", "mA"),
        ("degrees F", "[degF]", "°F"),
        ("deg C", "Cel", "°C"),
        ("inches of water column", "[in_i'H2O]", "in. w.c."),
        ("kiloohms", "kOhm", "kΩ"),
        ("megohms", "MOhm", "MΩ"),
        ("seconds", "s", "s"),
        ("square inches", "[sin_i]", "in²"),
        ("cubic feet per hour", "[cft_i]/h", "ft³/h"),
        ("MFD", "uF", "µF"),
        ("volt-amperes", "V.A", "VA"),
        ("ccf", "100.[cft_i]", "ccf"),
        ("CCF", "100.[cft_i]", "ccf"),
        ("gph", "[gal_us]/h", "gal/h"),
        ("lpm", "L/min", "L/min"),
        ("LPM", "L/min", "L/min"),
        ("fpm", "[ft_i]/min", "ft/min"),
        ("Wh", "W.h", "W·h"),
        ("kWh", "kW.h", "kW·h"),
        ("MWh", "MW.h", "MW·h"),
        ("mWh", "mW.h", "mW·h"),
        ("Ah", "A.h", "A·h"),
        ("mAh", "mA.h", "mA·h"),
        ("farad", "F", "F"),
        ("coulombs", "C", "C"),
        ("1/gpm", "1/([gal_us]/min)", "1/(gal/min)"),
        ("cfm/sq ft", "[cft_i]/min/[sft_i]", "ft³/min/ft²"),
        ("lb/cu ft", "[lb_av]/[cft_i]", "lb/ft³"),
        ("lb/Cu. Ft.", "[lb_av]/[cft_i]", "lb/ft³"),
        ("btuh/ft2", "[Btu_IT]/h/[sft_i]", "Btu/h/ft²"),
        ("MBH/sq ft", "1000.[Btu_IT]/h/[sft_i]", "1000·Btu/h/ft²"),
        ("in. w.c./(100.[ft_i])", "[in_i'H2O]/(100.[ft_i])", "in. w.c./(100·ft)"),
        ("in.w.c./s", "[in_i'H2O]/s", "in. w.c./s"),
        ("s.in. w.c./ft.", "s.[in_i'H2O]/[ft_i]", "s·in. w.c./ft"),
        ("in. w.c.s", "[in_i'H2O].s", "in. w.c.·s"),
        ("(sq ft.s)/GAL", "([sft_i].s)/[gal_us]", "(ft²·s)/gal"),
        ("s/(ft.)", "s/([ft_i])", "s/(ft)"),
        ("W/VA", "W/(V.A)", "W/VA"),
        ("1/kWh", "1/(kW.h)", "1/(kW·h)"),
        ("W/sq.ft.", "W/[sft_i]", "W/ft²"),
        ("ft.lbf", "[ft_i].[lbf_av]", "ft·lbf"),
        ("KV.A", "kV.A", "kVA"),
        ("ºF", "[degF]", "°F"),
        ("kBtu", "1000.[Btu_IT]", "1000·Btu"),
        ("1", "1", ""),
    ];
    for (text, code, shown) in pairs {
        let unit = unit(text);
        assert_eq!((unit.ucum(), unit.shown()), (code, shown), "{text}");
    }
    assert!(unit("°F").is_point() && !unit("K").is_point() && !unit("Btu/h/°F").is_point());
    assert_eq!(unit("[ppm]").dimension(), Dimension::NONE);
    assert_eq!(unit("V.A").dimension(), unit("W").dimension());
    assert!(near(unit("[psi]/[in_i'H2O]").to_base(1.0), 27.679905, 1e-6));
}

#[test]
fn letter_case_does_not_count_where_only_one_unit_can_be_meant() {
    let pairs = [
        ("PSI Psi psi", "[psi]"),
        ("Feet FEET FT Ft ft", "[ft_i]"),
        ("Inch INCH IN In in", "[in_i]"),
        ("Gal GAL gal", "[gal_us]"),
        ("Therm THERMS", "[therm]"),
        ("LB Lb LBS", "[lb_av]"),
        ("Lbf LBF", "[lbf_av]"),
        ("OZ Oz", "[oz_av]"),
        ("SEC Sec", "s"),
        ("HR Hr", "h"),
        ("MIN Min", "min"),
        ("Percent PERCENT", "%"),
        ("PPM Ppm", "[ppm]"),
        ("CF Cf cf", "[cft_i]"),
        ("CMIL Cmil", "[cml_i]"),
        ("degf DegF DEGF °f °F", "[degF]"),
        ("degc °c", "Cel"),
        ("f° F°", "[degR]"),
        ("FT2 Ft²", "[sft_i]"),
        ("va Va", "V.A"),
        ("KVA kva", "kV.A"),
        ("KW Kw kw", "kW"),
        ("HZ hz", "Hz"),
        ("KHZ", "kHz"),
        ("KPA kpa", "kPa"),
        ("KOHM Kohm", "kOhm"),
        ("WH wh", "W.h"),
        ("AH ah", "A.h"),
        ("KWH kwh", "kW.h"),
        ("GPM CFM GPH Gpm", ""),
    ];
    for (spellings, code) in pairs {
        for spelling in spellings.split(' ') {
            let small = unit(&spelling.to_lowercase());
            assert_eq!(unit(spelling), small, "{spelling}");
            assert!(code.is_empty() || small.ucum() == code, "{spelling} is {}", small.ucum());
        }
    }
    // Where the case tells units apart, each is itself or none.
    for (one, other) in
        [("mV", "MV"), ("mW", "MW"), ("mbar", "Mbar"), ("s", "S"), ("pA", "Pa"), ("mA", "MA"), ("cf", "cF"), ("ah", "aH"), ("h", "H")]
    {
        assert_ne!(unit(one), unit(other), "{one} and {other}");
    }
    for text in ["a", "v", "w", "ma", "MOHM", "mhz", "MM", "pa", "PA?", "MAH", "K W", "UA", "CEL", "[PSI]", "PSI2x"] {
        assert!(Unit::parse(text).is_err() && Unit::known(text).is_none(), "{text}");
    }
}

/// A reading as farads or coulombs would be taken for a temperature.
#[test]
fn a_bare_f_or_c_is_refused() {
    for (text, written) in [("F", "`[degF]` or `°F`"), ("C", "`Cel` or `°C`"), (" F ", "`uF`"), ("C", "`mC`"), ("f", "`°F`"), ("c", "`°C`")]
    {
        let wrong = Unit::parse(text).unwrap_err();
        assert_eq!(wrong.message, format!("`{}` by itself could mean two units", text.trim()));
        assert!(wrong.hint.unwrap().contains(written), "{text}");
        assert_eq!(Unit::known(text), None, "{text}");
    }
    for (text, dimension) in [("uF", "farad"), ("1000.mF", "farad"), ("mC", "coulomb"), ("C/s", "A"), ("V.F", "coulomb")] {
        assert_eq!(unit(text).dimension(), unit(dimension).dimension(), "{text}");
    }
    assert!(bluecone::formula::spellings().all(|known| known != "F" && known != "C"));
}

#[test]
fn every_listed_spelling_is_read_and_round_trips() {
    for text in spellings() {
        let read = unit(text);
        if !["F", "C"].contains(&read.ucum()) {
            assert_eq!(unit(read.ucum()), read, "{text} by its code {}", read.ucum());
        }
    }
    for (code, shown, _) in known_units() {
        if !["F", "C", "10*", "10^", "[ppth]", "[g]", "m[H2O]", "m[Hg]", "[Btu_th]", "[pi]", "cal_IT"].contains(&code) {
            assert_eq!(unit(shown).dimension(), unit(code).dimension(), "{shown} for {code}");
        }
    }
}

/// `50%5` is a slip of the thumb.
#[test]
fn percent_has_no_powers() {
    assert!(Unit::parse("%5").is_err() && Unit::parse("%0").is_err() && Unit::parse("%2/s").is_err());
    assert!(Unit::parse("%").is_ok() && Unit::parse("%/s").is_ok());
}

#[test]
fn wrong_units_are_refused_with_a_hint() {
    let cases = [
        ("inwcc", "did you mean `inwc`?"),
        ("microampss", "did you mean `microamps`?"),
        ("volts dc", "write the unit alone, `V`; AC or DC belongs in the title"),
        ("psig", "write the unit alone, `psi`; gauge or absolute belongs in the title"),
        ("pounds", "write `lbf` for a force, `lb` for a mass"),
        ("degrees", "write `°F` or `°C` for a temperature, `F°` or `K` for a difference of two"),
        ("gauge", "a wire gauge is a plain number: leave the unit out"),
        ("Vlt", "did you mean `volt`?"),
        ("AWG", "a wire gauge is a plain number: leave the unit out"),
        ("1/btu per hour", "`btu per hour` stands only by itself; inside a longer unit write `([Btu_IT]/h)`"),
        ("m^2", "write `m2` or `m²`"),
        ("m**2", "write `m2` or `m²`"),
        ("m.s^-2", "write `m.s-2` or `m.s⁻²`"),
        ("kg m2", "a product is written with a point: `kg.m2`"),
        ("kW*h", "a product is written with a point: `kW.h`"),
        ("kW-h", "a product is written with a point: `kW.h`"),
        ("ft lb", "a product is written with a point, a pound of force as `lbf`: `ft.lbf`"),
        ("V / uA", "write it without spaces: `V/uA`"),
        ("ma", "small and large letters count: did you mean `mA` or `MA`?"),
        ("MOHM", "small and large letters count: did you mean `mOhm` or `MOhm`?"),
        ("v", "did you mean `V`?"),
        ("spi", "did you mean `psi`?"),
        ("But", "did you mean `BTU`?"),
        ("Ohmm", "did you mean `Ohm`?"),
        ("kVv", "did you mean `kV`?"),
        ("gpmm", "did you mean `gpm`?"),
        ("Nm", "a product is written with a point: `N.m`"),
        ("W/m2K", "a product is written with a point: `W/(m2.K)`"),
        ("Btu/h ft2 F", "a product is written with a point: `Btu/(h.ft2.F)`; in it `F` is the farad, a degree is `F°`"),
        ("º", "write `°F` or `°C` for a temperature, `F°` or `K` for a difference of two"),
        ("V . A", "write it without spaces: `V.A`"),
        ("Btu/h ft2", "a product is written with a point: `Btu/(h.ft2)`"),
        ("in. w.c./100 ft", "a product is written with a point: `in. w.c./(100.ft)`"),
        ("deg F/min", "write `K` or `[degR]` for a temperature difference"),
        ("scfm", "write the unit alone, `cfm`; standard or actual belongs in the title"),
        ("yr", "months and years differ in length: write the figure in `d` or `wk`"),
        (
            "Mcf",
            "`M` is a thousand to some and a million to others: write `1000.[cft_i]` for a thousand cubic feet, or the figure in `ccf`",
        ),
        ("kcal", "a calorie is 4.1868 J to some and 4.184 J to others: write `cal_IT` or `kcal_IT` for the first, or the figure in `J`"),
        ("W/[degF]", "write `K` or `[degR]` for a temperature difference"),
    ];
    let given = |text: &str| Unit::parse(text).map_or_else(|wrong| wrong.hint.unwrap_or_default(), |_| "a unit".into());
    let wrong: Vec<_> = cases.iter().map(|(text, hint)| (text, given(text), hint)).filter(|(_, given, hint)| given != *hint).collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
    // A letter more or less in a short word makes another quantity or size, so nothing is offered.
    for text in ["gpx", "cfq", "xh", "kgal", "mgal", "ccfh", "x", "1/gpx", "rh", "db", "kvar", "{note}uA", "m(s)"] {
        assert_eq!(Unit::parse(text).unwrap_err().hint, None, "{text}");
    }
    for text in [
        "",
        " ",
        "007.m",
        "VA2",
        "gpm(s)",
        "ft..s",
        "in. w.c..",
        ".",
        "/",
        "m..s",
        "m/",
        "(m",
        "m)",
        "{note",
        "{note}uA",
        "m99",
        "0",
        "mCel",
        "[in_i",
        "k[psi]",
        "m(s)",
        &"m.".repeat(200),
        "m18.m18.m18.m18.m18.m18.m18.m18",
    ] {
        assert!(Unit::parse(text).is_err(), "{text}");
    }
}

/// What the guide's table lists is read, and what it says of small and large letters holds.
#[test]
fn the_table_of_the_guide_holds() {
    let page = include_str!("../../content/guide/16-units.md");
    let rows: Vec<Vec<&str>> = page.lines().filter(|line| line.starts_with("| ")).map(|line| line.split('|').collect()).collect();
    let mut accepted = 0;
    for row in &rows[1..] {
        let spelled = |at: usize| row[at].split('`').skip(1).step_by(2);
        let codes: Vec<Unit> = spelled(2).map(unit).collect();
        for (code, text) in codes.iter().zip(spelled(2)) {
            assert_eq!(code.ucum(), text);
        }
        for text in spelled(3) {
            let read = unit(text);
            assert!(codes.iter().any(|code| code.fits(&read)), "{text}");
            accepted += 1;
            let of_a_code = text.contains(['µ', 'Ω', '²', '³']) || text == "mAh" || (text.contains('.') && text.ends_with("lbf"));
            for other in [text.to_uppercase(), text.to_lowercase()] {
                assert!(of_a_code || unit(&other) == read, "{other} for {text}");
            }
        }
        for text in row[4].split(", ").map(str::trim) {
            assert!(codes.iter().any(|code| code.fits(&unit(text))), "{text}");
        }
    }
    assert!(rows.len() > 20 && accepted > 60, "{} {accepted}", rows.len());
}

/// Every spelling with a slip in it: whatever a hint names is a unit, and not what was written.
#[test]
fn what_a_hint_names_is_read() {
    let mut named = 0;
    for spelling in spellings() {
        let letters: Vec<char> = spelling.chars().collect();
        let at = letters.len() / 2;
        let (start, end): (String, String) = (letters[..at].iter().collect(), letters[at..].iter().collect());
        for text in
            [format!("{start}{}", &end[end.chars().next().unwrap().len_utf8()..]), format!("{start}x{end}"), format!("{start} {end}")]
        {
            for text in [text.clone(), format!("m/{text}"), format!("{text}.s^2")] {
                let Some(hint) = Unit::parse(&text).err().and_then(|wrong| wrong.hint) else { continue };
                for name in hint.split('`').skip(1).step_by(2).filter(|name| !hint.contains("cal_IT") && !["M", "F", "C"].contains(name)) {
                    named += 1;
                    assert!(Unit::parse(name).is_ok() || hint.starts_with(&format!("`{name}` stands only by itself")), "{text}: {hint}");
                    assert_ne!(name, text, "{hint}");
                }
            }
        }
    }
    assert!(named > 500, "{named}");
}
