//! Diagnosis: in which order to check, so that a named fault costs the fewest minutes to be expected, along safe orders only.
//!
//! A [`Model`] is what a symptom comes to: suspects with chances, checks with states, minutes and outcomes. [`policy`] answers
//! for every finding what to do next: exactly where the handbook is of the usual size, otherwise by a bounded search that
//! says how far it can be from the best. Cheapest-first by chance over minutes is the special case of checks that each look
//! for one fault (J. B. Kadane and H. A. Simon, 1977; D. Heckerman, J. S. Breese and K. Rommelse, "Decision-theoretic
//! troubleshooting", Communications of the ACM 38(3), 1995).

mod alike;
mod board;
mod bound;
mod bounded;
mod model;
mod plan;
mod policy;
mod read;
mod record;
mod rest;
mod situation;
mod solve;
mod walk;
mod written;

pub use alike::alike;
pub use model::{CheckModel, MAX_CHECKS, MAX_SUSPECTS, Minutes, Model, ModelError, OutcomeModel, SuspectModel};
pub use policy::{Ask, Branch, Node, Odds, Policy};
pub use read::{UNSTATED_CHANGE_MINUTES, model, model_with};
pub use record::{CREDIBLE, Reweighed, interval, reweigh};
pub use rest::Rest;
pub use situation::CERTAINTY;
pub use walk::{Aside, Event, Look, Next, Reason, Refusal, Step, UnreadEvent, Walk, WrongEvent};

use std::collections::BTreeMap;

use rayon::prelude::*;

use self::board::Board;
use crate::handbook::{Handbook, Kind, Name, Symptom};

/// How far to search. Counted in situations and steps, and in the work that their bounds cost, not in time, so that every machine
/// finds the same. For a model of more
/// than [`FULL_SIZE`] both shrink as it grows, since each of its situations takes longer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// A fault is named as soon as its chance is at least this; above 0.5, up to 1.
    pub certainty: f64,
    /// Situations that the exact search may open before it gives up. Each takes about 150 bytes.
    pub situations: usize,
    /// Steps that the bounded search may write down.
    pub steps: usize,
}

/// Faults × checks up to which the limits are spent in full.
pub const FULL_SIZE: usize = 16 * 24;

impl Limits {
    fn for_size_of(&self, model: &Model) -> Self {
        let size = model.suspects.len() * model.checks.len();
        let share = |whole: usize| if size > FULL_SIZE { (whole.saturating_mul(FULL_SIZE) / size).max(1) } else { whole };
        Self { certainty: self.certainty, situations: share(self.situations), steps: share(self.steps) }
    }
}

impl Default for Limits {
    fn default() -> Self {
        Self { certainty: CERTAINTY, situations: 60_000, steps: 600 }
    }
}

/// What was computed for a symptom.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagnosis {
    pub model: Model,
    pub policy: Policy,
    /// The chance at which a fault is named.
    pub certainty: f64,
}

/// The diagnoses of all symptoms whose numbers make a model.
pub fn diagnoses(handbook: &Handbook, limits: &Limits) -> BTreeMap<Name, Diagnosis> {
    let one = |symptom: &Symptom| {
        let model = model(handbook, symptom).ok()?;
        let policy = policy(&model, limits);
        Some((Name::new(Kind::Symptom, &symptom.common.id), Diagnosis { model, policy, certainty: limits.certainty }))
    };
    let all: Vec<_> = handbook.symptoms.par_iter().filter_map(one).collect();
    all.into_iter().collect()
}

/// The policy of a model. Deterministic; where two checks cost the same in the end, the one in the safer state comes first,
/// then the cheaper, then the one with the earlier id.
pub fn policy(model: &Model, limits: &Limits) -> Policy {
    let limits = &limits.for_size_of(model);
    let board = Board::new(model, limits.certainty);
    let mut solver = solve::Solver::new(&board, limits.situations);
    let start = board.start();
    let written_minutes = written::minutes(&board, limits.situations);
    let found = solver.exact(&start);
    match found {
        Some(minutes) => plan::exact(&board, &mut solver, minutes, written_minutes),
        None => bounded::policy(&board, &mut solver, limits, written_minutes),
    }
}
