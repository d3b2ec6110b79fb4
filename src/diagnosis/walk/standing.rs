//! A history taken event by event.

use super::super::board::{Board, Set, bit, places};
use super::super::{Node, Odds};
use super::{Event, Refusal, Walk};
use crate::handbook::State;

/// What a noted event is about. A later event about the same takes its place; a guard counts each time.
#[derive(Clone, Copy, PartialEq, Eq)]
enum About {
    Guard,
    Check(usize),
    Suspect(usize),
}

/// What a history comes to.
#[derive(Clone)]
pub(super) struct Standing {
    /// Chance of each suspect together with all that counts; 0 once it is ruled out.
    pub weights: Vec<f64>,
    pub whole: f64,
    pub possible: Set,
    /// Checks with an answer.
    pub done: Set,
    /// Guards that still hold.
    pub fresh: Set,
    pub state: State,
    /// Checks without an answer that are not to be asked for now.
    pub aside: Set,
    /// Those of them whose reading was odd.
    odd: Set,
    /// Checks whose reading the appliance's states so far have erased.
    pub lost: Set,
    /// Suspects whose proof failed, each with the place of its event.
    pub denied: Vec<(usize, usize)>,
    /// Answers that count: check, outcome, place of the event.
    pub answers: Vec<(usize, usize, usize)>,
    /// The check that was asked for.
    pub wanted: Option<usize>,
    /// The policy's node, as long as the history follows it.
    pub node: Option<usize>,
    pub minutes: f64,
    /// Places of the events that a note names: what was found, what was left without an answer, what was denied.
    noted: Vec<(About, usize)>,
    /// For each check what comes before it as things stand: directly, and all.
    pub after: Vec<Set>,
    pub before: Vec<Set>,
}

impl Standing {
    pub fn new(walk: &Walk) -> Self {
        let model = walk.board.model;
        Self {
            weights: Vec::new(),
            whole: 0.0,
            possible: 0,
            done: 0,
            fresh: 0,
            state: model.start,
            aside: 0,
            odd: 0,
            lost: walk.rules.erased_in(model.start),
            denied: Vec::new(),
            answers: Vec::new(),
            wanted: None,
            node: Some(0),
            minutes: 0.0,
            noted: Vec::new(),
            after: Vec::new(),
            before: Vec::new(),
        }
    }

    /// Keeps the event for the note, and drops those about the same before it.
    fn note(&mut self, walk: &Walk, place: usize, event: Event) {
        let about = match event {
            Event::Found { check, .. } if walk.board.model.checks[check].guard => About::Guard,
            Event::Found { check, .. } | Event::Later(check) | Event::Odd(check) | Event::Again(check) => About::Check(check),
            Event::Not(suspect) | Event::Maybe(suspect) => About::Suspect(suspect),
        };
        if let Event::Found { check, .. } = event {
            self.noted.retain(|(other, _)| *other != About::Check(check));
        }
        self.noted.retain(|(other, _)| about == About::Guard || *other != about);
        if !matches!(event, Event::Again(_) | Event::Maybe(_)) {
            self.noted.push((about, place));
        }
    }

    /// Places of the events that a note names, in their order.
    pub fn noted(&self) -> Vec<usize> {
        self.noted.iter().map(|(_, place)| *place).collect()
    }

    pub fn is_odd(&self, check: usize) -> bool {
        self.odd & bit(check) != 0
    }

    pub fn is_lost(&self, check: usize) -> bool {
        self.lost & bit(check) != 0
    }

    pub fn take(&mut self, walk: &Walk, place: usize, event: Event) -> Result<(), Refusal> {
        let model = walk.board.model;
        let known = match event {
            Event::Found { check, outcome } => model.checks.get(check).is_some_and(|check| outcome < check.outcomes.len()),
            Event::Later(check) | Event::Odd(check) | Event::Again(check) => check < model.checks.len(),
            Event::Not(suspect) | Event::Maybe(suspect) => suspect < model.suspects.len(),
        };
        if !known {
            return Err(Refusal::Unknown);
        }
        self.note(walk, place, event);
        match event {
            Event::Found { check, outcome } => {
                self.may(walk, check)?;
                self.carry_out(walk, check);
                self.put_back(check);
                self.found(walk, check, outcome, place);
            }
            Event::Later(check) => {
                self.unanswered(&walk.board, check)?;
                self.put_aside(check);
                self.odd &= !bit(check);
            }
            Event::Odd(check) => {
                self.may(walk, check)?;
                self.carry_out(walk, check);
                self.put_aside(check);
                self.odd |= bit(check);
            }
            Event::Again(check) => {
                self.put_back(check);
                self.answers.retain(|answer| answer.0 != check);
                self.done &= !bit(check);
                self.fresh &= !bit(check);
                self.wanted = Some(check);
                self.node = None;
            }
            Event::Not(suspect) => {
                self.denied.retain(|denied| denied.0 != suspect);
                self.denied.push((suspect, place));
                self.node = None;
            }
            Event::Maybe(suspect) => {
                self.denied.retain(|denied| denied.0 != suspect);
                self.node = None;
            }
        }
        Ok(())
    }

