//! Verdicts: bands in order, no gap, no overlap.

use super::{Builder, mismatch};
use crate::diagnostic::{Code, Diagnostic, Problems};
use crate::formula::band::Bands;
use crate::formula::compile::compile;
use crate::formula::draft::{BandDraft, IsDraft, VerdictDraft};
use crate::formula::evaluate::{Value, World, below};
use crate::formula::program::Verdict;
use crate::formula::quotes::in_yaml;
use crate::formula::typing::{Expression, Formula, Type};
use crate::formula::unit::Unit;
use crate::source::Inset;

/// More texts than an author writes bands for.
const MOST_TEXTS: usize = 20;

impl Builder<'_> {
    pub(super) fn verdicts(&mut self) {
        for draft in &self.draft.verdicts {
            let Some(step) = self.program.steps.iter().position(|step| step.id == draft.on.value) else {
                if !self.draft.steps.iter().any(|step| step.id.value == draft.on.value) {
                    let known = self.draft.steps.iter().map(|step| step.id.value.as_str());
                    let problem = Diagnostic::new(Code::UnknownName, draft.on.span, self.no_step(&draft.on.value));
                    self.problems.add(problem.nearest(&draft.on.value, known));
                }
                continue;
            };
            if draft.bands.is_empty() {
                self.report(Code::BandGap, draft.span, "the verdict has no band");
                continue;
            }
            let kind = self.program.steps[step].kind.clone();
            let bands = match &kind {
                Type::Number { .. } => self.number_bands(draft, &kind),
                Type::Truth => self.value_bands(draft, vec![Value::Truth(true), Value::Truth(false)], &kind),
                Type::Text { choices } if choices.is_empty() || choices.len() > draft.bands.len().max(MOST_TEXTS) => {
                    let texts = if choices.is_empty() { "any text".to_owned() } else { format!("any of {} texts", choices.len()) };
                    let message = format!("`{}` can be {texts}, so no bands cover it", draft.on.value);
                    let problem = Diagnostic::new(Code::BandGap, draft.on.span, message);
                    self.problems.add(problem.hint("judge a truth or a number instead, such as `count(LIST where not TRUTH)`"));
                    continue;
                }
                Type::Text { choices } => self.value_bands(draft, choices.iter().cloned().map(Value::Text).collect(), &kind),
            };
            if let Some(bands) = bands {
                self.program.verdicts.push(Verdict { step, title: draft.title.value.clone(), bands });
            }
        }
    }

    fn number_bands(&mut self, draft: &VerdictDraft, kind: &Type) -> Option<Bands> {
        let mut edges = Vec::new();
        let last = draft.bands.len() - 1;
        let compiled: Vec<(Option<Formula>, Option<Formula>)> =
            draft.bands.iter().map(|band| (self.edge(band.from.as_ref(), kind), self.edge(band.to.as_ref(), kind))).collect();
        for (at, band) in draft.bands.iter().enumerate() {
            if let Some(is) = &band.is {
                self.report(Code::WrongValue, is.span, format!("the step gives {kind}: expected `from` and `to`, found `is`"));
                return None;
            }
            if at == 0
                && let Some(from) = &band.from
            {
                let problem = Diagnostic::new(Code::BandGap, from.whole(), "no band covers what lies below the first one");
                self.problems.add(problem.hint("leave out the first `from`"));
            }
            match (&band.to, at == last) {
                (Some(to), true) => {
                    let problem = Diagnostic::new(Code::BandGap, to.whole(), "no band covers what lies above the last one");
                    self.problems.add(problem.hint("leave out the last `to`"));
                }
                (None, false) => {
                    let problem = Diagnostic::new(Code::BandOverlap, band.span, "the band has no `to`, but another band follows");
                    self.problems.add(problem.hint("give it a `to` equal to the next band's `from`"));
                }
                _ => {}
            }
            if at > 0 {
                self.joint(&draft.bands[at - 1], band, compiled[at - 1].1.as_ref(), compiled[at].0.as_ref());
            }
            if at < last {
                edges.extend(compiled[at].1.clone());
            }
        }
        // A unit that is missing puts an edge out of line too.
        let told = |problems: &Problems| problems.iter().any(|problem| draft.bands.iter().any(|band| at_an_edge(band, problem)));
        for pair in edges.windows(2).filter(|_| !told(self.problems)).collect::<Vec<_>>() {
            if let (Some(lower), Some(upper)) = (constant(&pair[0]), constant(&pair[1]))
                && !below(lower, upper)
            {
                let problem = Diagnostic::new(Code::OutOfRange, pair[1].span, "the edges do not rise from band to band");
                self.problems.add(problem.also(pair[0].span, "this edge comes before"));
            }
        }
        (edges.len() == last).then_some(Bands::Number { edges })
    }

    fn edge(&mut self, inset: Option<&Inset>, kind: &Type) -> Option<Formula> {
        let inset = inset?;
        let formula = compile(inset, &self.scope, self.problems)?;
        if formula.kind != *kind {
            let problem = Diagnostic::new(
                mismatch(&formula.kind, true),
                inset.whole(),
                format!("the step gives {kind}, but this edge is {}", formula.kind),
            );
            self.problems.add(match kind {
                Type::Number { dimension, point } if formula.kind == Type::PLAIN => {
                    problem.hint(format!("write a unit after the number, as in `'{}'`", Unit::example(*dimension, *point)))
                }
                _ => problem,
            });
            return None;
        }
        Some(formula)
    }

    /// Where two bands meet, the lower one's `to` and the upper one's `from` must be the same.
    fn joint(&mut self, lower: &BandDraft, upper: &BandDraft, to: Option<&Formula>, from: Option<&Formula>) {
        let (Some(to_text), Some(from_text)) = (&lower.to, &upper.from) else {
            if upper.from.is_none() {
                let problem = Diagnostic::new(Code::BandOverlap, upper.span, "the band has no `from`, but another band comes before");
                let hint = lower
                    .to
                    .as_ref()
                    .map_or("give it the `to` of the band before".to_owned(), |to| format!("write `from: {}`", in_yaml(&to.text)));
                self.problems.add(problem.hint(hint));
            }
            return;
        };
        let (Some(to), Some(from)) = (to, from) else { return };
        if to.expression == from.expression {
            return;
        }
        if let (Expression::Number { written, unit, .. }, Expression::Number { written: other, unit: others, .. }) =
            (&to.expression, &from.expression)
            && written == other
            && unit.is_some() != others.is_some()
        {
            let ((bare, with), (key, other)) =
                if unit.is_none() { ((to_text, from_text), ("to", "`from`")) } else { ((from_text, to_text), ("from", "`to`")) };
            let problem =
                Diagnostic::new(Code::UnitMismatch, bare.whole(), format!("expected the unit of the {other} that it meets, found none"));
            self.problems
                .add(problem.also(with.whole(), "the same number with a unit").hint(format!("write `{key}: {}`", in_yaml(&with.text))));
            return;
        }
        let (code, message) = match (constant(to), constant(from)) {
            (Some(to), Some(from)) if below(to, from) => (Code::BandGap, "no band covers what lies between `to` and the next `from`"),
            (Some(to), Some(from)) if below(from, to) => (Code::BandOverlap, "the bands overlap between this `from` and the `to` before"),
            (Some(_), Some(_)) => return,
            _ => (Code::BandGap, "the bands cannot be seen to meet"),
        };
        let problem = Diagnostic::new(code, from_text.whole(), message).also(to_text.whole(), "the band before ends here");
        self.problems.add(problem.hint(format!("write `from: {}`", in_yaml(&to_text.text))));
    }

    fn value_bands(&mut self, draft: &VerdictDraft, all: Vec<Value>, kind: &Type) -> Option<Bands> {
        let mut sound = true;
        let mut values = Vec::new();
        for band in &draft.bands {
            let Some(is) = &band.is else {
                self.report(Code::MissingField, band.span, format!("the step gives {kind}: the band needs `is`"));
                return None;
            };
            let value = match &is.value {
                IsDraft::Truth(truth) => Value::Truth(*truth),
                IsDraft::Text(text) => Value::Text(text.clone()),
            };
            if let Some(first) = values.iter().position(|known| *known == value) {
                let problem = Diagnostic::new(Code::BandOverlap, is.span, format!("two bands stand for {}", words(&value)));
                self.problems.add(problem.also(draft.bands[first].span, "the first"));
                sound = false;
            } else if !all.contains(&value) {
                let list = all.iter().map(words).collect::<Vec<_>>().join(", ");
                let problem = Diagnostic::new(Code::WrongValue, is.span, format!("expected one of {list}, found {}", words(&value)));
                self.problems.add(match (&value, kind) {
                    (Value::Text(text), Type::Truth) => problem.hint(match text.to_lowercase().as_str() {
                        "no" | "off" | "false" => "write `false`, without quotes",
                        _ => "write `true` or `false`, without quotes",
                    }),
                    _ => problem,
                });
                sound = false;
            }
            values.push(value);
        }
        let missing: Vec<String> = all.iter().filter(|value| !values.contains(value)).map(words).collect();
        // A band for nothing known, or for what another stands for, most likely stands for what is missing.
        if sound && !missing.is_empty() {
            self.report(Code::BandGap, draft.span, format!("no band stands for {}", missing.join(", ")));
        }
        Some(Bands::Is(values))
    }
}

fn at_an_edge(band: &BandDraft, problem: &Diagnostic) -> bool {
    [&band.from, &band.to].into_iter().flatten().any(|edge| edge.whole() == problem.span)
}

/// The value of an edge that uses no names.
fn constant(edge: &Formula) -> Option<f64> {
    edge.number(&World::default()).ok()
}

fn words(value: &Value) -> String {
    match value {
        Value::Truth(truth) => truth.to_string(),
        Value::Text(text) => format!("\"{text}\""),
        Value::Number(number) => number.to_string(),
    }
}
