//! A calculator that has been checked: names resolved, units agreed, ready to be worked.

use std::collections::BTreeMap;

use super::band::Bands;
use super::format::Digits;
use super::pick::Pick;
use super::result::ResultPart;
use super::table::Table;
use super::titles::Titles;
use super::typing::{Formula, Type};
use super::unit::Unit;
use crate::source::Span;

/// One typed calculator, read alike by the evaluator, the browser's script, the shown working and the quiz maker.
///
/// Inputs and steps share one set of names. A name's place is its position in the inputs, or the number of inputs plus its
/// position in the steps.
#[derive(Debug, Clone, Default)]
pub struct Program {
    pub inputs: Vec<Input>,
    /// Which of several inputs is worked out of the others, if one is.
    pub solve: Option<Solve>,
    /// Worked before the steps that are not solved.
    pub lists: Vec<RowList>,
    /// Those that are solved come first.
    pub steps: Vec<Step>,
    /// What stands first on the page, in this order; the rest is working.
    pub result: Vec<ResultPart>,
    pub verdicts: Vec<Verdict>,
    pub plot: Option<Plot>,
    pub timeline: Option<Timeline>,
    pub drawing: Option<Drawing>,
    pub examples: Vec<Example>,
    /// The tables that the steps pick from, by id.
    pub tables: BTreeMap<String, Table>,
}

#[derive(Debug, Clone)]
pub struct Input {
    pub id: String,
    pub title: String,
    pub kind: InputKind,
    /// A truth over the inputs before it; where it does not hold, the input does not count.
    pub when: Option<Formula>,
}

#[derive(Debug, Clone)]
pub enum InputKind {
    /// `from`, `to` (inclusive) and `start` are in `units[0]`; the further units are offered too.
    Number { units: Vec<Unit>, from: f64, to: f64, start: f64, whole: bool },
    /// `start` is the position of a choice.
    Text { choices: Vec<Choice>, start: usize },
}

#[derive(Debug, Clone)]
pub struct Choice {
    pub id: String,
    pub title: String,
}

#[derive(Debug, Clone)]
pub struct Step {
    pub id: String,
    pub title: String,
    pub kind: Type,
    /// The unit shown; [`Unit::one`] for plain numbers, truths and texts.
    pub unit: Unit,
    pub digits: Digits,
    /// A truth over what stands before it; where it does not hold, the step does not count.
    pub when: Option<Formula>,
    pub how: How,
    /// The place of the input whose value this works out where it is the unknown.
    pub solves: Option<usize>,
    /// What the choices are called that the step hands on.
    pub titles: Titles,
}

/// Rows that the reader adds to or takes from. A row's fields and steps share one set of places: fields, then steps.
#[derive(Debug, Clone)]
pub struct RowList {
    pub id: String,
    pub title: String,
    /// What one row is called, such as `Load`.
    pub row: String,
    /// The field that is added to a row's title.
    pub called: Option<usize>,
    /// Positions of the steps whose results stand beside a row's title.
    pub shows: Vec<usize>,
    pub least: usize,
    pub most: usize,
    pub fields: Vec<Input>,
    pub steps: Vec<Step>,
    /// The rows that the page starts with: for each field a text as typed, or its own start.
    pub start: Vec<Vec<Option<String>>>,
}

/// A formula that ties inputs together so that any one of them follows from the others.
#[derive(Debug, Clone)]
pub struct Solve {
    /// The place of the choice of the unknown.
    pub choice: usize,
    /// The places of the inputs that can be unknown; each one's inverse is the step at the same position.
    pub unknowns: Vec<usize>,
    /// The two sides that must come out alike.
    pub sides: [Formula; 2],
}

#[derive(Debug, Clone)]
pub enum How {
    Formula(Formula),
    Pick(Pick),
}

/// What a step's result means; which band says what is the entry's, by the band's position.
#[derive(Debug, Clone)]
pub struct Verdict {
    /// The position of the step in [`Program::steps`].
    pub step: usize,
    pub title: String,
    pub bands: Bands,
}

