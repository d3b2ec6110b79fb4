//! The bounded search, for what is too large to be solved exactly: the most information per minute next, exact wherever what
//! is left has become small enough, and a bound that says how far the whole can be from the best.

use std::collections::HashMap;

use super::Limits;
use super::board::Board;
use super::plan::{Plan, entropy};
use super::policy::Policy;
use super::situation::{Key, Situation, View};
use super::solve::Solver;

/// Situations that the exact search may open for each step of the bounded one.
const SITUATIONS_A_STEP: usize = 200;

/// Work that it may cost for each step, and for all of them: where many checks are unsure, every situation has hundreds of
/// endings to bound, and 200 of them took most of the time without an answer.
const WORK_A_STEP: u64 = 10_000_000;
const MOST_WORK: u64 = 1_500_000_000;

/// Work that looking two checks ahead for the least minutes may cost; beyond it one has to do.
const WORK_TO_LOOK_AHEAD: u64 = 600_000_000;

pub(super) fn policy(board: &Board, solver: &mut Solver, limits: &Limits, written_minutes: Option<f64>) -> Policy {
    let start = board.start();
    let chosen = choose(board, solver, &start, limits.steps);
    let mut plan = Plan::default();
    let (_, minutes) = plan.add(board, &start, &mut |at, view| chosen.get(&board.key(at, view)).copied());
    let least = least(board, solver, &start, depth(board, &start));
    Policy {
        expected_minutes: minutes,
        exact: false,
        gap: (minutes - least).max(0.0),
        written_minutes,
        situations: solver.opened,
        nodes: plan.nodes,
    }
}

/// A check for each situation that is met, the likeliest situations first, until there are as many as `steps`.
fn choose(board: &Board, solver: &mut Solver, start: &Situation, steps: usize) -> HashMap<Key, usize> {
    let mut chosen: HashMap<Key, usize> = HashMap::new();
    let most_work = board.work.get() + MOST_WORK;
    // Few enough to be searched through for the likeliest; of equals the first that was met.
    let mut open: Vec<(f64, Situation)> = vec![(1.0, start.clone())];
    while !open.is_empty() && chosen.len() < steps {
        let likeliest = (1..open.len()).fold(0, |best, place| if open[place].0 > open[best].0 { place } else { best });
        let (reached, at) = open.remove(likeliest);
        let view = board.view(at.possible);
        if board.over(&at, &view) {
            continue;
        }
        let key = board.key(&at, &view);
        if chosen.contains_key(&key) {
            continue;
        }
        solver.allow(SITUATIONS_A_STEP, WORK_A_STEP.min(most_work.saturating_sub(board.work.get())));
        let exact = solver.exact(&at).and_then(|_| solver.best(&at, &view));
        let Some(check) = exact.or_else(|| most_for_its_minutes(board, &at, &view)) else { continue };
        chosen.insert(key, check);
        let action = board.action(&at, check);
        open.extend(board.endings(&at, &view, &action).into_iter().map(|ending| (reached * ending.probability, ending.then)));
    }
    chosen
}

/// The check with the most expected information for its minutes, what must come before it counted in; or the first of those.
fn most_for_its_minutes(board: &Board, at: &Situation, view: &View) -> Option<usize> {
    let before = entropy(at);
    let mut best: Option<(f64, usize)> = None;
    for way in board.ways(at, view) {
        let endings = board.endings(&way.from, view, &way.last);
        let after: f64 = endings.iter().map(|ending| ending.probability * entropy(&ending.then)).sum();
        let rate = (before - after) / way.minutes;
        if best.is_none_or(|(most, _)| rate > most + 1e-12) {
            best = Some((rate, way.first));
        }
    }
    best.map(|(_, first)| first)
}

/// How many checks to look ahead: the bounds of all endings of every two checks in a row cost about this much work.
fn depth(board: &Board, start: &Situation) -> usize {
    let view = board.view(start.possible);
    let chances = view.chances(board.useful(start, &view));
    let endings = chances / view.alive.len().max(1) as u64;
    if endings.saturating_pow(2).saturating_mul(chances) <= WORK_TO_LOOK_AHEAD { 2 } else { 1 }
}

/// Minutes that no policy can undercut, looking `depth` checks ahead.
fn least(board: &Board, solver: &Solver, at: &Situation, depth: usize) -> f64 {
    let view = board.view(at.possible);
    if board.over(at, &view) {
        return 0.0;
    }
    let bound = board.bound(at, &view) / at.whole;
    if depth == 0 {
        return bound;
    }
    let deeper = solver.choices(at, &view, f64::INFINITY).into_iter().map(|choice| {
        let after = choice.endings.iter().map(|(ending, _)| ending.probability * least(board, solver, &ending.then, depth - 1));
        choice.action.minutes + after.sum::<f64>()
    });
    bound.max(deeper.fold(f64::INFINITY, f64::min))
}
