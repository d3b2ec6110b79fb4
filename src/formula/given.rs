//! What the reader typed, and how it is read.

use std::borrow::Cow;
use std::collections::BTreeMap;

use super::evaluate::{Result, Value, alike, below};
use super::format::{Digits, GROUP, TYPED, format};
use super::program::{Input, InputKind};
use super::sentence;
use super::unit::Unit;

/// Texts for inputs, such as `0.5 V`; inputs that are not given keep their start.
#[derive(Debug, Clone, Default)]
pub struct Given(pub(super) BTreeMap<String, String>);

impl Given {
    pub fn new() -> Self {
        Self::default()
    }

    /// Gives one input, as typed.
    pub fn with(mut self, input: impl Into<String>, text: impl Into<String>) -> Self {
        self.0.insert(input.into(), text.into());
        self
    }

    pub fn set(&mut self, input: impl Into<String>, text: impl Into<String>) {
        self.0.insert(input.into(), text.into());
    }

    pub fn get(&self, input: &str) -> Option<&str> {
        self.0.get(input).map(String::as_str)
    }
}

/// A number at the beginning of a text, and the rest.
///
/// Digits with at most one point, an exponent, a sign; narrow spaces between groups of digits. A comma is refused, since it
/// means decimals to some and thousands to others; so are other ways of writing numbers that would be half read, half taken
/// for a unit: `1 000`, `1 1/2`, `0x10`, `1.2.3`.
pub(super) fn read_number(text: &str) -> Result<(f64, String)> {
    let mut text = Cow::Borrowed(text.trim());
    if !text.is_ascii() {
        let signs = text.chars().filter(|sign| !matches!(*sign, GROUP | '\u{2009}'));
        text = signs.map(|sign| if sign == '−' { '-' } else { sign }).collect::<String>().into();
    }
    if text.is_empty() {
        return Err(sentence::EMPTY.into());
    }
    let bytes = text.as_bytes();
    let digits = |mut at: usize| {
        while bytes.get(at).is_some_and(u8::is_ascii_digit) {
            at += 1;
        }
        at
    };
    let start = usize::from(matches!(bytes.first(), Some(b'-' | b'+')));
    let whole = digits(start);
    let mut end = whole;
    if bytes.get(whole) == Some(&b'.') {
        end = digits(whole + 1);
    }
    if !bytes[start..end].iter().any(u8::is_ascii_digit) {
        let comma = bytes.get(start) == Some(&b',') && bytes.get(start + 1).is_some_and(u8::is_ascii_digit);
        return Err(if comma { sentence::COMMA.into() } else { sentence::not_a_number(&text).into() });
    }
    let point = end;
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(end + 1), Some(b'-' | b'+')));
        let exponent = digits(end + 1 + sign);
        if exponent > end + 1 + sign {
            end = exponent;
        }
    }
    let rest = text[end..].trim();
    if rest.starts_with(',') {
        return Err(sentence::COMMA.into());
    }
    if let Some(why) = not_read(&text, start, end) {
        return Err(why.into());
    }
    match text[..end].parse::<f64>() {
        Ok(number) if number.abs() < f64::MIN_POSITIVE && text[start..point].contains(|sign| matches!(sign, '1'..='9')) => {
            Err(sentence::TINY.into())
        }
        Ok(number) if number.is_finite() => Ok((number, rest.to_owned())),
        Ok(_) => Err(sentence::LARGE.into()),
        Err(_) => Err(sentence::not_a_number(&text).into()),
    }
}

/// What is wrong if what stands after the digits, `text[end..]`, still belongs to the number.
fn not_read(text: &str, start: usize, end: usize) -> Option<String> {
    if let Some(joined) = joined(text, start, end) {
        return Some(sentence::spaced(&joined));
    }
    let is_digit = |sign: char| sign.is_ascii_digit();
    let rest = text[end..].trim();
    let after = rest.trim_start_matches(is_digit);
    if after.strip_prefix('/').is_some_and(|below| below.trim_start().starts_with(is_digit)) {
        return Some(sentence::FRACTION.into());
    }
    // `1/min`, `1000.[Btu_IT]/h`: the unit begins with a factor.
    let factor = after.len() < rest.len() && after.strip_prefix(['.', '/']).is_some_and(|unit| unit.starts_with(|sign| !is_digit(sign)));
    let hexadecimal = rest.strip_prefix(['x', 'X']).is_some_and(|digits| digits.starts_with(|sign: char| sign.is_ascii_hexdigit()));
    let more = rest.starts_with(|sign: char| is_digit(sign) || sign == '.') && !factor;
    (more || (hexadecimal && &text[start..end] == "0")).then(|| sentence::not_a_number(text))
}

/// A number in groups of three digits with spaces between, as one word.
fn joined(text: &str, start: usize, end: usize) -> Option<String> {
    let digits = |text: &str| text.bytes().take_while(u8::is_ascii_digit).count();
    if end - start > 3 || digits(&text[start..]) != end - start {
        return None;
    }
    let mut rest = &text[end..];
    let mut joined = text[..end].to_owned();
    loop {
        let group = rest.trim_start();
        // `5 100.[cft_i]`: a factor.
        if group.len() == rest.len() || digits(group) != 3 || group[3..].starts_with(".[") {
            break;
        }
        joined.push_str(&group[..3]);
        rest = &group[3..];
    }
    if joined.len() == end {
        return None;
    }
    let decimals = rest.strip_prefix('.').map_or(0, digits);
    if decimals > 0 {
        joined.push_str(&rest[..=decimals]);
    }
    Some(joined)
}

