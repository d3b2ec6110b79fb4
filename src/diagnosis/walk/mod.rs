//! A diagnosis as it is walked on a call: what was answered so far, what is then still possible, and what to do next.
//!
//! As long as the answers follow the computed policy, the next step is the policy's. A check that cannot be done now, an odd
//! reading, a fault that its proof denies, or an answer taken back leads off it. From there one rule holds: of the checks that
//! still part what is possible and can be done, the one that is expected to tell the most for its minutes, all that must come
//! before it counted in. `browser/walk-model.js` does the same sums in the same order, so that page and terminal agree.

mod conflict;
mod event;
mod next;
mod rules;
mod standing;

pub use event::{Event, UnreadEvent};
pub use next::{Next, Reason, Step};

use self::rules::Rules;
use self::standing::Standing;
use super::board::{Board, bit, places};
use super::{Diagnosis, Odds, Policy};
use crate::handbook::State;

/// Walks through one symptom.
pub struct Walk<'a> {
    board: Board<'a>,
    rules: Rules,
    policy: &'a Policy,
}

/// Where a walk stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    /// What is still possible, likeliest first; of equals the one that is listed first. Empty if the answers contradict.
    pub odds: Vec<Odds>,
    /// The state in which the appliance now is.
    pub state: State,
    /// Minutes that the steps so far take, by the handbook.
    pub minutes: f64,
    /// Whether the next step is the computed policy's.
    pub planned: bool,
    /// Checks that were put off or whose reading was set aside, in the order of the model.
    pub aside: Vec<Aside>,
    /// Checks that have no answer and can be done as things stand, what must come before them included.
    pub open_checks: Vec<usize>,
    /// Places in the history of what counts: findings, checks left without an answer, faults denied.
    pub noted: Vec<usize>,
    pub next: Next,
}

/// A check that was left without an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Aside {
    pub check: usize,
    /// Whether it was done and its reading set aside; otherwise it could not be done.
    pub odd: bool,
    /// Whether it can be asked again: what it reads has not been lost.
    pub open: bool,
}

/// An event of a history that cannot have happened.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WrongEvent {
    /// Its place in the history, from 0.
    pub place: usize,
    pub why: Refusal,
}

/// Why an event cannot have happened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refusal {
    /// There is no such check, outcome or suspect.
    Unknown,
    /// Something must come before this check, or must be done again in its state.
    NotYet,
    /// What the check reads was lost when the appliance changed its state.
    Lost,
    /// The check has an answer; to replace it, ask it again first.
    Answered,
}

impl<'a> Walk<'a> {
    pub fn new(diagnosis: &'a Diagnosis) -> Self {
        let board = Board::new(&diagnosis.model, diagnosis.certainty);
        Self { rules: Rules::new(&board), board, policy: &diagnosis.policy }
    }

    /// Whether a check can be done at all: nothing that must come before it waits for itself, and it does not come too late.
    pub fn can_ever_be_done(&self, check: usize) -> bool {
        self.board.doable & bit(check) != 0
    }

    /// Where a history leads; events in the order in which they happened.
    ///
    /// # Errors
    /// The first event that cannot have happened.
    pub fn look(&self, history: &[Event]) -> Result<Look, WrongEvent> {
        let mut at = Standing::new(self);
        for (place, event) in history.iter().enumerate() {
            at.take(self, place, *event).map_err(|why| WrongEvent { place, why })?;
        }
        at.settle(self);
        let next = self.next(&at);
        let planned = matches!(&next, Next::Do(step) if matches!(step.reason, Reason::Planned { .. }));
        let aside = |check: usize| Aside { check, odd: at.is_odd(check), open: !at.is_lost(check) };
        Ok(Look {
            odds: at.odds(),
            state: at.state,
            minutes: at.minutes,
            planned,
            aside: places(at.aside).map(aside).collect(),
            open_checks: (0..self.board.model.checks.len()).filter(|&check| self.is_open(&at, check)).collect(),
            noted: at.noted(),
            next,
        })
    }
}
