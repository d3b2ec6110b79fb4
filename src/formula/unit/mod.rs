//! Units: UCUM codes and the trade's spellings, their exact factors, and what pages show.

mod atoms;
mod exact;
mod grammar;
mod hint;
mod metric;
mod spelled;
mod words;

use std::cell::RefCell;
use std::ops::Range;
use std::sync::Arc;

use rustc_hash::FxHashMap;

use self::spelled::folded;
use super::dimension::Dimension;

/// A unit of measure.
///
/// A number `x` of the unit is `(x + offset) × numerator ÷ denominator` in SI base units (metre, kilogram, second, ampere,
/// kelvin, mole, candela), worked in just this order here and in the browser, so that both get the same bits.
#[derive(Debug, Clone, PartialEq)]
pub struct Unit {
    code: Arc<str>,
    shown: Arc<str>,
    dimension: Dimension,
    offset: f64,
    numerator: f64,
    denominator: f64,
    point: bool,
}

/// Why a text is no unit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnitError {
    /// The stretch of the text that cannot be read.
    pub range: Range<usize>,
    /// Lower case, no full stop.
    pub message: String,
    /// What to write instead, if something known is near.
    pub hint: Option<String>,
}

/// A unit's text may be this long, in bytes.
const LONGEST: usize = 80;

/// So many units are kept once read.
const KEPT: usize = 1_000;

thread_local! {
    /// A handbook writes the same few units thousands of times.
    static READ: RefCell<FxHashMap<String, Unit>> = RefCell::default();
}

impl Unit {
    /// The unit of plain numbers.
    pub fn one() -> Self {
        Self { code: "1".into(), shown: "".into(), dimension: Dimension::NONE, offset: 0.0, numerator: 1.0, denominator: 1.0, point: false }
    }

    /// Reads a UCUM code (`[in_i'H2O]`, `V.A`, `kW.h`, `m3/h`) or a spelling of the trade (`in. w.c.`, `VA`, `µA`, `ft³/h`).
    ///
    /// Temperatures: `Cel` and `[degF]` (`°C`, `°F`) alone are points on their scale. Inside a product the trade's `°F` and `°C`
    /// mean differences; the codes `[degF]` and `Cel` there are an error, as in UCUM (`[degR]` and `K` are the differences).
    ///
    /// # Errors
    /// Unknown symbols and misplaced signs, with their place and the nearest known spelling.
    pub fn parse(text: &str) -> Result<Self, UnitError> {
        match Self::kept(text) {
            Some(unit) => Ok(unit),
            None => Self::parse_anew(text).inspect(|unit| unit.keep(text)),
        }
    }

    fn kept(text: &str) -> Option<Self> {
        READ.with_borrow(|read| read.get(text).cloned())
    }

    fn keep(&self, text: &str) {
        READ.with_borrow_mut(|read| {
            if read.len() < KEPT {
                read.insert(text.to_owned(), self.clone());
            }
        });
    }

    fn parse_anew(text: &str) -> Result<Self, UnitError> {
        let trimmed = text.trim();
        let whole = 0..text.len();
        if trimmed.is_empty() {
            return Err(UnitError { range: whole, message: "expected a unit, found nothing".into(), hint: None });
        }
        if trimmed.len() > LONGEST {
            return Err(UnitError { range: whole, message: format!("the unit is longer than {LONGEST} bytes"), hint: None });
        }
        if let Some(hint) = words::twofold(trimmed) {
            return Err(UnitError {
                range: whole,
                message: format!("`{trimmed}` by itself could mean two units"),
                hint: Some(hint.into()),
            });
        }
        let folded = folded(trimmed);
        if let Some(code) = spelled::first(&folded) {
            return Self::code(code).map_err(|misread| UnitError { range: whole, message: misread.message, hint: None });
        }
        let plain = plain_signs(trimmed);
        Self::signs(&plain).or_else(|misread| spelled::last(&folded).map_or(Err(misread), Self::code)).map_err(|misread| {
            if let Some(hint) = words::instead(&folded) {
                return UnitError { range: whole.clone(), message: format!("`{trimmed}` is not a unit"), hint: Some(hint) };
            }
            let hint = hint::hint(trimmed, &plain, &misread);
            // Ranges of the rewritten text fit the written one only where nothing was rewritten.
            let lead = text.len() - text.trim_start().len();
            let range = if plain == trimmed { misread.range.start + lead..misread.range.end + lead } else { whole };
            UnitError { range, message: misread.message, hint }
        })
    }

    /// The unit, if it is one: for texts that may as well be words, since looking for the nearest spelling takes long.
    pub fn known(text: &str) -> Option<Self> {
        Self::kept(text).or_else(|| Self::known_anew(text).inspect(|unit| unit.keep(text)))
    }

    fn known_anew(text: &str) -> Option<Self> {
        let trimmed = text.trim();
        if trimmed.is_empty() || trimmed.len() > LONGEST || words::twofold(trimmed).is_some() {
            return None;
        }
        let folded = folded(trimmed);
        match spelled::first(&folded) {
            Some(code) => Self::code(code).ok(),
            None => Self::signs(&plain_signs(trimmed)).ok().or_else(|| Self::code(spelled::last(&folded)?).ok()),
        }
    }

    fn signs(plain: &str) -> Result<Self, grammar::Misread> {
        match trade_differences(plain) {
            Some(differences) => Self::code(&differences),
            None => Self::code(plain),
        }
    }

