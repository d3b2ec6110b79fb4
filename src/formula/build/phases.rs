//! The timeline: times that are times, lanes that exist.

use super::{Builder, mismatch};
use crate::diagnostic::{Code, Diagnostic};
use crate::formula::compile::compile;
use crate::formula::dimension::Dimension;
use crate::formula::draft::{PhaseDraft, TimelineDraft};
use crate::formula::evaluate::World;
use crate::formula::program::{Lane, Phase, Timeline};
use crate::formula::timeline::MOST_SEGMENTS;
use crate::formula::typing::{Formula, Type};
use crate::source::Inset;

/// Repeats inside repeats beyond this cannot be followed on a chart.
const DEPTH: usize = 4;

/// What a formula comes to whatever is given, if it uses no input and no step.
fn constant(formula: Option<&Formula>) -> Option<f64> {
    formula?.number(&World::default()).ok()
}

impl Builder<'_> {
    pub(super) fn timeline(&mut self) {
        let Some(draft) = &self.draft.timeline else { return };
        for (at, lane) in draft.lanes.iter().enumerate() {
            if draft.lanes[..at].iter().any(|before| before.id.value == lane.id.value) {
                self.report(Code::DuplicateName, lane.id.span, format!("the lane `{}` stands twice", lane.id.value));
            }
        }
        let lanes = draft.lanes.iter().map(|lane| Lane { id: lane.id.value.clone(), title: lane.title.value.clone() }).collect();
        let phases = self.phases(draft, &draft.phases, 0);
        self.program.timeline = Some(Timeline { title: draft.title.value.clone(), lanes, phases });
    }

    fn phases(&mut self, timeline: &TimelineDraft, drafts: &[PhaseDraft], depth: usize) -> Vec<Phase> {
        let mut phases = Vec::new();
        for draft in drafts {
            match draft {
                PhaseDraft::Lasts { title, lasts, on, between } => {
                    let drafted = lasts;
                    let lasts = self.typed(lasts, &Type::Number { dimension: Dimension::TIME, point: false }, "`lasts`");
                    let mut lanes = Vec::new();
                    for id in on {
                        match timeline.lanes.iter().position(|lane| lane.id.value == id.value) {
                            Some(lane) => lanes.push(lane),
                            None => {
                                let problem = Diagnostic::new(Code::UnknownName, id.span, format!("there is no lane `{}`", id.value));
                                self.problems.add(problem.nearest(&id.value, timeline.lanes.iter().map(|lane| lane.id.value.as_str())));
                            }
                        }
                    }
                    if let (Some(between), 0) = (between, depth)
                        && between.value
                    {
                        self.report(Code::WrongValue, between.span, "`between` stands only inside a `repeat`");
                    }
                    if let Some(seconds) = constant(lasts.as_ref())
                        && seconds < 0.0
                    {
                        self.report(Code::WrongValue, drafted.whole(), "a phase cannot last less than no time");
                    }
                    let between = between.as_ref().is_some_and(|between| between.value);
                    phases.extend(lasts.map(|lasts| Phase::Lasts { title: title.value.clone(), lasts, on: lanes, between }));
                }
                PhaseDraft::Repeat { times, phases: inner } => {
                    if depth == DEPTH {
                        self.report(Code::FormulaTooDeep, times.whole(), format!("repeats are nested more than {DEPTH} deep"));
                        continue;
                    }
                    let drafted = times;
                    let times = self.typed(times, &Type::PLAIN, "`repeat`");
                    if let Some(number) = constant(times.as_ref())
                        && !(number.fract() == 0.0 && (0.0..=MOST_SEGMENTS as f64).contains(&number))
                    {
                        let message = format!("expected a whole number of repeats from 0 to {MOST_SEGMENTS}, found {number}");
                        self.report(Code::WrongValue, drafted.whole(), message);
                    }
                    let inner = self.phases(timeline, inner, depth + 1);
                    phases.extend(times.map(|times| Phase::Repeat { times, phases: inner }));
                }
            }
        }
        phases
    }

    fn typed(&mut self, inset: &Inset, wanted: &Type, field: &str) -> Option<Formula> {
        let formula = compile(inset, &self.scope, self.problems)?;
        if formula.kind != *wanted {
            let problem = Diagnostic::new(
                mismatch(&formula.kind, true),
                inset.whole(),
                format!("{field}: expected {wanted}, found {}", formula.kind),
            );
            self.problems.add(if formula.kind == Type::PLAIN { problem.hint("write a unit after the number: `5 [s]`") } else { problem });
            return None;
        }
        Some(formula)
    }
}
