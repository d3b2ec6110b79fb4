//! Lists of rows: the fields of a row, its steps, how many rows, and the rows to start with.

use super::Builder;
use crate::diagnostic::{Code, Diagnostic};
use crate::formula::draft::{InputKindDraft, RowDraft, RowsDraft};
use crate::formula::example::cannot_be_entered;
use crate::formula::program::{Input, RowList};
use crate::formula::rows::PARTING;
use crate::source::Placed;

/// More rows than this nobody fills in by hand.
const MOST_ROWS: u32 = 100;

impl Builder<'_> {
    pub(super) fn lists(&mut self) {
        for draft in &self.draft.rows {
            let named = self.name(&draft.id);
            let own = self.sound;
            self.sound = true;
            let list = self.list(draft);
            if self.sound && named {
                // Its fields stay out of the way of the next list's.
                let fields = std::mem::take(&mut self.scope.fields);
                self.scope.row_titles.insert(list.id.clone(), list.row_titles());
                self.scope.list(list.id.clone(), self.program.lists.len(), fields);
                self.program.lists.push(list);
                self.sound = own;
            } else {
                let broken = std::mem::take(&mut self.scope.fields).into_keys();
                broken.chain([draft.id.value.clone()]).for_each(|name| self.scope.broken(name));
            }
        }
    }

    fn list(&mut self, draft: &RowsDraft) -> RowList {
        let mut list = RowList {
            id: draft.id.value.clone(),
            title: draft.title.value.clone(),
            row: draft.row.value.clone(),
            called: None,
            shows: Vec::new(),
            least: draft.least.as_ref().map_or(0, |least| least.value as usize),
            most: draft.most.value as usize,
            fields: Vec::new(),
            steps: Vec::new(),
            start: Vec::new(),
        };
        if draft.most.value == 0 || draft.most.value > MOST_ROWS {
            self.report(Code::OutOfRange, draft.most.span, format!("expected 1 to {MOST_ROWS} rows, found {}", draft.most.value));
        }
        if let Some(least) = &draft.least
            && least.value > draft.most.value
        {
            self.report(Code::OutOfRange, least.span, format!("expected no more than `most`, {}, found {}", draft.most.value, least.value));
        }
        // Aggregates over other lists stand in the calculator's own steps.
        self.scope.other_lists = std::mem::take(&mut self.scope.lists);
        let later: Vec<String> =
            draft.fields.iter().map(|field| &field.id).chain(draft.steps.iter().map(|step| &step.id)).map(|id| id.value.clone()).collect();
        later.into_iter().for_each(|name| self.scope.later(name));
        for field in &draft.fields {
            let named = self.name(&field.id);
            let when = field.when.as_ref().and_then(|when| self.when(when));
            self.parting(&field.kind);
            match self.input_kind(field) {
                Some(kind) if named => {
                    let input = Input { id: field.id.value.clone(), title: field.title.value.clone(), kind, when };
                    self.scope.fields.insert(input.id.clone(), (list.fields.len(), input.kind_type()));
                    list.fields.push(input);
                }
                _ => {
                    self.sound = false;
                    self.scope.broken(field.id.value.clone());
                }
            }
        }
        for step in &draft.steps {
            let named = self.name(&step.id);
            match self.step(step) {
                Some(built) if named => {
                    self.scope.fields.insert(built.id.clone(), (list.fields.len() + list.steps.len(), built.kind.clone()));
                    list.steps.push(built);
                }
                _ => {
                    self.sound = false;
                    self.scope.broken(step.id.value.clone());
                }
            }
        }
        self.scope.lists = std::mem::take(&mut self.scope.other_lists);
        list.called = draft.called.as_ref().and_then(|called| self.called(&list, called));
        list.shows = draft.shows.iter().filter_map(|step| self.shows(&list, step)).collect();
        if draft.start.len() < list.least || draft.start.len() > list.most {
            let span = draft.start.first().and_then(|row| row.first()).map_or(draft.most.span, |(name, _)| name.span);
            let (least, most) = (list.least, list.most);
            self.report(Code::OutOfRange, span, format!("expected {least} to {most} rows to start with, found {}", draft.start.len()));
        }
        if self.sound {
            list.start = draft.start.iter().map(|row| row_texts(&list, row, self.problems)).collect();
        }
        list
    }

    fn called(&mut self, list: &RowList, called: &Placed<String>) -> Option<usize> {
        let found = list.fields.iter().position(|field| field.id == called.value);
        if found.is_none() && self.sound {
            let problem =
                Diagnostic::new(Code::UnknownName, called.span, format!("a row of `{}` has no field `{}`", list.id, called.value));
            self.problems.add(problem.nearest(&called.value, list.fields.iter().map(|field| field.id.as_str())));
        }
        found
    }

    fn shows(&mut self, list: &RowList, step: &Placed<String>) -> Option<usize> {
        let found = list.steps.iter().position(|own| own.id == step.value);
        if found.is_none() && self.sound {
            let problem = Diagnostic::new(Code::UnknownName, step.span, format!("a row of `{}` has no step `{}`", list.id, step.value));
            self.problems.add(problem.nearest(&step.value, list.steps.iter().map(|own| own.id.as_str())));
        }
        found
    }

    /// In the terminal a list is one text, so its choices must not hold what parts rows and fields.
    fn parting(&mut self, kind: &InputKindDraft) {
        let InputKindDraft::Text { choices, .. } = kind else { return };
        for choice in choices.iter().filter(|choice| choice.id.value.contains(PARTING)) {
            let message = format!("expected a choice without `;`, `,` and `=`, which part rows and fields, found `{}`", choice.id.value);
            self.report(Code::WrongValue, choice.id.span, message);
        }
    }
}

/// A row as written, as texts by place; every text is tried as if it were typed.
pub(in crate::formula) fn row_texts(list: &RowList, row: &RowDraft, problems: &mut crate::diagnostic::Problems) -> Vec<Option<String>> {
    let mut texts = vec![None; list.fields.len()];
    for (name, text) in row {
        match list.fields.iter().position(|field| field.id == name.value) {
            Some(place) => {
                if let Err(sentence) = list.fields[place].read(&text.value) {
                    problems.add(cannot_be_entered(name, text, sentence));
                }
                texts[place] = Some(text.value.clone());
            }
            None => {
                let problem =
                    Diagnostic::new(Code::UnknownName, name.span, format!("a row of `{}` has no field `{}`", list.id, name.value));
                problems.add(problem.nearest(&name.value, list.fields.iter().map(|field| field.id.as_str())));
            }
        }
    }
    texts
}
