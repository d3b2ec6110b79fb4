//! The plain sentences that readers see; the browser's script has the same ones, and a test holds the two together.

use std::fmt::{self, Display, Formatter};

pub(super) const DIVIDES: &str = "It divides by zero.";
pub(super) const ROOT: &str = "It takes the square root of a negative number.";
pub(super) const LOGARITHM: &str = "It takes the logarithm of zero or of a negative number.";
pub(super) const POWER: &str = "It raises zero or a negative number to a power that has no value.";
pub(super) const STEP: &str = "It rounds to a step that is not above zero.";
pub(super) const LARGE: &str = "The number is too large to work with.";
/// Stands for itself: no reader sees it, since rows with an empty cell are passed over.
pub(super) const EMPTY_CELL: &str = "";
pub(super) const EMPTY: &str = "Enter a number.";
pub(super) const COMMA: &str = "Write numbers without commas: a point for decimals, as in 0.5.";
pub(super) const TINY: &str = "The number is too small to be told from zero.";
pub(super) const FRACTION: &str = "Write fractions with a point, as in 0.5 or 1.75.";
pub(super) const WHOLE: &str = "Enter a whole number.";
pub(super) const NEGATIVE_TIME: &str = "A phase would last less than no time.";
pub(super) const REPEATS: &str = "The number of repeats must be a whole number, zero or more.";

/// Why there is no value: the plain sentence, and whether that is because it has no part in the sum.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Lack {
    pub says: String,
    /// An input that it needs does not count with the values of those before it, or its own `when` does not hold.
    pub idle: bool,
}

impl From<String> for Lack {
    fn from(says: String) -> Self {
        Self { says, idle: false }
    }
}

impl From<&str> for Lack {
    fn from(says: &str) -> Self {
        says.to_owned().into()
    }
}

impl From<Lack> for String {
    fn from(lack: Lack) -> Self {
        lack.says
    }
}

impl Display for Lack {
    fn fmt(&self, to: &mut Formatter) -> fmt::Result {
        to.write_str(&self.says)
    }
}

/// Of a step whose `when` does not hold, and of what rests on it.
pub(super) fn not_counted() -> Lack {
    Lack { says: "It does not count here.".into(), idle: true }
}

pub(super) fn not_a_number(text: &str) -> String {
    format!("“{text}” is not a number.")
}

/// `joined`: the number as it is to be written.
pub(super) fn spaced(joined: &str) -> String {
    format!("Write the number without spaces: {joined}.")
}

/// `offered`: the units' shown spellings, the main one first; none for a plain number.
pub(super) fn not_a_unit(text: &str, offered: &[&str]) -> String {
    if offered.first().is_none_or(|main| main.is_empty()) {
        format!("“{text}” does not belong here; write the number alone.")
    } else {
        let offered: Vec<_> = offered.iter().map(|unit| if unit.is_empty() { "none" } else { unit }).collect();
        format!("“{text}” is not a unit for this; use {}.", offered.join(" or "))
    }
}

/// `limits`: the lowest and the highest value, in the unit of what was typed.
pub(super) fn outside(limits: &str) -> String {
    ended(&format!("Enter a value from {limits}"))
}

/// Ends a sentence with a point; a unit such as `in. w.c.` may have brought one.
pub fn ended(sentence: &str) -> String {
    if sentence.ends_with('.') { sentence.to_owned() } else { format!("{sentence}.") }
}

pub(super) fn not_a_choice(text: &str, offered: &[&str]) -> String {
    format!("“{text}” is not one of the choices: {}.", offered.join(", "))
}

pub(super) fn needs(title: &str) -> String {
    format!("It needs “{title}”, which has no value.")
}

pub(super) fn does_not_count(title: &str) -> Lack {
    Lack { says: format!("It needs “{title}”, which does not count here."), idle: true }
}

pub(super) fn no_figure(table: &str) -> String {
    format!("“{table}” gives no figure here.")
}

/// A value that an aggregate needs and that a row lacks.
pub(super) fn needs_in_row(title: &str, row: &str) -> String {
    format!("It needs “{title}” of “{row}”, which has no value.")
}

pub(super) fn no_row_to_compare(list: &str) -> String {
    format!("“{list}” has no row for this.")
}

pub(super) fn none_fails(list: &str) -> String {
    format!("None of “{list}” fails.")
}

pub(super) fn rows(least: usize, most: usize) -> String {
    if least == most { format!("Give {least} rows.") } else { format!("Give from {least} to {most} rows.") }
}

/// What was worked out lies outside the range of its input.
pub(super) fn comes_outside(shown: &str, limits: &str) -> String {
    ended(&format!("It comes to {shown}, and this sum takes {limits}"))
}

pub(super) fn all_given(choice: &str) -> String {
    format!("all of them are given: leave one out, or say with `{choice}` which one to work out")
}

pub(super) fn unknown_given(unknown: &str) -> String {
    format!("`{unknown}` is to be worked out and is given too: leave it out")
}

/// No value of the unknown makes both sides alike.
pub(super) fn nothing_fits(title: &str) -> String {
    format!("No value of “{title}” fits the others.")
}

pub(super) fn too_many_phases(most: usize) -> String {
    format!("The timeline has more than {most} phases, too many to draw.")
}