/// The curve of one step over one input.
#[derive(Debug, Clone)]
pub struct Plot {
    pub title: String,
    /// The position of the step.
    pub of: usize,
    /// The place of the input.
    pub over: usize,
    /// The stretch across, in the input's first unit; it reaches to what is given, if that lies outside.
    pub from: f64,
    pub to: f64,
    /// The position of the step's first verdict with edges, if it has one.
    pub verdict: Option<usize>,
}

/// A chart of what is on when.
#[derive(Debug, Clone)]
pub struct Timeline {
    pub title: String,
    pub lanes: Vec<Lane>,
    pub phases: Vec<Phase>,
}

#[derive(Debug, Clone)]
pub struct Lane {
    pub id: String,
    pub title: String,
}

#[derive(Debug, Clone)]
pub enum Phase {
    /// `lasts` is a time; `on` are positions of lanes.
    Lasts { title: String, lasts: Formula, on: Vec<usize>, between: bool },
    /// `times` is a plain whole number.
    Repeat { times: Formula, phases: Vec<Phase> },
}

/// A drawing to scale.
#[derive(Debug, Clone)]
pub struct Drawing {
    pub kind: String,
    /// Name and formula: lengths in metres, or texts.
    pub parts: Vec<(String, Formula)>,
}

/// A worked example that came out.
#[derive(Debug, Clone)]
pub struct Example {
    pub title: String,
    /// Input and text as typed.
    pub given: Vec<(String, String)>,
    /// Step and expected text; without one the step must have no value.
    pub expect: Vec<(String, Option<String>)>,
    /// How far off the values may be, as written.
    pub within: Option<String>,
    pub span: Span,
}

impl Program {
    /// Title of an input or step by its place.
    pub fn title(&self, place: usize) -> &str {
        match self.inputs.get(place) {
            Some(input) => &input.title,
            None => self.steps.get(place - self.inputs.len()).map_or("", |step| &step.title),
        }
    }

    /// Name of an input or step by its place.
    pub fn name(&self, place: usize) -> &str {
        match self.inputs.get(place) {
            Some(input) => &input.id,
            None => self.steps.get(place - self.inputs.len()).map_or("", |step| &step.id),
        }
    }

    /// What a verdict is called in the script: the name of its step, with a number from the step's second verdict on.
    pub fn verdict_key(&self, at: usize) -> String {
        let Some(verdict) = self.verdicts.get(at) else { return String::new() };
        let name = self.steps.get(verdict.step).map_or("", |step| &step.id);
        match self.verdicts[..at].iter().filter(|other| other.step == verdict.step).count() {
            0 => name.to_owned(),
            before => format!("{name} {}", before + 1),
        }
    }

    pub fn input(&self, id: &str) -> Option<&Input> {
        self.inputs.iter().find(|input| input.id == id)
    }

    pub fn step(&self, id: &str) -> Option<&Step> {
        self.steps.iter().find(|step| step.id == id)
    }

    pub fn list(&self, id: &str) -> Option<&RowList> {
        self.lists.iter().find(|list| list.id == id)
    }

    /// Every step, those of rows too.
    pub fn all_steps(&self) -> impl Iterator<Item = &Step> {
        self.lists.iter().flat_map(|list| &list.steps).chain(&self.steps)
    }
}

impl RowList {
    /// Title of a field or step of a row by its place.
    pub fn title(&self, place: usize) -> &str {
        match self.fields.get(place) {
            Some(field) => &field.title,
            None => self.steps.get(place - self.fields.len()).map_or("", |step| &step.title),
        }
    }

    /// Name of a field or step of a row by its place.
    pub fn name(&self, place: usize) -> &str {
        match self.fields.get(place) {
            Some(field) => &field.id,
            None => self.steps.get(place - self.fields.len()).map_or("", |step| &step.id),
        }
    }

    /// Titles of fields and steps, in the order of places.
    pub fn titles(&self) -> impl Iterator<Item = &str> {
        (0..self.fields.len() + self.steps.len()).map(|place| self.title(place))
    }
}

impl Input {
    /// What the input is in formulas.
    pub fn kind_type(&self) -> Type {
        match &self.kind {
            InputKind::Number { units, .. } => Type::of_unit(units.first().unwrap_or(&Unit::one())),
            InputKind::Text { choices, .. } => Type::Text { choices: choices.iter().map(|choice| choice.id.clone()).collect() },
        }
    }
}