    /// Whether a check may be done as things stand.
    fn may(&self, walk: &Walk, check: usize) -> Result<(), Refusal> {
        let board = &walk.board;
        self.unanswered(board, check)?;
        if self.is_lost(check) {
            return Err(Refusal::Lost);
        }
        let fresh = if board.model.checks[check].state == self.state { self.fresh } else { 0 };
        let after = walk.rules.after(board, check, self.aside | self.lost);
        let ready = board.doable & bit(check) != 0 && after & !self.done == 0 && walk.rules.holds[check] & !fresh == 0;
        if ready { Ok(()) } else { Err(Refusal::NotYet) }
    }

    /// A guard may be done as often as needed.
    fn unanswered(&self, board: &Board, check: usize) -> Result<(), Refusal> {
        let open = board.model.checks[check].guard || self.done & bit(check) == 0;
        if open { Ok(()) } else { Err(Refusal::Answered) }
    }

    fn carry_out(&mut self, walk: &Walk, check: usize) {
        let model = &walk.board.model.checks[check];
        self.minutes += walk.board.model.minutes.between(self.state, model.state) + model.minutes;
        if model.state != self.state {
            self.fresh = 0;
            self.state = model.state;
            self.lost |= walk.rules.erased_in(self.state);
        }
    }

    fn found(&mut self, walk: &Walk, check: usize, outcome: usize, place: usize) {
        let board = &walk.board;
        let passed = !board.model.checks[check].guard;
        let ask = self.node.and_then(|node| match &walk.policy.nodes[node] {
            Node::Ask(ask) => Some(ask),
            _ => None,
        });
        if passed {
            self.done |= bit(check);
            self.answers.push((check, outcome, place));
        } else if outcome == 0 {
            self.done |= bit(check);
            self.fresh |= bit(check);
        } else {
            // Not safe yet: the step is asked again.
            self.fresh &= !bit(check);
            return;
        }
        self.node = match ask {
            Some(ask) if ask.check == check => {
                ask.branches.iter().find(|branch| branch.outcomes.contains(&outcome)).map(|branch| branch.node)
            }
            // A guard that is done once more before the step.
            Some(ask) if walk.rules.holds[ask.check] & bit(check) != 0 => self.node,
            _ => None,
        };
    }

    fn put_aside(&mut self, check: usize) {
        self.aside |= bit(check);
        self.fresh &= !bit(check);
        self.put_down(check);
        self.node = None;
    }

    fn put_back(&mut self, check: usize) {
        self.aside &= !bit(check);
        self.odd &= !bit(check);
        self.put_down(check);
    }

    fn put_down(&mut self, check: usize) {
        if self.wanted == Some(check) {
            self.wanted = None;
        }
    }

    /// After the last event: Bayes' rule over all that counts, in the order in which it came, and what now comes before what.
    pub fn settle(&mut self, walk: &Walk) {
        let model = walk.board.model;
        let answers: Vec<usize> = (0..self.answers.len()).collect();
        let denied: Vec<usize> = (0..self.denied.len()).collect();
        let (weights, whole, possible) = self.weighed(model, &answers, &denied);
        (self.weights, self.whole, self.possible) = (weights, whole, possible);
        (self.after, self.before) = walk.rules.before(&walk.board, self.aside | self.lost);
    }

    /// The weights if only these answers and denials counted.
    pub fn weighed(&self, model: &super::super::Model, answers: &[usize], denied: &[usize]) -> (Vec<f64>, f64, Set) {
        let mut weights: Vec<f64> = model.suspects.iter().map(|suspect| suspect.chance).collect();
        for &answer in answers {
            let (check, outcome, _) = self.answers[answer];
            let likelihood = &model.checks[check].outcomes[outcome].likelihood;
            weights.iter_mut().zip(likelihood).for_each(|(weight, chance)| *weight *= chance);
        }
        for &denial in denied {
            weights[self.denied[denial].0] = 0.0;
        }
        let (whole, possible) = sum(&weights);
        (weights, whole, possible)
    }

    /// The same if a check showed this as well.
    pub fn and(&self, board: &Board, check: usize, outcome: usize) -> Standing {
        let likelihood = &board.model.checks[check].outcomes[outcome].likelihood;
        let mut then = self.clone();
        then.weights.iter_mut().zip(likelihood).for_each(|(weight, chance)| *weight *= chance);
        (then.whole, then.possible) = sum(&then.weights);
        then.done |= bit(check);
        then
    }

    /// The likeliest suspect and its chance; of equals the first.
    pub fn leader(&self) -> (usize, f64) {
        let better = |best: (usize, f64), place: usize| if self.weights[place] > best.1 { (place, self.weights[place]) } else { best };
        let (place, weight) = places(self.possible).fold((0, 0.0), better);
        (place, weight / self.whole)
    }

    pub fn odds(&self) -> Vec<Odds> {
        let one = |suspect: usize| Odds { suspect, probability: self.weights[suspect] / self.whole };
        let mut odds: Vec<Odds> = places(self.possible).map(one).collect();
        odds.sort_by(|a, b| b.probability.total_cmp(&a.probability));
        odds
    }

    /// Uncertainty about the fault, in bits (C. E. Shannon, 1948).
    pub fn entropy(&self) -> f64 {
        let mut bits = 0.0;
        for suspect in places(self.possible) {
            let chance = self.weights[suspect] / self.whole;
            bits -= chance * chance.log2();
        }
        bits
    }
}

fn sum(weights: &[f64]) -> (f64, Set) {
    let mut whole = 0.0;
    let mut possible = 0;
    for (suspect, &weight) in weights.iter().enumerate() {
        if weight > 0.0 {
            whole += weight;
            possible |= bit(suspect);
        }
    }
    (whole, possible)
}
