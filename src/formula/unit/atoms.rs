//! The units that Bluecone knows: UCUM codes with exact factors, and the trade's spellings.
//!
//! Factors are those of the UCUM specification, which follow NIST SP 811 and the international yard and pound of 1959.
//! The inch of water is the conventional one (1000 kg/m³, 9.80665 m/s²: 249.08891 Pa); the inch of mercury is UCUM's
//! (13.5951 rounded to 133.322 kPa for a metre). `[therm]` and `[degR]`'s shown form are the trade's, not UCUM's.

use crate::formula::dimension::Dimension;

/// One unit without prefix.
pub(super) struct Atom {
    pub(super) code: &'static str,
    /// Takes the SI prefixes.
    pub(super) metric: bool,
    pub(super) dimension: Dimension,
    /// SI base units in one of this unit: a decimal or a quotient of two.
    pub(super) factor: &'static str,
    /// As pages show it.
    pub(super) shown: &'static str,
    /// Other spellings that are accepted in the place of the code.
    pub(super) trade: &'static [&'static str],
}

/// Prefix, power of ten.
pub(super) const PREFIXES: &[(&str, i32)] = &[
    ("da", 1),
    ("Y", 24),
    ("Z", 21),
    ("E", 18),
    ("P", 15),
    ("T", 12),
    ("G", 9),
    ("M", 6),
    ("k", 3),
    ("h", 2),
    ("d", -1),
    ("c", -2),
    ("m", -3),
    ("u", -6),
    ("n", -9),
    ("p", -12),
    ("f", -15),
    ("a", -18),
    ("z", -21),
    ("y", -24),
];

const fn atom(
    code: &'static str,
    metric: bool,
    powers: [i8; 7],
    factor: &'static str,
    shown: &'static str,
    trade: &'static [&'static str],
) -> Atom {
    Atom { code, metric, dimension: Dimension::of(powers), factor, shown, trade }
}

const PLAIN: [i8; 7] = [0; 7];
const LENGTH: [i8; 7] = [1, 0, 0, 0, 0, 0, 0];
const AREA: [i8; 7] = [2, 0, 0, 0, 0, 0, 0];
const VOLUME: [i8; 7] = [3, 0, 0, 0, 0, 0, 0];
const MASS: [i8; 7] = [0, 1, 0, 0, 0, 0, 0];
const TIME: [i8; 7] = [0, 0, 1, 0, 0, 0, 0];
const WARMTH: [i8; 7] = [0, 0, 0, 0, 1, 0, 0];
const CHARGE: [i8; 7] = [0, 0, 1, 1, 0, 0, 0];
const FORCE: [i8; 7] = [1, 1, -2, 0, 0, 0, 0];
const PRESSURE: [i8; 7] = [-1, 1, -2, 0, 0, 0, 0];
const ENERGY: [i8; 7] = [2, 1, -2, 0, 0, 0, 0];
const POWER: [i8; 7] = [2, 1, -3, 0, 0, 0, 0];

