//! What to do next.

use super::super::board::{SAME, Set, bit, places};
use super::super::{Node, Odds};
use super::standing::Standing;
use super::{Walk, conflict};
use crate::handbook::State;

/// Rates closer than this part of each other are the same; wide enough for two machines' logarithms.
const SAME_RATE: f64 = 1e-9;

#[derive(Debug, Clone, PartialEq)]
pub enum Next {
    Do(Step),
    /// A fault has at least the chance at which it is named. The others are less likely, but possible.
    Named {
        suspect: usize,
        probability: f64,
        others: Vec<Odds>,
    },
    /// No check that can be done parts these, likeliest first. Those that were put off and would help: `if_done`.
    Open {
        suspects: Vec<Odds>,
        if_done: Vec<usize>,
    },
    /// No suspect is left. The events, by their place in the history, that cannot all be right.
    Contradiction {
        events: Vec<usize>,
    },
}

/// One thing to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Place in the model's checks.
    pub check: usize,
    /// The check for whose sake it is done; itself, unless it must come before another.
    pub toward: usize,
    /// The state in which the appliance is before.
    pub from: State,
    pub change_minutes: f64,
    /// Change of state and check together.
    pub minutes: f64,
    /// From here to the end of `toward`, all that comes before it included.
    pub way_minutes: f64,
    /// Expected information of `toward`, in bits.
    pub bits: f64,
    /// Chance that the search is over after `toward`.
    pub ends: f64,
    pub reason: Reason,
}

/// Why a step comes next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reason {
    /// It is the computed policy's; minutes to be expected from here to the end.
    Planned { left_minutes: f64 },
    /// Off the policy: it tells the most for its minutes.
    Chosen,
    /// It was asked for.
    Asked,
}

/// How to come to a check.
struct Way {
    first: usize,
    minutes: f64,
}

