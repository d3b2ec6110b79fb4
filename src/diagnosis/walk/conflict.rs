//! Which answers cannot all be right.

use super::Walk;
use super::standing::Standing;

/// Places in the history of answers that leave no suspect together, none of which could be left out. Of several such sets
/// the one with the later answers, as the last one brought the contradiction.
pub(super) fn events(walk: &Walk, at: &Standing) -> Vec<usize> {
    let model = walk.board.model;
    // All that counts, the earliest first: (place of the event, whether it is an answer, place in its list).
    let mut counted: Vec<(usize, bool, usize)> = at.answers.iter().enumerate().map(|(at, answer)| (answer.2, true, at)).collect();
    counted.extend(at.denied.iter().enumerate().map(|(at, denied)| (denied.1, false, at)));
    counted.sort_unstable();
    let mut kept = counted.clone();
    for one in counted {
        let rest: Vec<_> = kept.iter().copied().filter(|other| *other != one).collect();
        let of = |answers: bool| rest.iter().filter(|other| other.1 == answers).map(|other| other.2).collect::<Vec<_>>();
        if at.weighed(model, &of(true), &of(false)).2 == 0 {
            kept = rest;
        }
    }
    kept.into_iter().map(|one| one.0).collect()
}
