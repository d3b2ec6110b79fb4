//! The plot: a number step over a number input.

use super::Builder;
use crate::diagnostic::{Code, Diagnostic};
use crate::formula::band::Bands;
use crate::formula::draft::PlotDraft;
use crate::formula::program::{InputKind, Plot};
use crate::formula::typing::Type;

impl Builder<'_> {
    pub(super) fn plot(&mut self) {
        let Some(draft) = &self.draft.plot else { return };
        let (of, over) = (self.plotted(draft), self.across(draft));
        let (Some(of), Some((over, (lowest, highest)))) = (of, over) else { return };
        let (from, to) = (draft.from.as_ref().map_or(lowest, |from| from.value), draft.to.as_ref().map_or(highest, |to| to.value));
        for end in [&draft.from, &draft.to].into_iter().flatten() {
            if !(lowest..=highest).contains(&end.value) {
                let message = format!("expected {lowest} to {highest}, the range of `{}`, found {}", draft.over.value, end.value);
                self.report(Code::OutOfRange, end.span, message);
                return;
            }
        }
        if from >= to {
            let span = draft.from.as_ref().or(draft.to.as_ref()).map_or(draft.over.span, |end| end.span);
            self.report(Code::OutOfRange, span, format!("expected `from` below `to`, found {from} and {to}"));
            return;
        }
        let verdict = self.program.verdicts.iter().position(|verdict| verdict.step == of && matches!(verdict.bands, Bands::Number { .. }));
        self.program.plot = Some(Plot { title: draft.title.value.clone(), of, over, from, to, verdict });
    }

    /// The position of the step that goes up.
    fn plotted(&mut self, draft: &PlotDraft) -> Option<usize> {
        let name = &draft.of;
        let Some(of) = self.program.steps.iter().position(|step| step.id == name.value) else {
            if !self.scope.broken.contains(&name.value) {
                let problem = Diagnostic::new(Code::UnknownName, name.span, self.no_step(&name.value));
                self.problems.add(match self.scope.list_with(&name.value) {
                    Some(list) => problem.hint(format!("it belongs to each row of `{list}`; plot a step over all rows")),
                    None => problem.nearest(&name.value, self.program.steps.iter().map(|step| step.id.as_str())),
                });
            }
            return None;
        };
        let kind = &self.program.steps[of].kind;
        if !matches!(kind, Type::Number { .. }) {
            let message = format!("only a number can be plotted, and `{}` gives {kind}", name.value);
            self.report(Code::TypeMismatch, name.span, message);
            return None;
        }
        Some(of)
    }

    /// The place of the input that goes across, with its range.
    fn across(&mut self, draft: &PlotDraft) -> Option<(usize, (f64, f64))> {
        let name = &draft.over;
        let Some(over) = self.program.inputs.iter().position(|input| input.id == name.value) else {
            if !self.scope.broken.contains(&name.value) {
                let problem = Diagnostic::new(Code::UnknownName, name.span, format!("there is no input `{}`", name.value));
                self.problems.add(match self.scope.list_with(&name.value) {
                    Some(list) => problem.hint(format!("it belongs to each row of `{list}`; a plot goes over an input that is given once")),
                    None => problem.nearest(&name.value, self.program.inputs.iter().map(|input| input.id.as_str())),
                });
            }
            return None;
        };
        let InputKind::Number { from, to, .. } = self.program.inputs[over].kind else {
            let message = format!("a plot goes over a number, and `{}` is a choice", name.value);
            self.report(Code::TypeMismatch, name.span, message);
            return None;
        };
        Some((over, (from, to)))
    }
}
