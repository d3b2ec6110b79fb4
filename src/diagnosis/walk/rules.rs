//! What must come before what, as it stands on a walk.

use super::super::board::{Board, Set, bit, places};
use super::super::model::Model;
use crate::handbook::State;

/// The rules of a model. A check whose reading a state erases comes before all checks in that state, but only as long as it
/// can be done: the walk goes on without one that was put off, set aside or missed.
pub(super) struct Rules {
    /// For each check those that it states to come before it.
    stated: Vec<Set>,
    /// For each check the guards that must hold when it is done: those that it states, directly or through others, and that
    /// belong to its state.
    pub holds: Vec<Set>,
    /// For each state the checks whose reading it erases.
    erased: [Set; 4],
}

impl Rules {
    pub fn new(board: &Board) -> Self {
        let model = board.model;
        let stated: Vec<Set> = model.checks.iter().map(|check| check.after.iter().fold(0, |set, &place| set | bit(place))).collect();
        let holds = |check: usize| before(&stated, check) & board.guards & board.in_state[model.checks[check].state as usize];
        Self { holds: (0..stated.len()).map(holds).collect(), erased: State::ALL.map(|state| erased(model, state)), stated }
    }

    /// Checks whose reading a state erases.
    pub fn erased_in(&self, state: State) -> Set {
        self.erased[state as usize]
    }

    /// What must have been done right before a check, if those in `without` are not waited for because of their readings.
    pub fn after(&self, board: &Board, check: usize, without: Set) -> Set {
        self.stated[check] | self.erased_in(board.model.checks[check].state) & board.doable & !without
    }

    /// All that must have been done before each check, directly or through others.
    pub fn before(&self, board: &Board, without: Set) -> (Vec<Set>, Vec<Set>) {
        let after: Vec<Set> = (0..self.stated.len()).map(|check| self.after(board, check, without)).collect();
        let before = (0..after.len()).map(|check| before(&after, check)).collect();
        (after, before)
    }
}

fn erased(model: &Model, state: State) -> Set {
    let of = |(place, check): (usize, &super::super::CheckModel)| if check.erased_by.contains(&state) { bit(place) } else { 0 };
    model.checks.iter().enumerate().map(of).fold(0, |set, one| set | one)
}

/// All that comes before a check, directly or through others.
fn before(after: &[Set], check: usize) -> Set {
    let (mut found, mut open) = (0, after[check]);
    while open != 0 {
        found |= open;
        open = places(open).fold(0, |set, earlier| set | after[earlier]) & !found;
    }
    found
}
