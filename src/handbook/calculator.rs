//! A sum as data: the typed program, and the words that go with its parts.

use super::{Citation, Common, Name, Prose, Severity};
use crate::formula::{Program, ShownExample};

#[derive(Debug, Clone)]
pub struct Calculator {
    pub common: Common,
    pub program: Program,
    /// One for each of the program's inputs, in the same order.
    pub inputs: Vec<InputWords>,
    /// One for each of the program's lists of rows, in the same order.
    pub lists: Vec<ListWords>,
    /// One for each of the program's steps, in the same order.
    pub steps: Vec<StepWords>,
    /// One list for each of the program's verdicts, one item for each of its bands, in the same order.
    pub verdicts: Vec<Vec<BandWords>>,
    /// One for each of the program's examples, in the same order.
    pub examples: Vec<WorkedExample>,
    pub disagree: Vec<Disagreement>,
    pub next: Vec<Name>,
}

impl Calculator {
    /// The sources of single inputs and steps, each with the title of its input or step.
    pub fn figures(&self) -> impl Iterator<Item = (&str, &Citation)> {
        let inputs = self.program.inputs.iter().map(|input| input.title.as_str()).zip(self.inputs.iter().map(|words| &words.source));
        let steps = self.program.steps.iter().map(|step| step.title.as_str()).zip(self.steps.iter().map(|words| &words.source));
        let rows = self.program.lists.iter().zip(&self.lists).flat_map(|(list, words)| {
            let sources = words.fields.iter().map(|field| &field.source).chain(words.steps.iter().map(|step| &step.source));
            list.titles().zip(sources)
        });
        inputs.chain(rows).chain(steps).filter_map(|(title, source)| Some((title, source.as_ref()?)))
    }
}

#[derive(Debug, Clone, Default)]
pub struct InputWords {
    pub help: Option<String>,
    pub source: Option<Citation>,
}

/// The words of a list of rows.
#[derive(Debug, Clone, Default)]
pub struct ListWords {
    /// One for each field.
    pub fields: Vec<InputWords>,
    /// One for each step of a row.
    pub steps: Vec<StepWords>,
}

#[derive(Debug, Clone, Default)]
pub struct StepWords {
    pub why: Option<String>,
    pub source: Option<Citation>,
}

/// What a band of a verdict says, and where to go from there.
#[derive(Debug, Clone)]
pub struct BandWords {
    pub severity: Severity,
    pub says: Prose,
    pub next: Vec<Name>,
}

/// A published sum that came out when the handbook was proved; the program holds its texts as written.
#[derive(Debug, Clone)]
pub struct WorkedExample {
    pub title: String,
    pub shown: ShownExample,
    pub source: Citation,
}

/// One of several published figures that differ.
#[derive(Debug, Clone)]
pub struct Disagreement {
    pub figure: String,
    pub value: String,
    pub rule: String,
    pub source: Citation,
}
