//! What a quiz is made of. All texts are plain: no Markdown, no HTML.

use crate::handbook::Name;

/// Questions of one sort, made from the whole handbook.
#[derive(Debug, Clone, PartialEq)]
pub struct Topic {
    /// The word that courses use, such as `bands`; also the file's name.
    pub id: &'static str,
    pub title: &'static str,
    /// What is practised, in a sentence or two.
    pub about: &'static str,
    pub items: Vec<Item>,
}

/// One thing to know, asked in one or several wordings.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// Made from the topic, the entry's id and what is asked; stays the same while these do.
    pub id: String,
    /// The entry that teaches it.
    pub entry: Name,
    pub entry_title: String,
    /// At least one. Several have other readings, numbers or options; whoever asks draws one.
    pub variants: Vec<Variant>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Variant {
    pub question: String,
    pub answer: Answer,
    /// Shown after the answer: the right answer and the band, row, rule or steps that make it right.
    pub explanation: String,
}

/// How the question is answered.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// One of these.
    Choice { options: Vec<Choice>, right: usize },
    /// `steps` stand in the right order; `shown` is the order in which paper shows them.
    Order { steps: Vec<String>, shown: Vec<usize> },
    /// A typed number in `unit` (empty for plain numbers); right within `tolerance` either way. `worked` is how it is written.
    Number { unit: String, value: f64, tolerance: f64, worked: String },
}

#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    pub text: String,
    /// The facts by which it is right or wrong.
    pub proof: Proof,
}

/// Facts of the handbook that decide about an option. An option is right exactly if its proof holds.
#[derive(Debug, Clone, PartialEq)]
pub enum Proof {
    /// The reading lies between two edges; one on the lower edge does, one on the upper does only if the band is `open` above.
    Within { reading: f64, from: f64, to: f64, open: bool },
    /// The figure is the right one, nearer than `apart`.
    Figure { value: f64, right: f64, apart: f64 },
    /// The name or text is one of those for which the statement holds.
    Listed { what: String, list: Vec<String> },
    /// The place in a fixed order is the one asked for.
    Place { at: usize, right: usize },
}

impl Proof {
    pub fn holds(&self) -> bool {
        match self {
            Proof::Within { reading, from, to, open } => reading >= from && (reading < to || *open),
            Proof::Figure { value, right, apart } => (value - right).abs() < *apart,
            Proof::Listed { what, list } => list.contains(what),
            Proof::Place { at, right } => at == right,
        }
    }

    pub(super) fn listed(what: impl ToString, list: &[impl ToString]) -> Self {
        Proof::Listed { what: what.to_string(), list: list.iter().map(ToString::to_string).collect() }
    }
}

impl Choice {
    pub(super) fn new(text: impl Into<String>, proof: Proof) -> Self {
        Self { text: text.into(), proof }
    }
}
