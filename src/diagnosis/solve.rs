//! The exact search: least expected minutes by branch and bound over situations, each solved once.

use rustc_hash::FxHashMap;

use super::board::Board;
use super::plan::entropy;
use super::situation::{Action, Ending, Key, Situation, View};

/// Minutes closer than this are the same.
pub(super) const TIE: f64 = 1e-9;

/// What is known of a situation.
#[derive(Clone, Copy)]
enum Known {
    /// The least expected minutes, and the check that begins the way to them.
    Exactly(f64, u8),
    AtLeast(f64),
}

pub(super) struct Solver<'b, 'a> {
    board: &'b Board<'a>,
    known: FxHashMap<Key, Known>,
    /// Situations opened so far, and how many may be.
    pub opened: usize,
    budget: usize,
    /// How far the board's work may go.
    work: u64,
}

/// Work that one exact search may cost; more than one that succeeds usually takes.
const MOST_WORK: u64 = 3_000_000_000;

/// A check that might come next, with its endings and the minutes that it costs at least.
pub(super) struct Choice {
    pub action: Action,
    pub endings: Vec<(Ending, f64)>,
    pub at_least: f64,
    /// Which of equals is preferred: the lowest.
    rank: usize,
    /// What it may cost in the end; it only says what is looked at first.
    guess: f64,
}

/// Minutes that a bit of uncertainty may cost in the end; the orders of handbooks are found soonest with 8 to 20.
const MINUTES_A_BIT: f64 = 12.0;

impl<'b, 'a> Solver<'b, 'a> {
    pub fn new(board: &'b Board<'a>, budget: usize) -> Self {
        Self { board, known: FxHashMap::default(), opened: 0, budget, work: board.work.get() + MOST_WORK }
    }

    /// The least expected minutes from a situation; `None` if the budget does not suffice.
    pub fn exact(&mut self, at: &Situation) -> Option<f64> {
        if !self.board.fits() {
            return None;
        }
        let view = self.board.view(at.possible);
        if self.board.over(at, &view) {
            return Some(0.0);
        }
        let minutes = self.search(at, f64::INFINITY);
        matches!(self.known.get(&self.board.key(at, &view)), Some(Known::Exactly(..))).then_some(minutes)
    }

    /// Lets the search open so many situations more, for so much more work.
    pub fn allow(&mut self, situations: usize, work: u64) {
        self.budget = self.opened + situations;
        self.work = self.board.work.get() + work;
    }

    fn spent(&self) -> bool {
        self.opened >= self.budget || self.board.work.get() >= self.work
    }

    /// The check that begins the best way from a situation that was solved exactly.
    pub fn best(&self, at: &Situation, view: &View) -> Option<usize> {
        match self.known.get(&self.board.key(at, view)) {
            Some(Known::Exactly(_, check)) => Some(*check as usize),
            _ => None,
        }
    }

    /// The least expected minutes if they are at most `limit`; otherwise, or if the budget is spent, at most those.
    fn search(&mut self, at: &Situation, limit: f64) -> f64 {
        let board = self.board;
        let view = board.view(at.possible);
        if board.over(at, &view) {
            return 0.0;
        }
        let key = board.key(at, &view);
        let mut floor = board.bound(at, &view) / at.whole;
        match self.known.get(&key) {
            Some(Known::Exactly(minutes, _)) => return *minutes,
            Some(Known::AtLeast(minutes)) => floor = floor.max(*minutes),
            None => {}
        }
        if floor > limit + TIE || self.spent() {
            return floor;
        }
        self.opened += 1;

        let mut choices = self.choices(at, &view, limit);
        choices.sort_by(|a, b| a.guess.total_cmp(&b.guess));
        let mut best: Option<(f64, usize, usize)> = None;
        let mut least = f64::INFINITY;
        for choice in &choices {
            let most = best.map_or(limit, |(minutes, ..)| limit.min(minutes));
            let minutes = self.value(choice, most);
            least = least.min(minutes);
            if self.spent() {
                return floor;
            }
            if minutes > most + TIE {
                continue;
            }
            if best.is_none_or(|(best, rank, _)| minutes < best - TIE || (minutes < best + TIE && choice.rank < rank)) {
                best = Some((minutes, choice.rank, choice.action.check));
            }
        }
        match best {
            Some((minutes, _, check)) => {
                self.known.insert(key, Known::Exactly(minutes, check as u8));
                minutes
            }
            None => {
                let minutes = floor.max(least);
                self.known.insert(key, Known::AtLeast(minutes));
                minutes
            }
        }
    }

    /// What might come next, in the order of preference: safer state, cheaper, id. Those that cost more than `limit` are not
    /// worked out further than that.
    pub fn choices(&self, at: &Situation, view: &View, limit: f64) -> Vec<Choice> {
        let board = self.board;
        let one = |(rank, action): (usize, Action)| {
            let mut choice = Choice { at_least: action.minutes, guess: action.minutes, endings: Vec::new(), action, rank };
            if choice.at_least > limit + TIE {
                return choice;
            }
            let mut endings = board.endings(at, view, &choice.action);
            // A likely ending shows soonest that a choice costs too much.
            endings.sort_by(|a, b| b.probability.total_cmp(&a.probability));
            for ending in endings {
                let view = board.view(ending.then.possible);
                let known = self.known_least(&ending.then, &view);
                let least = known.unwrap_or_else(|| board.bound(&ending.then, &view) / ending.then.whole);
                choice.at_least += ending.probability * least;
                if choice.at_least > limit + TIE {
                    return choice;
                }
                if least > 0.0 {
                    choice.guess += ending.probability * MINUTES_A_BIT * entropy(&ending.then);
                }
                choice.endings.push((ending, least));
            }
            choice
        };
        board.actions(at, view).into_iter().enumerate().map(one).collect()
    }

    /// The least expected minutes that begin with a check, if they are at most `most`; otherwise at most those.
    fn value(&mut self, choice: &Choice, most: f64) -> f64 {
        let mut minutes = choice.at_least;
        // More may be known than when the choices were worked out: others of them have been searched since.
        let mut open: Vec<(&Ending, f64)> = Vec::with_capacity(choice.endings.len());
        for (ending, least) in &choice.endings {
            let view = self.board.view(ending.then.possible);
            let known = self.known_least(&ending.then, &view).unwrap_or(0.0).max(*least);
            minutes += ending.probability * (known - least);
            open.push((ending, known));
        }
        for (ending, least) in open {
            if minutes > most + TIE || ending.probability <= 0.0 {
                break;
            }
            let room = least + (most - minutes) / ending.probability;
            let found = self.search(&ending.then, room + TIE / ending.probability);
            minutes += ending.probability * (found - least);
        }
        minutes
    }

    /// What earlier looks at a situation have shown that it costs at least, which is never less than its bound.
    fn known_least(&self, at: &Situation, view: &View) -> Option<f64> {
        if self.board.over(at, view) {
            return Some(0.0);
        }
        match self.known.get(&self.board.key(at, view)) {
            Some(Known::Exactly(minutes, _) | Known::AtLeast(minutes)) => Some(*minutes),
            None => None,
        }
    }
}
