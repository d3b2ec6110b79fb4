//! A worked example as readers see it: parts by title, choices by title, units in the trade's spelling, figures with the decimals
//! that were written.

use super::example::Within;
use super::format::{Digits, TYPED, format};
use super::given::read_quantity;
use super::program::{Example, Input, InputKind, Program, RowList, Step};
use super::typing::Type;
use super::unit::Unit;

/// More figures than these are not told apart; see [`format`].
const MOST_FIGURES: usize = 12;

/// What an example says, in words.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ShownExample {
    /// What is given, in the order in which it is written.
    pub given: Vec<ShownPart>,
    /// What must come out.
    pub expect: Vec<ShownPart>,
    /// How far off it may be, such as `0.1 %`; empty if it must be equal as shown.
    pub within: String,
}

/// An input, a list of rows or a step of an example.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ShownPart {
    pub title: String,
    /// The value; `none` for a list without rows, and empty for one with rows.
    pub value: String,
    pub rows: Vec<ShownGivenRow>,
}

/// A row that an example gives.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ShownGivenRow {
    /// As above the row's fields on the page, such as `Load 2: Gas valve`.
    pub title: String,
    /// Values with the titles of their fields, such as `Draw: 40 VA`; the value alone where a row has one field.
    pub fields: Vec<String>,
}

impl Program {
    /// One of the program's own examples in words.
    pub fn shown_example(&self, example: &Example) -> ShownExample {
        let given = example.given.iter().map(|(name, text)| self.given_part(name, text));
        let expect = example.expect.iter().map(|(name, text)| {
            let step = self.step(name);
            let value = match (step, text) {
                (_, None) => "no value".to_owned(),
                (Some(step), Some(text)) => expected(step, text),
                (None, Some(text)) => text.clone(),
            };
            ShownPart { title: step.map_or(name, |step| &step.title).clone(), value, ..ShownPart::default() }
        });
        ShownExample { given: given.collect(), expect: expect.collect(), within: self.within_words(example) }
    }

    fn given_part(&self, name: &str, text: &str) -> ShownPart {
        if let Some(list) = self.list(name) {
            let rows: Vec<_> = list.read(text).unwrap_or_default().iter().enumerate().map(|(at, row)| given_row(list, at, row)).collect();
            let value = if rows.is_empty() { "none".to_owned() } else { String::new() };
            return ShownPart { title: list.title.clone(), value, rows };
        }
        let (title, value) = match self.input(name) {
            Some(input) => (input.title.clone(), typed(input, text)),
            None => (name.to_owned(), text.to_owned()),
        };
        ShownPart { title, value, rows: Vec::new() }
    }

    fn within_words(&self, example: &Example) -> String {
        let percent = |part: f64| format!("{}\u{a0}%", format(part * 100.0, TYPED));
        match example.within.as_deref().map(Within::read) {
            None | Some(Ok(Within::Shown) | Err(_)) => String::new(),
            Some(Ok(Within::Part(part))) => percent(part),
            Some(Ok(Within::Amount(amount, Some(unit)))) => unit.with(&format(amount, TYPED)),
            // Of each step's own unit: told if they share one.
            Some(Ok(Within::Amount(amount, None))) => {
                let mut units = example.expect.iter().filter_map(|(name, _)| Some(&self.step(name)?.unit));
                let unit = units.next().filter(|first| units.all(|unit| unit == *first));
                unit.unwrap_or(&Unit::one()).with(&format(amount, TYPED))
            }
        }
    }
}

fn given_row(list: &RowList, at: usize, row: &[Option<String>]) -> ShownGivenRow {
    let value = |place: usize| row.get(place)?.as_ref().map(|text| typed(&list.fields[place], text));
    let called = list.called.and_then(value);
    let title = format!("{} {}", list.row, at + 1);
    let alone = list.fields.len() == 1;
    let field = |place: usize| {
        let text = value(place).filter(|_| list.called != Some(place))?;
        Some(if alone { text } else { format!("{}: {text}", list.fields[place].title) })
    };
    ShownGivenRow {
        title: called.map_or(title.clone(), |called| format!("{title}: {called}")),
        fields: (0..list.fields.len()).filter_map(field).collect(),
    }
}

/// What is given for an input.
fn typed(input: &Input, text: &str) -> String {
    match &input.kind {
        InputKind::Text { choices, .. } => {
            let wanted = text.trim();
            choices.iter().find(|choice| choice.id == wanted).map_or(wanted, |choice| &choice.title).to_owned()
        }
        InputKind::Number { units, .. } => quantity(text, units),
    }
}

/// What is expected of a step.
fn expected(step: &Step, text: &str) -> String {
    match (&step.kind, text.trim()) {
        (Type::Number { .. }, _) => quantity(text, std::slice::from_ref(&step.unit)),
        (Type::Truth, "true") => "yes".to_owned(),
        (Type::Truth, "false") => "no".to_owned(),
        (_, text) => step.titles.show(text),
    }
}

/// A number with its unit; decimals stay as written, since they say how closely a figure was published.
fn quantity(text: &str, units: &[Unit]) -> String {
    let Ok((number, unit)) = read_quantity(text, units) else { return text.to_owned() };
    unit.with(&format(number, written(text)))
}

/// The digits that a number's text has.
fn written(text: &str) -> Digits {
    let digits = |text: &str| text.bytes().take_while(u8::is_ascii_digit).count();
    let text: String = text.trim().chars().filter(|sign| sign.is_ascii()).collect();
    let text = text.trim_start_matches(['-', '+']);
    let whole = digits(text);
    let decimals = text[whole..].strip_prefix('.').map_or(0, digits);
    let end = whole + text[whole..].strip_prefix('.').map_or(0, |_| 1 + decimals);
    let raised = text[end..]
        .strip_prefix(['e', 'E'])
        .is_some_and(|power| power.starts_with(|sign: char| "+-".contains(sign) || sign.is_ascii_digit()));
    match u8::try_from(decimals) {
        Ok(decimals) if !raised && whole + usize::from(decimals) <= MOST_FIGURES => Digits::Decimals(decimals),
        _ => Digits::Significant(MOST_FIGURES as u8),
    }
}
