//! The plot: a number step over a number input.

use super::Builder;
use crate::diagnostic::{Code, Diagnostic};
use crate::formula::band::Bands;
use crate::formula::program::{InputKind, Plot};
use crate::formula::typing::Type;

impl Builder<'_> {
    pub(super) fn plot(&mut self) {
        let Some(draft) = &self.draft.plot else { return };
        let of = self.program.steps.iter().position(|step| step.id == draft.of.value);
        let over = self.program.inputs.iter().position(|input| input.id == draft.over.value);
        match of.map(|of| &self.program.steps[of].kind) {
            None if self.scope.broken.contains(&draft.of.value) => {}
            None => {
                let problem = Diagnostic::new(Code::UnknownName, draft.of.span, format!("there is no step `{}`", draft.of.value));
                let row = self.scope.list_with(&draft.of.value).map(str::to_owned);
                let problem = match row {
                    Some(list) => problem.hint(format!("it belongs to each row of `{list}`; plot a step over all rows")),
                    None => problem.nearest(&draft.of.value, self.program.steps.iter().map(|step| step.id.as_str())),
                };
                self.problems.add(problem);
            }
            Some(Type::Number { .. }) => {}
            Some(kind) => {
                let message = format!("only a number can be plotted, and `{}` gives {kind}", draft.of.value);
                self.report(Code::TypeMismatch, draft.of.span, message);
            }
        }
        match over.map(|over| &self.program.inputs[over].kind) {
            None if self.scope.broken.contains(&draft.over.value) => {}
            None => {
                let problem = Diagnostic::new(Code::UnknownName, draft.over.span, format!("there is no input `{}`", draft.over.value));
                self.problems.add(problem.nearest(&draft.over.value, self.program.inputs.iter().map(|input| input.id.as_str())));
            }
            Some(InputKind::Number { .. }) => {}
            Some(InputKind::Text { .. }) => {
                let message = format!("a plot goes over a number, and `{}` is a choice", draft.over.value);
                self.report(Code::TypeMismatch, draft.over.span, message);
            }
        }
        let (Some(of), Some(over)) = (of, over) else { return };
        let verdict = self.program.verdicts.iter().position(|verdict| verdict.step == of && matches!(verdict.bands, Bands::Number { .. }));
        self.program.plot = Some(Plot { title: draft.title.value.clone(), of, over, verdict });
    }
}