impl Walk<'_> {
    pub(super) fn next(&self, at: &Standing) -> Next {
        if at.possible == 0 {
            return Next::Contradiction { events: conflict::events(self, at) };
        }
        if let Some(wanted) = at.wanted.filter(|&check| self.can_be_done(at, check))
            && let Some(step) = self.step(at, wanted, wanted, Reason::Asked)
        {
            return Next::Do(step);
        }
        if let Some(Node::Ask(ask)) = at.node.map(|node| &self.policy.nodes[node])
            && let Some(step) = self.step(at, ask.check, self.aim(ask), Reason::Planned { left_minutes: ask.left_minutes })
        {
            return Next::Do(step);
        }
        let (leader, probability) = at.leader();
        if probability >= self.board.certainty - SAME {
            let mut others = at.odds();
            others.retain(|odds| odds.suspect != leader);
            return Next::Named { suspect: leader, probability, others };
        }
        let best = self.most_for_its_minutes(at).and_then(|check| self.step(at, check, check, Reason::Chosen));
        best.map_or_else(|| Next::Open { suspects: at.odds(), if_done: places(self.holding_back(at)).collect() }, Next::Do)
    }

    /// The check for whose sake the policy asks: the first from here on whose findings lead different ways.
    fn aim(&self, ask: &super::super::Ask) -> usize {
        let mut ask = ask;
        while let [only] = ask.branches.as_slice()
            && let Node::Ask(next) = &self.policy.nodes[only.node]
        {
            ask = next;
        }
        ask.check
    }

    /// Checks that part what is possible and have no answer.
    fn parting(&self, at: &Standing) -> Set {
        self.board.view(at.possible).parting & !at.done
    }

    /// Whether a check can be done as things stand, what must come before it included.
    fn can_be_done(&self, at: &Standing, check: usize) -> bool {
        let board = &self.board;
        let needed = bit(check) | at.before[check] & !at.done;
        board.doable & bit(check) != 0 && needed & at.lost == 0 && (needed | self.rules.holds[check]) & at.aside == 0
    }

    pub(super) fn is_open(&self, at: &Standing, check: usize) -> bool {
        at.done & bit(check) == 0 && self.can_be_done(at, check)
    }

    fn useful(&self, at: &Standing) -> impl Iterator<Item = usize> {
        places(self.parting(at)).filter(|&check| self.can_be_done(at, check))
    }

    fn over(&self, at: &Standing) -> bool {
        at.leader().1 >= self.board.certainty - SAME || self.useful(at).next().is_none()
    }

    /// Checks that were put off and keep others, or themselves, from parting what is possible.
    fn holding_back(&self, at: &Standing) -> Set {
        let one = |set: Set, check: usize| set | bit(check) | at.before[check] | self.rules.holds[check];
        places(self.parting(at) & !at.lost).fold(0, one) & at.aside & !at.lost
    }

    /// The check that is expected to tell the most for its minutes; of equals the one in the safer state, then the cheaper,
    /// then the first.
    fn most_for_its_minutes(&self, at: &Standing) -> Option<usize> {
        let model = self.board.model;
        let mut useful: Vec<usize> = self.useful(at).collect();
        useful.sort_by(|&a, &b| {
            let (one, other) = (&model.checks[a], &model.checks[b]);
            one.state.cmp(&other.state).then(one.minutes.total_cmp(&other.minutes)).then(a.cmp(&b))
        });
        let mut best: Option<(f64, usize)> = None;
        for check in useful {
            let Some(way) = self.way(at, check) else { continue };
            let rate = self.bits(at, check) / way.minutes;
            if best.is_none_or(|(most, _)| rate > most * (1.0 + SAME_RATE)) {
                best = Some((rate, check));
            }
        }
        best.map(|(_, check)| check)
    }

    /// Expected information of a check, in bits.
    fn bits(&self, at: &Standing, check: usize) -> f64 {
        let mut bits = at.entropy();
        for outcome in 0..self.board.model.checks[check].outcomes.len() {
            let then = at.and(&self.board, check, outcome);
            if then.whole > 0.0 {
                bits -= then.whole / at.whole * then.entropy();
            }
        }
        bits.max(0.0)
    }

    /// Chance that the search is over after a check.
    fn ends(&self, at: &Standing, check: usize) -> f64 {
        let mut ends = 0.0;
        for outcome in 0..self.board.model.checks[check].outcomes.len() {
            let then = at.and(&self.board, check, outcome);
            if then.whole > 0.0 && self.over(&then) {
                ends += then.whole / at.whole;
            }
        }
        ends
    }

    fn step(&self, at: &Standing, check: usize, toward: usize, reason: Reason) -> Option<Step> {
        let first = self.way(at, check)?.first;
        let way_minutes = self.way(at, toward)?.minutes;
        let model = &self.board.model.checks[first];
        let change_minutes = self.board.model.minutes.between(at.state, model.state);
        let toward = if first == check { toward } else { check };
        Some(Step {
            check: first,
            toward,
            from: at.state,
            change_minutes,
            minutes: change_minutes + model.minutes,
            way_minutes,
            bits: self.bits(at, toward),
            ends: self.ends(at, toward),
            reason,
        })
    }

    /// Through all that must come before a check, whatever that finds; `None` if it can never be done.
    fn way(&self, at: &Standing, check: usize) -> Option<Way> {
        let board = &self.board;
        let (mut done, mut fresh, mut state, mut minutes) = (at.done & !bit(check), at.fresh, at.state, 0.0);
        let mut first = None;
        loop {
            let missing = (at.before[check] | bit(check)) & !done;
            let next = places(missing).find(|&next| at.after[next] & !done == 0)?;
            let this = &board.model.checks[next];
            let holding = if this.state == state { fresh } else { 0 };
            let again = self.rules.holds[next] & !holding;
            let guard = places(again).find(|&guard| self.rules.holds[guard] & again == 0);
            minutes += board.model.minutes.between(state, this.state);
            minutes += places(again).map(|guard| board.model.checks[guard].minutes).sum::<f64>();
            minutes += this.minutes;
            let first = *first.get_or_insert(guard.unwrap_or(next));
            if next == check {
                return Some(Way { first, minutes });
            }
            fresh = holding | again | bit(next) & board.guards;
            done |= bit(next);
            state = this.state;
        }
    }
}
