//! A model with what is worked out once, before the search.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use rustc_hash::FxHashMap;

use super::model::{Minutes, Model};
use super::situation::View;
use crate::handbook::State;

/// Two likelihoods closer than this part of each other are the same.
pub(super) const SAME: f64 = 1e-12;

/// A set of suspects or of checks, a bit each.
pub(super) type Set = u64;

pub(super) struct Board<'a> {
    pub model: &'a Model,
    pub certainty: f64,
    /// Minutes that no way from state to state undercuts.
    pub least_minutes: Minutes,
    /// For each state the least minutes from another one.
    pub nearest: [f64; 4],
    /// The checks of each state.
    pub in_state: [Set; 4],
    /// For each check those that must have been done before it: those that it states, and those whose reading its state erases.
    pub after: Vec<Set>,
    /// The same, directly or through others.
    pub before: Vec<Set>,
    pub guards: Set,
    /// For each check the guards that must still hold when it is done: those before it that belong to its state.
    pub holds: Vec<Set>,
    /// Checks that can be done at all: none of them or of those before them waits for itself or comes too late.
    pub doable: Set,
    /// For each check and suspect, the suspects under which its outcomes have other chances.
    pub differs: Vec<Vec<Set>>,
    /// For each two suspects the checks that part them.
    pub parting: Vec<Vec<Set>>,
    /// The place of each check's first outcome among all outcomes; at the end how many there are.
    pub first_outcome: Vec<usize>,
    /// How many bits say what was found at each check, and the first of them.
    pub widths: Vec<(u32, u32)>,
    /// What was worked out for sets of suspects.
    pub views: RefCell<Views>,
    /// What bounds have cost so far, for they take most of the time: chances looked at, and as many more as make up for the rest.
    pub work: Cell<u64>,
}

/// What was worked out for sets of suspects; all of it is let go when it takes too much room, since it can be worked out again.
#[derive(Default)]
pub(super) struct Views {
    by_set: FxHashMap<Set, Rc<View>>,
    bytes: usize,
}

impl Views {
    const MOST_BYTES: usize = 100_000_000;

    pub fn get(&self, possible: Set) -> Option<Rc<View>> {
        self.by_set.get(&possible).cloned()
    }

    pub fn keep(&mut self, possible: Set, view: &Rc<View>) {
        if self.bytes > Self::MOST_BYTES {
            *self = Self::default();
        }
        self.bytes += view.bytes();
        self.by_set.insert(possible, Rc::clone(view));
    }
}

impl<'a> Board<'a> {
    pub fn new(model: &'a Model, certainty: f64) -> Self {
        let n_checks = model.checks.len();
        let n_suspects = model.suspects.len();
        let checks = |which: &dyn Fn(usize) -> bool| set_of(n_checks, which);
        let least_minutes = model.minutes.at_least();
        let nearest = State::ALL.map(|state| {
            let others = State::ALL.into_iter().filter(|other| *other != state);
            others.map(|other| least_minutes.between(other, state)).fold(f64::INFINITY, f64::min)
        });
        let in_state = State::ALL.map(|state| checks(&|check| model.checks[check].state == state));
        let stated: Vec<Set> = model.checks.iter().map(|check| check.after.iter().fold(0, |set, &place| set | bit(place))).collect();
        let (after, lost) = with_the_fleeting_first(model, &stated);
        let before = closed(&after);
        // A guard that only comes first because its reading would be erased makes nothing safe.
        let needed = closed(&stated);
        let never = checks(&|check| before[check] & bit(check) != 0) | lost;
        let guards = checks(&|check| model.checks[check].guard);
        let differs: Vec<Vec<Set>> = (0..n_checks).map(|check| differences(model, check)).collect();
        let parting = |a: usize, b: usize| checks(&|check| differs[check][a] & bit(b) != 0);
        let parting = (0..n_suspects).map(|a| (0..n_suspects).map(|b| parting(a, b)).collect()).collect();
        let mut first_outcome = vec![0];
        for check in &model.checks {
            first_outcome.push(first_outcome[first_outcome.len() - 1] + check.outcomes.len());
        }
        Self {
            model,
            certainty,
            least_minutes,
            nearest,
            in_state,
            holds: (0..n_checks).map(|check| needed[check] & guards & in_state[model.checks[check].state as usize]).collect(),
            doable: checks(&|check| (before[check] | bit(check)) & never == 0),
            after,
            before,
            guards,
            differs,
            parting,
            first_outcome,
            widths: widths(model),
            views: RefCell::default(),
            work: Cell::new(0),
        }
    }
}