/// Every unit, the usual ones of the trade among them; codes are unique.
pub(super) const ATOMS: &[Atom] = &[
    // SI units and the units accepted with them.
    atom("m", true, LENGTH, "1", "m", &[]),
    atom("g", true, MASS, "0.001", "g", &[]),
    atom("t", true, MASS, "1000", "t", &[]),
    atom("s", true, TIME, "1", "s", &["sec"]),
    atom("min", false, TIME, "60", "min", &["min"]),
    atom("h", false, TIME, "3600", "h", &["hr"]),
    atom("d", false, TIME, "86400", "d", &["day"]),
    atom("wk", false, TIME, "604800", "wk", &["wk", "week"]),
    atom("A", true, [0, 0, 0, 1, 0, 0, 0], "1", "A", &["amp", "amps", "ampere", "amperes"]),
    atom("K", true, WARMTH, "1", "K", &["C°"]),
    atom("mol", true, [0, 0, 0, 0, 0, 1, 0], "1", "mol", &[]),
    atom("cd", true, [0, 0, 0, 0, 0, 0, 1], "1", "cd", &[]),
    atom("V", true, [2, 1, -3, -1, 0, 0, 0], "1", "V", &["volt", "volts"]),
    atom("Ohm", true, [2, 1, -3, -2, 0, 0, 0], "1", "Ω", &["ohm", "ohms"]),
    atom("S", true, [-2, -1, 3, 2, 0, 0, 0], "1", "S", &[]),
    // By itself `F` or `C` is taken for a temperature, so they are written out.
    atom("F", true, [-2, -1, 4, 2, 0, 0, 0], "1", "F", &["farad", "farads"]),
    atom("C", true, CHARGE, "1", "C", &["coulomb", "coulombs"]),
    atom("H", true, [2, 1, -2, -2, 0, 0, 0], "1", "H", &[]),
    atom("W", true, POWER, "1", "W", &["watt", "watts"]),
    atom("V.A", true, POWER, "1", "VA", &["VA"]),
    // An hour is 3600 s (SI brochure, table 8), and so many joules or coulombs are one of these.
    atom("W.h", true, ENERGY, "3600", "W·h", &["Wh"]),
    atom("A.h", true, CHARGE, "3600", "A·h", &["Ah"]),
    atom("J", true, ENERGY, "1", "J", &[]),
    atom("N", true, FORCE, "1", "N", &[]),
    atom("Hz", true, [0, 0, -1, 0, 0, 0, 0], "1", "Hz", &[]),
    atom("Pa", true, PRESSURE, "1", "Pa", &[]),
    atom("bar", true, PRESSURE, "100000", "bar", &[]),
    atom("atm", false, PRESSURE, "101325", "atm", &[]),
    atom("L", true, VOLUME, "0.001", "L", &["litre", "liter"]),
    atom("l", true, VOLUME, "0.001", "l", &[]),
    atom("gf", true, FORCE, "0.00980665", "gf", &[]),
    atom("cal_IT", true, ENERGY, "4.1868", "cal", &[]),
    // Plain numbers.
    atom("%", false, PLAIN, "0.01", "%", &["percent"]),
    atom("[ppth]", false, PLAIN, "0.001", "‰", &[]),
    atom("[ppm]", false, PLAIN, "0.000001", "ppm", &["ppm"]),
    atom("[ppb]", false, PLAIN, "0.000000001", "ppb", &["ppb"]),
    atom("10*", false, PLAIN, "10", "10", &[]),
    atom("10^", false, PLAIN, "10", "10", &[]),
    atom("[pi]", false, PLAIN, "3.141592653589793", "π", &[]),
    // Lengths, areas, volumes.
    atom("[in_i]", false, LENGTH, "0.0254", "in", &["in", "inch", "inches"]),
    atom("[ft_i]", false, LENGTH, "0.3048", "ft", &["ft", "feet", "foot"]),
    atom("[yd_i]", false, LENGTH, "0.9144", "yd", &["yd"]),
    atom("[mi_i]", false, LENGTH, "1609.344", "mi", &["mi", "mile", "miles"]),
    atom("[mil_i]", false, LENGTH, "0.0000254", "mil", &["mil", "mils"]),
    atom("[sin_i]", false, AREA, "0.00064516", "in²", &["in2"]),
    atom("[sft_i]", false, AREA, "0.09290304", "ft²", &["ft2"]),
    // π/4 of a square mil, to twenty figures.
    atom("[cml_i]", false, AREA, "0.00000000050670747909749776", "cmil", &["cmil"]),
    atom("[cin_i]", false, VOLUME, "0.000016387064", "in³", &["in3"]),
    atom("[cft_i]", false, VOLUME, "0.028316846592", "ft³", &["ft3", "cf"]),
    atom("[gal_us]", false, VOLUME, "0.003785411784", "gal", &["gal"]),
    atom("[qt_us]", false, VOLUME, "0.000946352946", "qt", &["qt"]),
    // Masses and forces.
    atom("[lb_av]", false, MASS, "0.45359237", "lb", &["lb", "lbs"]),
    atom("[oz_av]", false, MASS, "0.028349523125", "oz", &["oz"]),
    atom("[gr]", false, MASS, "0.00006479891", "gr", &[]),
    atom("[lbf_av]", false, FORCE, "4.4482216152605", "lbf", &["lbf"]),
    atom("[g]", true, [1, 0, -2, 0, 0, 0, 0], "9.80665", "gₙ", &[]),
    // Pressures.
    atom("[psi]", false, PRESSURE, "4.4482216152605/0.00064516", "psi", &["psi"]),
    atom("m[H2O]", true, PRESSURE, "9806.65", "m w.c.", &[]),
    atom("[in_i'H2O]", false, PRESSURE, "249.08891", "in. w.c.", &[]),
    atom("m[Hg]", true, PRESSURE, "133322", "m Hg", &[]),
    atom("[in_i'Hg]", false, PRESSURE, "3386.3788", "in. Hg", &[]),
    // Heat and power.
    atom("[Btu_IT]", false, ENERGY, "1055.05585262", "Btu", &["Btu", "BTU", "btu"]),
    atom("[Btu_th]", false, ENERGY, "1054.35", "Btu (th)", &[]),
    atom("[therm]", false, ENERGY, "105505585.262", "therm", &["therm", "therms"]),
    atom("[HP]", false, POWER, "745.69987158227022", "hp", &["hp", "HP"]),
    // Temperatures. `Cel` and `[degF]` alone are points on their scale; what stands here is the size of the degree.
    atom("Cel", true, WARMTH, "1", "°C", &["°C", "degC"]),
    atom("[degF]", false, WARMTH, "5/9", "°F", &["°F", "degF"]),
    atom("[degR]", false, WARMTH, "5/9", "F°", &["F°", "°R", "F°diff", "[degRF]"]),
];

