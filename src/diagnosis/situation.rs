//! Where a diagnosis stands: what has been found, what is still possible, and what can be done next.

use std::rc::Rc;

use super::board::{Board, SAME, Set, bit, places, same};
use super::model::{MAX_CHECKS, MAX_SUSPECTS};
use crate::handbook::{Name, State};

/// A fault is named once its chance is at least this. It is then proved by the fault's own check before anything is replaced.
pub const CERTAINTY: f64 = 0.95;

/// What a set of suspects makes of the checks.
pub(super) struct View {
    /// Checks that part some of the suspects from others.
    pub parting: Set,
    /// The group of each outcome of each check, one check after the other; all 0 for checks that part nothing. Outcomes of a
    /// group leave the same odds; those of group 1 leave the odds that were; those of group 0 cannot be.
    groups: Vec<u8>,
    /// The suspects, in order.
    pub alive: Vec<u8>,
    /// For each check the first of its rows; at the end how many there are.
    first_row: Vec<u32>,
    /// For each group of a check, from group 1 on, its chance under each of the suspects.
    rows: Vec<f64>,
}

/// Where a diagnosis stands.
#[derive(Clone)]
pub(super) struct Situation {
    /// Chance of each suspect together with all that was found; 0 once it is ruled out.
    pub weights: [f64; MAX_SUSPECTS],
    pub whole: f64,
    pub possible: Set,
    pub done: Set,
    /// Guards that still hold.
    pub fresh: Set,
    pub state: State,
    /// For each check that was done, the first outcome of the group that was found.
    seen: [u8; MAX_CHECKS],
}

/// What of a situation matters for all that follows; equal keys have equal policies.
#[derive(Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct Key {
    possible: Set,
    seen: [u64; 4],
    ready: Set,
    fresh: Set,
    state: State,
}

/// A check that can be done next.
pub(super) struct Action {
    pub check: usize,
    /// Guards to be done again in the check's state before it.
    pub again: Set,
    pub change: f64,
    /// Everything together: change of state, guards, the check.
    pub minutes: f64,
}

/// A useful check and the way to it.
pub(super) struct Way {
    /// What is done first.
    pub first: usize,
    /// Where things stand before the check.
    pub from: Situation,
    pub last: Action,
    /// Everything together.
    pub minutes: f64,
}

/// One way a check can end: outcomes that leave the same odds.
pub(super) struct Ending {
    /// The group of its outcomes; 0 if the check parts nothing.
    group: u8,
    pub probability: f64,
    pub then: Situation,
}

impl<'a> Board<'a> {
    /// Whether what was found at all checks fits into a [`Key`].
    pub fn fits(&self) -> bool {
        self.widths.last().is_none_or(|(width, place)| place + width <= 4 * 64)
    }

    pub fn start(&self) -> Situation {
        let mut start = Situation {
            weights: [0.0; MAX_SUSPECTS],
            whole: 0.0,
            possible: 0,
            done: 0,
            fresh: 0,
            state: self.model.start,
            seen: [0; MAX_CHECKS],
        };
        for (place, suspect) in self.model.suspects.iter().enumerate() {
            start.weights[place] = suspect.chance;
            start.whole += suspect.chance;
            if suspect.chance > 0.0 {
                start.possible |= bit(place);
            }
        }
        start
    }

    pub fn view(&self, possible: Set) -> Rc<View> {
        if let Some(view) = self.views.borrow().get(possible) {
            return view;
        }
        let first = possible.trailing_zeros() as usize;
        let parts = |check: &usize| first < MAX_SUSPECTS && self.differs[*check][first] & possible != 0;
        let parting = places(self.doable).filter(parts).fold(0, |set, check| set | bit(check));
        let mut view = View {
            parting,
            groups: Vec::with_capacity(self.first_outcome.last().copied().unwrap_or(0)),
            alive: places(possible).map(|suspect| suspect as u8).collect(),
            first_row: vec![0],
            rows: Vec::new(),
        };
        let mut n_rows = 0;
        for check in 0..self.model.checks.len() {
            if parting & bit(check) == 0 {
                view.groups.resize(self.first_outcome[check + 1], 0);
            } else {
                let groups = self.groups(check, possible);
                for group in 1..=groups.iter().copied().max().unwrap_or(0) {
                    n_rows += 1;
                    let outcomes = || self.model.checks[check].outcomes.iter().zip(&groups).filter(|(_, of)| **of == group);
                    let row =
                        view.alive.iter().map(|&suspect| outcomes().map(|(outcome, _)| outcome.likelihood[suspect as usize]).sum::<f64>());
                    view.rows.extend(row);
                }
                view.groups.extend(groups);
            }
            view.first_row.push(n_rows);
        }
        let view = Rc::new(view);
        self.views.borrow_mut().keep(possible, &view);
        view
    }

