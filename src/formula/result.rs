//! What of a calculator is its result, as against the working: steps, and rows singled out by a truth. It stands first on the page
//! and in the terminal; `browser/sum-result.js` shows the same.

use super::program::{How, Program, RowList, Step};
use super::tree::Aggregate;
use super::typing::{Expression, Type};
use super::work::{Worked, WorkedRow, WorkedStep};

#[derive(Debug, Clone)]
pub enum ResultPart {
    /// The position of the step.
    Step(usize),
    Rows(RowsResult),
}

/// Rows of a list: all, or those for which a truth holds or does not.
#[derive(Debug, Clone)]
pub struct RowsResult {
    /// The position of the list.
    pub list: usize,
    pub title: String,
    /// The position of the row's step that must come out so.
    pub only: Option<(usize, bool)>,
    /// Positions of the row's steps.
    pub shows: Vec<usize>,
    /// What is said when there is no such row.
    pub none: Option<String>,
}

/// What the page holds of a part, for its script.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ResultLabels {
    Step {
        id: String,
        /// A count of texts, which is shown as a list.
        tally: bool,
    },
    Rows {
        list: String,
        /// The truth and how it must come out; empty if every row belongs here.
        only: String,
        holds: bool,
        /// Names of the row's steps, each with its title, and whether that stands before its result.
        shows: Vec<(String, String, bool)>,
    },
}

/// A part as it came out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome {
    /// Nothing, since it has no part in the sum: an input that it needs does not count, or there is no such row and nothing to say.
    Idle,
    /// What is shown: the counts of a tally one by one, else one text.
    Found(Vec<String>),
    Rows(Vec<ShownRow>),
    /// Why there is nothing to show.
    None(String),
}

/// A row that belongs to the result.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShownRow {
    pub title: String,
    pub results: Vec<String>,
    /// Whether the results are a sentence why it is not known if the row belongs here.
    pub lacks: bool,
}

impl Program {
    pub fn result_labels(&self) -> Vec<ResultLabels> {
        self.result.iter().map(|part| self.part_labels(part)).collect()
    }

    fn part_labels(&self, part: &ResultPart) -> ResultLabels {
        match part {
            ResultPart::Step(step) => ResultLabels::Step { id: self.steps[*step].id.clone(), tally: self.is_tally(*step) },
            ResultPart::Rows(rows) => {
                let list = &self.lists[rows.list];
                ResultLabels::Rows {
                    list: list.id.clone(),
                    only: rows.only.map_or_else(String::new, |(step, _)| list.steps[step].id.clone()),
                    holds: rows.only.is_none_or(|(_, holds)| holds),
                    shows: rows
                        .shows
                        .iter()
                        .map(|step| {
                            let step = &list.steps[*step];
                            (step.id.clone(), step.title.clone(), leads(step))
                        })
                        .collect(),
                }
            }
        }
    }

    /// The title of a part.
    pub fn part_title<'a>(&'a self, part: &'a ResultPart) -> &'a str {
        match part {
            ResultPart::Step(step) => &self.steps[*step].title,
            ResultPart::Rows(rows) => &rows.title,
        }
    }

    /// What came out of each part.
    pub fn outcomes(&self, worked: &Worked) -> Vec<Outcome> {
        let outcome = |part: &ResultPart| match part {
            ResultPart::Step(step) => self.step_outcome(*step, &worked.steps[*step]),
            ResultPart::Rows(rows) => rows.outcome(&self.lists[rows.list], &worked.lists[rows.list].rows),
        };
        self.result.iter().map(outcome).collect()
    }

    fn step_outcome(&self, at: usize, worked: &WorkedStep) -> Outcome {
        match &worked.value {
            Ok(_) if self.is_tally(at) => Outcome::Found(worked.shown.split("; ").map(str::to_owned).collect()),
            Ok(_) => Outcome::Found(vec![worked.shown.clone()]),
            Err(why) if worked.counts() => Outcome::None(why.says.clone()),
            Err(_) => Outcome::Idle,
        }
    }

    fn is_tally(&self, step: usize) -> bool {
        let How::Formula(formula) = &self.steps[step].how else { return false };
        matches!(formula.expression, Expression::Aggregate { function: Aggregate::Tally, .. })
    }
}

/// Whether a step's title stands before its result, which alone would say nothing.
fn leads(step: &Step) -> bool {
    !matches!(step.kind, Type::Text { .. })
}

impl RowsResult {
    fn outcome(&self, list: &RowList, rows: &[WorkedRow]) -> Outcome {
        let shown: Vec<ShownRow> = rows.iter().filter_map(|row| self.shown(list, row)).collect();
        match (&self.none, shown.is_empty()) {
            (_, false) => Outcome::Rows(shown),
            (Some(none), true) => Outcome::None(none.clone()),
            (None, true) => Outcome::Idle,
        }
    }

    fn shown(&self, list: &RowList, row: &WorkedRow) -> Option<ShownRow> {
        if let Some((step, holds)) = self.only {
            let worked = &row.steps[step];
            match &worked.value {
                Err(why) if worked.counts() => {
                    return Some(ShownRow { title: row.title.clone(), results: vec![why.says.clone()], lacks: true });
                }
                Ok(value) if *value == super::Value::Truth(holds) => {}
                _ => return None,
            }
        }
        let result = |step: &usize| {
            let worked = &row.steps[*step];
            match &worked.value {
                Ok(_) if !leads(&list.steps[*step]) => Some(worked.shown.clone()),
                Ok(_) => Some(format!("{}: {}", list.steps[*step].title, worked.shown)),
                Err(why) => worked.counts().then(|| format!("{}: {why}", list.steps[*step].title)),
            }
        };
        Some(ShownRow { title: row.title.clone(), results: self.shows.iter().filter_map(result).collect(), lacks: false })
    }
}
