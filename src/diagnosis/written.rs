//! What the order as the author wrote it costs, so that the computed one can be held against it.

use rustc_hash::FxHashMap;

use super::board::{Board, bit, places};
use super::situation::{Key, Situation, View};

/// Expected minutes of the written order; `None` if it opens more situations than `budget`.
///
/// The author gets the benefit of the doubt: a check that no longer parts anything is left out, the work ends as soon as it
/// would end under the computed policy, and what must come before a check, or must be done again because the appliance left
/// its state, is done just when it is needed. Checks that only come in as preconditions stand at the end.
pub(super) fn minutes(board: &Board, budget: usize) -> Option<f64> {
    if !board.fits() {
        return None;
    }
    let written = &board.model.written;
    let mut order = Vec::new();
    for place in written.iter().copied().chain(0..board.model.checks.len()) {
        if !order.contains(&place) {
            order.push(place);
        }
    }
    let mut known = FxHashMap::default();
    from(board, &order, &board.start(), &mut known, budget)
}

fn from(board: &Board, order: &[usize], at: &Situation, known: &mut FxHashMap<Key, f64>, budget: usize) -> Option<f64> {
    let view = board.view(at.possible);
    if board.over(at, &view) {
        return Some(0.0);
    }
    let key = board.key(at, &view);
    if let Some(minutes) = known.get(&key) {
        return Some(*minutes);
    }
    if known.len() >= budget {
        return None;
    }
    let check = next(board, order, at, &view)?;
    let action = board.action(at, check);
    let mut minutes = action.minutes;
    for ending in board.endings(at, &view, &action) {
        minutes += ending.probability * from(board, order, &ending.then, known, budget)?;
    }
    known.insert(key, minutes);
    Some(minutes)
}

/// The first useful check of an order, or the first of those that must come before it.
pub(super) fn next(board: &Board, order: &[usize], at: &Situation, view: &View) -> Option<usize> {
    let useful = board.useful(at, view);
    let wanted = order.iter().copied().find(|&check| useful & bit(check) != 0)?;
    let missing = (board.before[wanted] | bit(wanted)) & !at.done;
    places(missing).find(|&check| board.after[check] & !at.done == 0)
}