/// A text as a number of a unit that fits `units[0]`; without a unit it is in `units[0]`. Gives the number and its unit.
pub(super) fn read_quantity(text: &str, units: &[Unit]) -> Result<(f64, Unit)> {
    let (number, rest) = read_number(text)?;
    let first = units.first().cloned().unwrap_or_else(Unit::one);
    if rest.is_empty() {
        return Ok((number, first));
    }
    let same = units.iter().find(|unit| unit.shown() == rest || unit.ucum() == rest).cloned();
    // What begins with a figure is a unit only if it is offered, has a name, or is one over something: else the figure could
    // belong to the number.
    let begins = rest.starts_with(|sign: char| sign.is_ascii_digit()) && !rest.starts_with("1/");
    match same.or_else(|| Unit::known(&rest).filter(|unit| !begins || (unit.has_name() && unit.ucum() == rest))) {
        Some(unit) if unit.fits(&first) => Ok((number, unit)),
        _ => Err(sentence::not_a_unit(&rest, &units.iter().map(Unit::shown).collect::<Vec<_>>()).into()),
    }
}

impl Input {
    /// Reads what was typed into this input: the value (numbers in SI base units) and the value as the working shows it.
    ///
    /// # Errors
    /// A plain sentence: not a number, a comma, a wrong unit, out of range, not whole, not a choice.
    pub fn read(&self, text: &str) -> Result<(Value, String)> {
        self.read_for(text, true)
    }

    /// As [`read`](Self::read). `words`: whether a number's words are asked for; else they are empty.
    pub(super) fn read_for(&self, text: &str, words: bool) -> Result<(Value, String)> {
        match &self.kind {
            InputKind::Text { choices, .. } => {
                let wanted = text.trim();
                match choices.iter().find(|choice| choice.id == wanted) {
                    Some(choice) => Ok((Value::Text(choice.id.clone()), choice.title.clone())),
                    None => {
                        Err(sentence::not_a_choice(wanted, &choices.iter().map(|choice| choice.id.as_str()).collect::<Vec<_>>()).into())
                    }
                }
            }
            InputKind::Number { units, .. } => {
                let (number, unit) = read_quantity(text, units)?;
                self.take(number, &unit, words)
            }
        }
    }

    /// The value that the page starts with.
    pub(super) fn start(&self, words: bool) -> Result<(Value, String)> {
        match &self.kind {
            InputKind::Number { units, start, .. } => match units.first() {
                Some(main) => self.take(*start, main, words),
                None => self.take(*start, &Unit::one(), words),
            },
            InputKind::Text { .. } => self.read_for(&self.start_text(), words),
        }
    }

    /// A number of a unit as this input's value, if it takes it.
    fn take(&self, number: f64, unit: &Unit, words: bool) -> Result<(Value, String)> {
        let InputKind::Number { units, from, to, whole, .. } = &self.kind else { return Err(sentence::LARGE.into()) };
        let one = units.is_empty().then(Unit::one);
        let main = units.first().or(one.as_ref()).unwrap_or(unit);
        let base = unit.to_base(number);
        if !base.is_finite() {
            return Err(sentence::LARGE.into());
        }
        if below(base, main.to_base(*from)) || below(main.to_base(*to), base) {
            return Err(sentence::outside(&self.limits(unit)).into());
        }
        if *whole && number != number.floor() {
            return Err(sentence::WHOLE.into());
        }
        Ok((Value::Number(base), if words { unit.with(&format(number, TYPED)) } else { String::new() }))
    }

    /// The lowest and the highest value in a unit, as words; in another than the main one to four figures, none of them outside.
    /// Empty for a choice.
    pub fn limits(&self, unit: &Unit) -> String {
        let InputKind::Number { units, from, to, .. } = &self.kind else { return String::new() };
        let one = Unit::one();
        let main = units.first().unwrap_or(&one);
        let edge = |number: f64, inward: fn(f64) -> f64| {
            if unit == main {
                return main.with(&format(number, TYPED));
            }
            let base = main.to_base(number);
            // What conversion leaves behind of zero is no figure.
            if alike(base, unit.to_base(0.0)) {
                return unit.with("0");
            }
            let there = unit.from_base(base);
            let step = 10_f64.powi(there.abs().log10().floor() as i32 - 3);
            let ratio = there / step;
            let nearest = ratio.round();
            unit.with(&format(if alike(ratio, nearest) { nearest } else { inward(ratio) } * step, Digits::Significant(4)))
        };
        std::format!("{} to {}", edge(*from, f64::ceil), edge(*to, f64::floor))
    }

    /// The text that the page starts with.
    pub fn start_text(&self) -> String {
        match &self.kind {
            InputKind::Number { start, .. } => start.to_string(),
            InputKind::Text { choices, start } => choices.get(*start).map(|choice| choice.id.clone()).unwrap_or_default(),
        }
    }
}