    fn code(code: &str) -> Result<Self, grammar::Misread> {
        let term = grammar::parse(code)?;
        let (offset, point) = match term.scale {
            Some("Cel") => (273.15, true),
            Some("[degF]") => (459.67, true),
            _ => (0.0, false),
        };
        if !point && (term.code.contains("Cel") || term.code.contains("[degF]")) {
            let message = "a temperature on a scale cannot be part of another unit".to_owned();
            return Err(grammar::Misread { range: 0..code.len(), message, what: grammar::What::Scale });
        }
        let whole = atoms::WHOLE.iter().find(|(code, ..)| *code == term.code).map(|(_, shown, _)| (*shown).to_owned());
        // A plain number has no sign to show.
        let shown = if term.code == "1" { String::new() } else { whole.unwrap_or(term.shown) };
        let (numerator, denominator) = term.factor.floats();
        Ok(Self { code: term.code.into(), shown: shown.into(), dimension: term.dimension, offset, numerator, denominator, point })
    }

    /// The UCUM code (for `[therm]`, which UCUM lacks, this table's own).
    pub fn ucum(&self) -> &str {
        &self.code
    }

    /// The spelling for pages; empty for plain numbers.
    pub fn shown(&self) -> &str {
        &self.shown
    }

    /// Whether the whole unit has a name of its own, such as `MBH`.
    pub(super) fn has_name(&self) -> bool {
        atoms::WHOLE.iter().any(|(code, ..)| *code == &*self.code)
    }

    pub fn dimension(&self) -> Dimension {
        self.dimension
    }

    /// A number with a unit of the trade for such a quantity, as formulas write it.
    pub(super) fn example(dimension: Dimension, point: bool) -> &'static str {
        const EXAMPLES: [&str; 15] = [
            "5 [V]",
            "5 [A]",
            "5 [Ohm]",
            "5 [W]",
            "5 [s]",
            "5 [mm]",
            "60 [degF]",
            "5 [F°]",
            "5 [in. w.c.]",
            "5 [cu ft]",
            "5 [cfm]",
            "5 [lb]",
            "5 [Hz]",
            "5 [mm2]",
            "5 [Btu]",
        ];
        let fits = |example: &&&str| {
            let code = example.split_once('[').map_or("", |(_, code)| code.trim_end_matches(']'));
            Self::parse(code).is_ok_and(|unit| unit.dimension() == dimension && unit.is_point() == point)
        };
        EXAMPLES.iter().find(fits).copied().unwrap_or("5 [V]")
    }

    /// Whether numbers in it are points on a temperature scale.
    pub fn is_point(&self) -> bool {
        self.point
    }

    /// Offset, numerator and denominator of the conversion to SI base units.
    pub fn conversion(&self) -> (f64, f64, f64) {
        (self.offset, self.numerator, self.denominator)
    }

    /// A number of this unit in SI base units (kelvin above absolute zero for points).
    pub fn to_base(&self, number: f64) -> f64 {
        (number + self.offset) * self.numerator / self.denominator
    }

    /// A number of SI base units in this unit.
    pub fn from_base(&self, base: f64) -> f64 {
        base * self.denominator / self.numerator - self.offset
    }

    /// Whether numbers of one may be given in the other.
    pub fn fits(&self, other: &Unit) -> bool {
        self.dimension == other.dimension && self.point == other.point
    }

    /// A shown number with its unit: `5 V`, `25 %`, `70 °F`, `0.5`.
    pub fn with(&self, number: &str) -> String {
        if self.shown.is_empty() { number.to_owned() } else { format!("{number}\u{a0}{}", self.shown) }
    }
}

/// Every spelling that stands in the tables, for hints and for the authors' guide.
pub fn spellings() -> impl Iterator<Item = &'static str> {
    let whole = atoms::WHOLE.iter().flat_map(|(code, shown, more)| [*code, *shown].into_iter().chain(more.iter().copied()));
    let single = atoms::ATOMS.iter().flat_map(|atom| std::iter::once(atom.code).chain(atom.trade.iter().copied()));
    whole.chain(single).chain(words::all().map(|(words, _)| words)).filter(|known| words::twofold(known).is_none())
}

/// Units for the authors' guide: UCUM code, shown spelling, other accepted spellings. `F` and `C` are read only by another
/// spelling or as part of a longer unit.
pub fn known_units() -> Vec<(&'static str, &'static str, Vec<&'static str>)> {
    let single = atoms::ATOMS.iter().map(|atom| (atom.code, atom.shown, atom.trade.to_vec()));
    let whole = atoms::WHOLE.iter().map(|(code, shown, more)| (*code, *shown, more.to_vec()));
    single.chain(whole).collect()
}

/// The trade's signs as UCUM writes them.
fn plain_signs(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for sign in text.chars() {
        match sign {
            'µ' | 'μ' => plain.push('u'),
            'Ω' | '\u{2126}' => plain.push_str("Ohm"),
            '²' => plain.push('2'),
            '³' => plain.push('3'),
            '·' | '⋅' | '×' => plain.push('.'),
            // The ordinal sign and the ring that keyboards offer for the degree.
            'º' | '˚' => plain.push('°'),
            '⁻' => plain.push('-'),
            '¹' => plain.push('1'),
            sign => plain.push(sign),
        }
    }
    plain
}

/// `Btu/h/°F`: in a product the degree sign means a difference.
fn trade_differences(text: &str) -> Option<String> {
    let product = text.contains(['.', '/']) && (text.contains("°F") || text.contains("°C"));
    product.then(|| text.replace("°F", "[degR]").replace("°C", "K"))
}