    fn groups(&self, check: usize, possible: Set) -> Vec<u8> {
        let outcomes = &self.model.checks[check].outcomes;
        let mut leaders: Vec<&[f64]> = Vec::new();
        let one = |outcome: &'a super::OutcomeModel| {
            let chances = outcome.likelihood.as_slice();
            let first = chances[possible.trailing_zeros() as usize];
            if places(possible).all(|suspect| chances[suspect] == 0.0) {
                return 0;
            }
            if places(possible).all(|suspect| same(chances[suspect], first)) {
                return 1;
            }
            let group = leaders.iter().position(|leader| proportional(leader, chances, possible)).unwrap_or_else(|| {
                leaders.push(chances);
                leaders.len() - 1
            });
            // A check with more kinds of outcome than a byte holds is cut off by `fits` long before.
            (group + 2).min(255) as u8
        };
        outcomes.iter().map(one).collect()
    }

    /// The groups of a check's outcomes.
    pub fn groups_of<'v>(&self, view: &'v View, check: usize) -> &'v [u8] {
        &view.groups[self.first_outcome[check]..self.first_outcome[check + 1]]
    }

    /// The outcomes of one way in which a check can end.
    pub fn outcomes_of(&self, at: &Situation, view: &View, check: usize, ending: &Ending) -> Vec<usize> {
        let groups = self.groups_of(view, check);
        let outcomes = &self.model.checks[check].outcomes;
        let can_be = |outcome: usize| places(at.possible).any(|suspect| outcomes[outcome].likelihood[suspect] > 0.0);
        (0..groups.len()).filter(|&outcome| if ending.group == 0 { can_be(outcome) } else { groups[outcome] == ending.group }).collect()
    }

    /// Checks that would still part what is possible, and have not been done.
    pub fn useful(&self, at: &Situation, view: &View) -> Set {
        view.parting & !at.done
    }

    /// Whether the diagnosis is over: a fault has a chance of at least the certainty, or no check parts what is left.
    pub fn over(&self, at: &Situation, view: &View) -> bool {
        self.useful(at, view) == 0 || self.leader(at).1 >= self.certainty - SAME
    }

    /// The likeliest suspect and its chance; of equals the first.
    pub fn leader(&self, at: &Situation) -> (usize, f64) {
        let better = |best: (usize, f64), place: usize| if at.weights[place] > best.1 { (place, at.weights[place]) } else { best };
        let (place, weight) = places(at.possible).fold((0, 0.0), better);
        (place, weight / at.whole)
    }

    pub fn key(&self, at: &Situation, view: &View) -> Key {
        let mut seen = [0; 4];
        for check in places(at.done & view.parting) {
            let (_, place) = self.widths[check];
            seen[place as usize / 64] |= u64::from(view.groups[self.first_outcome[check] + at.seen[check] as usize]) << (place % 64);
        }
        let before = self.before_useful(at, view);
        Key { possible: at.possible, seen, ready: at.done & before, fresh: at.fresh & before, state: at.state }
    }

    /// All that must come before the useful checks.
    fn before_useful(&self, at: &Situation, view: &View) -> Set {
        places(self.useful(at, view)).fold(0, |set, check| set | self.before[check])
    }

    /// What can be done next and may help, in the order in which ties are broken: safer state, cheaper, id.
    pub fn actions(&self, at: &Situation, view: &View) -> Vec<Action> {
        let wanted = self.useful(at, view) | self.before_useful(at, view) & !at.done;
        let ready = |check: &usize| self.after[*check] & !at.done == 0;
        let mut actions: Vec<Action> = places(wanted).filter(ready).map(|check| self.action(at, check)).collect();
        actions.sort_by(|a, b| self.preference(a).partial_cmp(&self.preference(b)).unwrap_or(std::cmp::Ordering::Equal));
        actions
    }

    fn preference(&self, action: &Action) -> (State, f64, &str) {
        let check = &self.model.checks[action.check];
        (check.state, check.minutes, check.check.id.as_str())
    }

    pub fn action(&self, at: &Situation, check: usize) -> Action {
        let state = self.model.checks[check].state;
        let fresh = if state == at.state { at.fresh } else { 0 };
        let again = self.holds[check] & !fresh;
        let change = self.model.minutes.between(at.state, state);
        let guards: f64 = places(again).map(|guard| self.model.checks[guard].minutes).sum();
        Action { check, again, change, minutes: change + guards + self.model.checks[check].minutes }
    }

    /// The check is done; what it finds is left aside.
    pub fn pass(&self, at: &mut Situation, action: &Action) {
        let check = &self.model.checks[action.check];
        let holding = if check.state == at.state { at.fresh } else { 0 };
        at.fresh = holding | action.again | bit(action.check) & self.guards;
        at.done |= bit(action.check);
        at.state = check.state;
    }

    /// For each useful check how to come to it through what must come before, whatever that finds.
    pub fn ways(&self, at: &Situation, view: &View) -> Vec<Way> {
        let way = |check: usize| {
            let mut from = at.clone();
            let mut first = None;
            let mut minutes = 0.0;
            loop {
                let missing = (self.before[check] | bit(check)) & !from.done;
                let next = places(missing).find(|&next| self.after[next] & !from.done == 0)?;
                let action = self.action(&from, next);
                minutes += action.minutes;
                let first = *first.get_or_insert(next);
                if next == check {
                    return Some(Way { first, from, last: action, minutes });
                }
                self.pass(&mut from, &action);
            }
        };
        places(self.useful(at, view)).filter_map(way).collect()
    }

    pub fn fault(&self, suspect: usize) -> &Name {
        &self.model.suspects[suspect].fault
    }

    /// How a check can end; outcomes that cannot be are left out.
    pub fn endings(&self, at: &Situation, view: &View, action: &Action) -> Vec<Ending> {
        let mut passed = at.clone();
        self.pass(&mut passed, action);
        if view.parting & bit(action.check) == 0 {
            return vec![Ending { group: 0, probability: 1.0, then: passed }];
        }
        let groups = self.groups_of(view, action.check);
        let mut endings: Vec<Ending> = Vec::with_capacity(groups.len());
        for (row, group) in view.rows_of(action.check).zip(1..) {
            let Some(first) = groups.iter().position(|&of| of == group) else { continue };
            let mut then = passed.clone();
            then.seen[action.check] = first as u8;
            then.whole = 0.0;
            for (&suspect, chance) in view.alive.iter().zip(row) {
                let weight = &mut then.weights[suspect as usize];
                *weight *= chance;
                then.whole += *weight;
                if *weight <= 0.0 {
                    then.possible &= !bit(suspect as usize);
                }
            }
            endings.push(Ending { group, probability: then.whole / at.whole, then });
        }
        endings
    }
}

impl View {
    /// About what it takes in memory.
    pub fn bytes(&self) -> usize {
        size_of_val(&*self.rows) + size_of_val(&*self.first_row) + self.groups.len() + self.alive.len() + 200
    }

    /// How many chances stand in the rows of these checks.
    pub fn chances(&self, checks: Set) -> u64 {
        places(checks).map(|check| u64::from(self.first_row[check + 1] - self.first_row[check])).sum::<u64>() * self.alive.len() as u64
    }

    /// The chances of a check's groups under the suspects, from group 1 on; none if the check parts nothing.
    pub fn rows_of(&self, check: usize) -> impl Iterator<Item = &[f64]> {
        let width = self.alive.len();
        self.rows[self.first_row[check] as usize * width..self.first_row[check + 1] as usize * width].chunks_exact(width.max(1))
    }
}

/// Whether one row of chances is a multiple of the other over the possible suspects.
fn proportional(a: &[f64], b: &[f64], possible: Set) -> bool {
    let pivot = places(possible).find(|&suspect| a[suspect] > 0.0);
    pivot.is_some_and(|pivot| places(possible).all(|suspect| same(a[suspect] * b[pivot], b[suspect] * a[pivot])))
}