pub(super) fn bit(place: usize) -> Set {
    1 << place
}

pub(super) fn places(mut set: Set) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let place = set.trailing_zeros() as usize;
        (place < 64).then(|| {
            set &= set - 1;
            place
        })
    })
}

pub(super) fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= SAME * a.abs().max(b.abs())
}

fn set_of(end: usize, which: impl Fn(usize) -> bool) -> Set {
    (0..end).filter(|&place| which(place)).fold(0, |set, place| set | bit(place))
}

/// What must have been done before each check if no reading is to be erased, and the checks that come too late for theirs.
///
/// The appliance enters a state only for a check in that state. So a reading that a state erases is taken in time if its check
/// comes before all checks in that state, and the rule is one of precedence. Readings that cannot all be taken in time, be it
/// that the appliance is found in a state that erases them or that each erases the other, are given up; the others stand.
fn with_the_fleeting_first(model: &Model, stated: &[Set]) -> (Vec<Set>, Set) {
    let n_checks = model.checks.len();
    let erased = |by: State, among: Set| set_of(n_checks, |check| among & bit(check) != 0 && model.checks[check].erased_by.contains(&by));
    let fleeting = set_of(n_checks, |check| !model.checks[check].erased_by.is_empty());
    let mut lost = erased(model.start, fleeting) | set_of(n_checks, |check| erased(model.checks[check].state, bit(check)) != 0);
    // Whatever may be done without erasing a reading that is still to be taken is done, until nothing more may be.
    let mut done = 0;
    loop {
        let to_be_taken = fleeting & !lost & !done;
        let may = |check: usize| {
            let waits = stated[check] & !done != 0 || lost & bit(check) != 0;
            !waits && erased(model.checks[check].state, to_be_taken) == 0
        };
        let Some(next) = (0..n_checks).find(|&check| done & bit(check) == 0 && may(check)) else { break };
        done |= bit(next);
    }
    lost |= fleeting & !done;
    let one = |check: usize| stated[check] | erased(model.checks[check].state, fleeting & !lost);
    ((0..n_checks).map(one).collect(), lost)
}

/// What comes before each check, directly or through others.
fn closed(after: &[Set]) -> Vec<Set> {
    let mut before = after.to_vec();
    for _ in 0..before.len() {
        for check in 0..before.len() {
            before[check] = places(before[check]).fold(before[check], |set, earlier| set | before[earlier]);
        }
    }
    before
}

fn differences(model: &Model, check: usize) -> Vec<Set> {
    let outcomes = &model.checks[check].outcomes;
    let other = |a: usize, b: usize| outcomes.iter().any(|outcome| !same(outcome.likelihood[a], outcome.likelihood[b]));
    let n_suspects = model.suspects.len();
    (0..n_suspects).map(|a| set_of(n_suspects, |b| other(a, b))).collect()
}

fn widths(model: &Model) -> Vec<(u32, u32)> {
    let mut at = 0;
    let widths = model.checks.iter().map(|check| {
        let width = usize::BITS - (check.outcomes.len() + 1).leading_zeros();
        // What is said of a check must not lie across two words.
        if at / 64 != (at + width - 1) / 64 {
            at = at.next_multiple_of(64);
        }
        let place = at;
        at += width;
        (width, place)
    });
    widths.collect()
}
