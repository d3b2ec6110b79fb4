//! Inputs: units that fit, a range, a start inside it.

use super::Builder;
use crate::diagnostic::{Code, Diagnostic};
use crate::formula::compile::compile;
use crate::formula::draft::{ChoiceDraft, InputDraft, InputKindDraft};
use crate::formula::program::{Choice, Input, InputKind};
use crate::formula::typing::{Formula, Type};
use crate::formula::unit::Unit;
use crate::source::{Inset, Placed};

impl Builder<'_> {
    pub(super) fn inputs(&mut self) {
        for draft in &self.draft.inputs {
            self.solve_choice(&draft.id.value);
            let named = self.name(&draft.id);
            let when = match self.solve_when(draft) {
                Some(when) => Some(when),
                None => draft.when.as_ref().and_then(|when| self.when(when)),
            };
            match self.input_kind(draft) {
                Some(kind) if named => {
                    let input = Input { id: draft.id.value.clone(), title: draft.title.value.clone(), kind, when };
                    self.scope.name(input.id.clone(), self.program.inputs.len(), input.kind_type());
                    self.program.inputs.push(input);
                }
                _ => {
                    self.sound = false;
                    self.scope.broken(draft.id.value.clone());
                }
            }
        }
    }

    pub(super) fn when(&mut self, when: &Inset) -> Option<Formula> {
        let formula = compile(when, &self.scope, self.problems)?;
        if formula.kind != Type::Truth {
            self.report(Code::TypeMismatch, when.whole(), format!("`when`: expected a truth (yes or no), found {}", formula.kind));
            return None;
        }
        Some(formula)
    }

    pub(super) fn input_kind(&mut self, draft: &InputDraft) -> Option<InputKind> {
        match &draft.kind {
            InputKindDraft::Text { choices, start } => self.choices(choices, start),
            InputKindDraft::Number { unit, from, to, start, units, whole } => {
                let main = match unit {
                    Some(text) => self.unit(text)?,
                    None => Unit::one(),
                };
                if [from, to].iter().any(|edge| !main.to_base(edge.value).is_finite()) || from.value >= to.value {
                    self.report(Code::OutOfRange, to.span, format!("expected `to` above `from`, found {} to {}", from.value, to.value));
                } else if !(from.value..=to.value).contains(&start.value) {
                    let message = format!("expected a start from {} to {}, found {}", from.value, to.value, start.value);
                    self.report(Code::OutOfRange, start.span, message);
                }
                if *whole && start.value.fract() != 0.0 {
                    self.report(Code::OutOfRange, start.span, format!("expected a whole number, found {}", start.value));
                }
                // Whether the unit or those offered beside it are wrong cannot be known, so formulas with the input are not blamed.
                let mut fits = true;
                let mut offered = vec![main];
                for text in units {
                    let Some(unit) = self.unit(text) else { continue };
                    if !unit.fits(&offered[0]) {
                        fits = false;
                        let (found, wanted) = (Type::of_unit(&unit), Type::of_unit(&offered[0]));
                        self.report(
                            Code::UnitMismatch,
                            text.span,
                            format!("expected another unit of {wanted}, found `{}`, {found}", text.value),
                        );
                    } else if offered.iter().any(|known| known.ucum() == unit.ucum()) {
                        self.report(Code::WrongValue, text.span, format!("the unit `{}` is offered twice", text.value));
                    } else {
                        offered.push(unit);
                    }
                }
                fits.then_some(InputKind::Number { units: offered, from: from.value, to: to.value, start: start.value, whole: *whole })
            }
        }
    }

    fn choices(&mut self, choices: &[ChoiceDraft], start: &Placed<String>) -> Option<InputKind> {
        let mut twins = false;
        for (at, choice) in choices.iter().enumerate() {
            let id = &choice.id.value;
            if let Some(first) = choices[..at].iter().find(|before| before.id.value == *id) {
                let problem = Diagnostic::new(Code::DuplicateName, choice.id.span, format!("the choice `{id}` stands twice"));
                self.problems.add(problem.also(first.id.span, "the first"));
                twins = true;
            }
            if id.is_empty() || id.trim() != id || id.contains('"') {
                self.report(Code::WrongValue, choice.id.span, format!("expected a short word for the choice without quotes, found `{id}`"));
            }
        }
        // One of the two was to be another choice, which `start` and formulas may well name.
        if twins {
            return None;
        }
        let Some(position) = choices.iter().position(|choice| choice.id.value == start.value) else {
            let known = choices.iter().map(|choice| choice.id.value.as_str());
            let problem = Diagnostic::new(Code::WrongValue, start.span, format!("expected one of the choices, found `{}`", start.value));
            self.problems.add(problem.nearest(&start.value, known));
            return None;
        };
        let choices = choices.iter().map(|choice| Choice { id: choice.id.value.clone(), title: choice.title.value.clone() }).collect();
        Some(InputKind::Text { choices, start: position })
    }
}
