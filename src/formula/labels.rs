//! What the page of a calculator holds beside its script: titles, units, ranges, sentences, the words of the working.
//!
//! The press draws them into the page, and the page's script reads them back from there, so that no text stands in the site
//! twice. `Labels` in `browser/sums.d.ts` is the same in the browser.

use std::collections::BTreeMap;

use serde::Serialize;

use super::band::Bands;
use super::evaluate::Value;
use super::format::Digits;
use super::program::{How, Input, InputKind, Phase, Program, RowList, Step, Verdict};
use super::typing::{Formula, Type};
use super::unit::Unit;
use super::wording::{self, Piece};

/// The labels of one calculator; inputs, steps and phases in the program's order.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Labels {
    pub inputs: Vec<InputLabels>,
    pub lists: Vec<ListLabels>,
    pub steps: Vec<StepLabels>,
    pub verdicts: Vec<VerdictLabels>,
    /// In the order in which they are written, those inside a repetition too.
    pub phases: Vec<PhaseLabels>,
    pub drawing: Vec<MeasureLabels>,
}

/// A list of rows.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ListLabels {
    pub id: String,
    pub title: String,
    /// What one row is called.
    pub row: String,
    /// The name of the field that is added to a row's title; empty if there is none.
    pub called: String,
    pub least: usize,
    pub most: usize,
    pub inputs: Vec<InputLabels>,
    pub steps: Vec<StepLabels>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InputLabels {
    pub id: String,
    pub title: String,
    /// The main unit first; none for a choice.
    pub units: Vec<UnitLabels>,
    /// In the main unit, inclusive.
    pub from: f64,
    pub to: f64,
    pub whole: bool,
    /// Id and title; none for a number.
    pub choices: Vec<(String, String)>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct UnitLabels {
    pub shown: String,
    /// The UCUM code.
    pub code: String,
    /// Offset, numerator and denominator: `(number + offset) * numerator / denominator` is the SI base value.
    pub scale: [f64; 3],
    /// Used in the United States, as against metric; see [`Unit::is_customary`].
    pub customary: bool,
    /// The lowest and the highest value that the input takes, in this unit, as words; empty for the unit of a step.
    pub limits: String,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StepLabels {
    pub id: String,
    pub title: String,
    /// `None` for truths and texts.
    pub unit: Option<UnitLabels>,
    /// For those who want metric units, where the unit is a customary one.
    pub metric: Option<UnitLabels>,
    /// Decimals shown; `None` for three significant figures.
    pub digits: Option<u8>,
    /// What the choices are called that the step hands on, by id; see [`Titles`](super::Titles).
    pub titles: BTreeMap<String, String>,
    /// The inputs or fields whose choices they are.
    #[serde(skip)]
    pub titles_of: Vec<String>,
    /// Why a pick has no value when no row fits, or when the cell is empty.
    pub none: Option<String>,
    /// The working, a line for each branch of an `if`, in the order of [`WorkedStep::branch`](super::WorkedStep::branch).
    pub lines: Vec<Vec<Piece>>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct VerdictLabels {
    /// See [`Program::verdict_key`]; up to a space it is the step's name.
    pub key: String,
    /// What each band is for, `true`, `false` or a text; none where bands have edges.
    pub is: Vec<String>,
}

/// A measure of the drawing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MeasureLabels {
    pub name: String,
    /// The input or step that gives it; empty where the script has a formula.
    pub of: String,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PhaseLabels {
    pub title: String,
    /// Positions of lanes.
    pub on: Vec<usize>,
}

impl Program {
    /// What the page holds for the script.
    pub fn labels(&self) -> Labels {
        let mut phases = Vec::new();
        if let Some(timeline) = &self.timeline {
            collect(&timeline.phases, &mut phases);
        }
        let measure = |(name, formula): &(String, Formula)| {
            let of = formula.name().map_or("", |place| self.name(place));
            MeasureLabels { name: name.clone(), of: of.to_owned() }
        };
        let verdict = |(at, verdict): (usize, &Verdict)| {
            let is = match &verdict.bands {
                Bands::Is(values) => values.iter().map(word).collect(),
                Bands::Number { .. } => Vec::new(),
            };
            VerdictLabels { key: self.verdict_key(at), is }
        };
        Labels {
            inputs: self.inputs.iter().map(input).collect(),
            lists: self.lists.iter().map(|list| self.list_labels(list)).collect(),
            steps: self.steps.iter().map(|step| self.step_labels(step)).collect(),
            verdicts: self.verdicts.iter().enumerate().map(verdict).collect(),
            phases,
            drawing: self.drawing.iter().flat_map(|drawing| &drawing.parts).map(measure).collect(),
        }
    }

    fn list_labels(&self, list: &RowList) -> ListLabels {
        ListLabels {
            id: list.id.clone(),
            title: list.title.clone(),
            row: list.row.clone(),
            called: list.called.map_or("", |called| list.name(called)).to_owned(),
            least: list.least,
            most: list.most,
            inputs: list.fields.iter().map(input).collect(),
            steps: list.steps.iter().map(|step| self.step_labels(step)).collect(),
        }
    }

    fn step_labels(&self, step: &Step) -> StepLabels {
        let none = match &step.how {
            How::Formula(_) => None,
            How::Pick(pick) => {
                let title = self.tables.get(&pick.table).map_or(pick.table.as_str(), |table| &table.title);
                Some(pick.lack(title).says)
            }
        };
        StepLabels {
            id: step.id.clone(),
            title: step.title.clone(),
            unit: matches!(step.kind, Type::Number { .. }).then(|| unit(&step.unit)),
            metric: if matches!(step.kind, Type::Number { .. }) { step.unit.metric().as_ref().map(unit) } else { None },
            digits: match step.digits {
                Digits::Decimals(decimals) => Some(decimals),
                Digits::Significant(_) => None,
            },
            titles: step.titles.choices.iter().map(|choice| (choice.id.clone(), choice.title.clone())).collect(),
            titles_of: step.titles.of.clone(),
            none,
            lines: wording::lines(self, step),
        }
    }
}

fn word(value: &Value) -> String {
    match value {
        Value::Truth(truth) => truth.to_string(),
        Value::Text(text) => text.clone(),
        Value::Number(number) => number.to_string(),
    }
}

fn input(input: &Input) -> InputLabels {
    let (id, title) = (input.id.clone(), input.title.clone());
    let unit = |own: &Unit| UnitLabels { limits: input.limits(own), ..unit(own) };
    match &input.kind {
        InputKind::Number { units, from, to, whole, .. } => {
            InputLabels { id, title, units: units.iter().map(unit).collect(), from: *from, to: *to, whole: *whole, choices: Vec::new() }
        }
        InputKind::Text { choices, .. } => {
            let choices = choices.iter().map(|choice| (choice.id.clone(), choice.title.clone())).collect();
            InputLabels { id, title, units: Vec::new(), from: 0.0, to: 0.0, whole: false, choices }
        }
    }
}

pub(super) fn unit(unit: &Unit) -> UnitLabels {
    let (offset, numerator, denominator) = unit.conversion();
    UnitLabels {
        shown: unit.shown().to_owned(),
        code: unit.ucum().to_owned(),
        scale: [offset, numerator, denominator],
        customary: unit.is_customary(),
        limits: String::new(),
    }
}

fn collect(phases: &[Phase], found: &mut Vec<PhaseLabels>) {
    for phase in phases {
        match phase {
            Phase::Lasts { title, on, .. } => found.push(PhaseLabels { title: title.clone(), on: on.clone() }),
            Phase::Repeat { phases, .. } => collect(phases, found),
        }
    }
}
