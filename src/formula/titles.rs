//! Steps that hand on a choice: readers see the choice's title, formulas and `--json` its id.

use super::program::{Choice, How, Input, InputKind, Program, RowList, Step};
use super::tree::Aggregate;
use super::typing::Expression;

/// The choices that a step can hand on, with the inputs or fields that they are of. Empty for other steps, and where two inputs call
/// the same id by two titles: then nobody knows which is meant, and the id is shown.
#[derive(Debug, Clone, Default)]
pub struct Titles {
    /// Names of inputs, or of fields of rows.
    pub of: Vec<String>,
    pub choices: Vec<Choice>,
}

impl Program {
    /// Finds for every step, those of rows too, which choices it hands on.
    pub(super) fn find_titles(&mut self) {
        for at in 0..self.lists.len() {
            for step in 0..self.lists[at].steps.len() {
                let titles = self.titles(Some(&self.lists[at]), &self.lists[at].steps[step]);
                self.lists[at].steps[step].titles = titles;
            }
        }
        for step in 0..self.steps.len() {
            self.steps[step].titles = self.titles(None, &self.steps[step]);
        }
    }

    fn titles(&self, list: Option<&RowList>, step: &Step) -> Titles {
        let mut titles = Titles::default();
        if let How::Formula(formula) = &step.how {
            self.collect_titles(list, &formula.expression, &mut titles);
        }
        let alike = |choice: &Choice| titles.choices.iter().all(|other| other.id != choice.id || other.title == choice.title);
        if titles.choices.iter().all(alike) { titles } else { Titles::default() }
    }

    fn collect_titles(&self, list: Option<&RowList>, expression: &Expression, titles: &mut Titles) {
        match expression {
            Expression::Name(place) => titles.of_place(*place, &self.inputs, &self.steps),
            Expression::Field(place) => {
                if let Some(list) = list {
                    titles.of_place(*place, &list.fields, &list.steps);
                }
            }
            Expression::If { then, otherwise, .. } => {
                self.collect_titles(list, then, titles);
                self.collect_titles(list, otherwise, titles);
            }
            Expression::Aggregate { function: Aggregate::Tally, list, value: Some(value), .. } => {
                self.collect_titles(self.lists.get(*list), value, titles);
            }
            _ => {}
        }
    }
}

/// The choices that an input or field, or a step that hands them on, can be.
pub(super) fn choices_at<'a>(place: usize, inputs: &'a [Input], steps: &'a [Step]) -> &'a [Choice] {
    match inputs.get(place) {
        Some(Input { kind: InputKind::Text { choices, .. }, .. }) => choices,
        Some(_) => &[],
        None => steps.get(place - inputs.len()).map_or(&[], |step| &step.titles.choices),
    }
}

impl Titles {
    /// What the choice with this id is called.
    pub(super) fn title(&self, id: &str) -> Option<&str> {
        self.choices.iter().find(|choice| choice.id == id).map(|choice| choice.title.as_str())
    }

    fn of_place(&mut self, place: usize, inputs: &[Input], steps: &[Step]) {
        match inputs.get(place) {
            Some(Input { id, kind: InputKind::Text { choices, .. }, .. }) => self.add(std::slice::from_ref(id), choices),
            Some(_) => {}
            None => {
                if let Some(step) = steps.get(place - inputs.len()) {
                    self.add(&step.titles.of, &step.titles.choices);
                }
            }
        }
    }

    fn add(&mut self, of: &[String], choices: &[Choice]) {
        let new: Vec<&String> = of.iter().filter(|name| !self.of.contains(name)).collect();
        if !new.is_empty() {
            self.of.extend(new.into_iter().cloned());
            self.choices.extend(choices.iter().cloned());
        }
    }

    /// A text as readers see it: a choice by its title, and each of the choices that a tally counts.
    pub(super) fn show(&self, text: &str) -> String {
        if self.choices.is_empty() {
            return text.to_owned();
        }
        let title = |id: &str| self.title(id).unwrap_or(id).to_owned();
        let counted = |part: &str| match part.split_once(" × ") {
            Some((times, id)) if times.bytes().all(|byte| byte.is_ascii_digit()) => format!("{times} × {}", title(id)),
            _ => title(part),
        };
        text.split("; ").map(counted).collect::<Vec<_>>().join("; ")
    }
}
