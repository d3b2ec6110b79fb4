//! What stands first on the page: steps, and rows singled out by a truth.

use super::Builder;
use crate::diagnostic::{Code, Diagnostic};
use crate::formula::draft::{ResultDraft, RowsResultDraft};
use crate::formula::program::Step;
use crate::formula::result::{ResultPart, RowsResult};
use crate::formula::typing::Type;
use crate::source::Placed;

impl Builder<'_> {
    pub(super) fn result(&mut self) {
        // Where a list or step is missing, places no longer count from the draft; what is wrong with it was told.
        if !self.sound {
            return;
        }
        for part in &self.draft.result {
            let built = match part {
                ResultDraft::Step(name) => self.step_of_result(name).map(ResultPart::Step),
                ResultDraft::Rows(draft) => self.rows_of_result(draft).map(ResultPart::Rows),
            };
            self.program.result.extend(built);
        }
    }

    fn step_of_result(&mut self, name: &Placed<String>) -> Option<usize> {
        let found = self.program.steps.iter().position(|step| step.id == name.value);
        if found.is_none() && !self.scope.broken.contains(&name.value) {
            let problem = Diagnostic::new(Code::UnknownName, name.span, self.no_step(&name.value));
            self.problems.add(match self.scope.list_with(&name.value) {
                Some(list) => problem.hint(format!("it belongs to each row of `{list}`; name it under `shows` beside `rows: {list}`")),
                None => problem.nearest(&name.value, self.program.steps.iter().map(|step| step.id.as_str())),
            });
        }
        found
    }

    fn rows_of_result(&mut self, draft: &RowsResultDraft) -> Option<RowsResult> {
        let name = &draft.rows;
        let Some(list) = self.program.lists.iter().position(|list| list.id == name.value) else {
            let problem = Diagnostic::new(Code::UnknownName, name.span, format!("there is no list of rows `{}`", name.value));
            self.problems.add(problem.nearest(&name.value, self.program.lists.iter().map(|list| list.id.as_str())));
            return None;
        };
        if let (Some(_), Some(unless)) = (&draft.only, &draft.unless) {
            self.report(Code::WrongValue, unless.span, "expected `where` or `unless`, found both");
            return None;
        }
        let only = match draft.only.as_ref().or(draft.unless.as_ref()) {
            Some(name) => {
                let step = self.step_of_row(list, name)?;
                let kind = self.program.lists[list].steps[step].kind.clone();
                if kind != Type::Truth {
                    self.report(Code::TypeMismatch, name.span, format!("expected a truth (yes or no), found {kind}"));
                    return None;
                }
                Some((step, draft.only.is_some()))
            }
            None => None,
        };
        let shows: Vec<usize> = draft.shows.iter().filter_map(|name| self.step_of_row(list, name)).collect();
        let none = draft.none.as_ref().map(|none| none.value.clone());
        Some(RowsResult { list, title: draft.title.value.clone(), only, shows, none })
    }

    fn step_of_row(&mut self, list: usize, name: &Placed<String>) -> Option<usize> {
        let steps: &[Step] = &self.program.lists[list].steps;
        let found = steps.iter().position(|step| step.id == name.value);
        if found.is_none() {
            let message = format!("a row of `{}` has no step `{}`", self.program.lists[list].id, name.value);
            let problem = Diagnostic::new(Code::UnknownName, name.span, message);
            self.problems.add(problem.nearest(&name.value, steps.iter().map(|step| step.id.as_str())));
        }
        found
    }
}