/// Whole units with a spelling of their own: code, shown form, other spellings (compared without case).
pub(super) const WHOLE: &[(&str, &str, &[&str])] = &[
    (
        "[in_i'H2O]",
        "in. w.c.",
        &["in. wc", "in w.c.", "in wc", "in. w.c", "in.w.c.", "inches w.c.", "inches of water", "in. h2o", "in h2o"],
    ),
    ("[in_i'Hg]", "in. Hg", &["in hg", "inches of mercury"]),
    ("[Btu_IT]/h", "Btu/h", &["btu/hr", "btuh", "btu per hour"]),
    ("1000.[Btu_IT]/h", "MBH", &["mbtuh"]),
    ("[cft_i]/h", "ft³/h", &["cfh", "cu ft/h", "ft3/hr"]),
    ("[cft_i]/min", "ft³/min", &["cfm", "cu ft/min"]),
    ("[cft_i]", "ft³", &["cu ft", "cubic feet"]),
    // Exactly a hundred of the cubic feet above, as on a gas bill.
    ("100.[cft_i]", "ccf", &["hundred cubic feet"]),
    ("[sft_i]", "ft²", &["sq ft", "square feet"]),
    ("[cin_i]", "in³", &["cu in"]),
    ("[sin_i]", "in²", &["sq in"]),
    ("[gal_us]/min", "gal/min", &["gpm"]),
    ("[gal_us]/h", "gal/h", &["gph"]),
    ("L/min", "L/min", &["lpm"]),
    ("[ft_i]/min", "ft/min", &["fpm"]),
    ("V.A", "VA", &["volt-amp", "volt-amps"]),
    ("kV.A", "kVA", &[]),
    // Units that are often written in capitals, and that no other case of these letters means.
    ("kV", "kV", &[]),
    ("kW", "kW", &[]),
    ("kPa", "kPa", &[]),
    ("kOhm", "kΩ", &[]),
    ("kg", "kg", &[]),
    ("Hz", "Hz", &[]),
    ("kHz", "kHz", &[]),
    ("{rev}/min", "rpm", &[]),
    ("Ohm/(1000.[ft_i])", "Ω/1000 ft", &["ohm/1000 ft", "ohms/1000 ft", "ohm per 1000 ft"]),
    ("1000.[cml_i]", "kcmil", &["mcm"]),
    ("[degR]", "F°", &["delta [degf]", "delta degf", "delta °f", "°f difference"]),
    ("K", "K", &["delta cel", "delta °c", "delta k", "°c difference"]),
];
