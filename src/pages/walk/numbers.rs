//! A symptom's numbers for the walk. `browser/walk.d.ts` says what each of them means.

use std::collections::BTreeMap;

use serde::Serialize;
use sha2::{Digest, Sha256};

use super::super::pen::{self, Pen};
use crate::diagnosis::{Diagnosis, Node, Walk};
use crate::handbook::{Check, Entry, Handbook, Name, Outcome, Seen, State, Symptom};

#[derive(Serialize)]
pub(super) struct Numbers<'a> {
    /// Changes with any number or id that the walk's sums depend on: what was kept from another edition no longer fits.
    made: String,
    book: &'a str,
    edition: &'a str,
    symptom: &'a str,
    certainty: f64,
    start: usize,
    moves: Vec<Vec<f64>>,
    states: Vec<StateData>,
    ways: Vec<(usize, usize, &'a str)>,
    suspects: Vec<SuspectData<'a>>,
    checks: Vec<CheckData<'a>>,
    policy: Vec<NodeData>,
}

#[derive(Serialize)]
struct StateData {
    name: &'static str,
    short: &'static str,
    detail: &'static str,
}

#[derive(Serialize)]
struct SuspectData<'a> {
    id: &'a str,
    title: &'a str,
    href: String,
    chance: f64,
    proof: Option<Linked>,
    task: Option<Linked>,
    closing: Vec<Linked>,
}

/// A title with its address.
#[derive(Serialize)]
pub(super) struct Linked {
    pub title: String,
    pub href: String,
}

#[derive(Serialize)]
struct CheckData<'a> {
    id: &'a str,
    title: &'a str,
    href: String,
    state: usize,
    minutes: f64,
    after: &'a [usize],
    erased: Vec<usize>,
    guard: bool,
    /// Whether it can never be done.
    never: bool,
    closing: Vec<Linked>,
    outcomes: Vec<OutcomeData<'a>>,
}

#[derive(Serialize)]
struct OutcomeData<'a> {
    id: &'a str,
    /// What is seen, or the band's label.
    seen: &'a str,
    likely: &'a [f64],
    /// For an outcome that no suspect gives: where it points instead.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    elsewhere: Vec<Linked>,
}

#[derive(Serialize)]
struct NodeData {
    check: usize,
    /// Minutes to be expected from here to the end.
    left: f64,
    next: Targets,
}

/// The next node for every outcome alike, or for each; −1 where the policy ends or has no answer.
#[derive(Serialize)]
#[serde(untagged)]
enum Targets {
    One(i32),
    Each(Vec<i32>),
}

impl<'a> Numbers<'a> {
    pub fn new(symptom: &'a Symptom, diagnosis: &'a Diagnosis, pen: &Pen<'a>) -> Self {
        let model = &diagnosis.model;
        let walk = Walk::new(diagnosis);
        let book = &pen.handbook.book;
        let minutes = |from: State| State::ALL.into_iter().map(|to| model.minutes.between(from, to)).collect();
        let way = |change: &'a crate::handbook::StateChange| {
            let note = change.note.as_deref()?;
            Some((change.from as usize, change.to as usize, note))
        };
        Self {
            made: digest(diagnosis),
            book: &book.title,
            edition: &book.edition,
            symptom: &symptom.common.title,
            certainty: diagnosis.certainty,
            start: model.start as usize,
            moves: State::ALL.into_iter().map(minutes).collect(),
            states: State::ALL.into_iter().map(state).collect(),
            ways: book.state_changes.iter().filter_map(way).collect(),
            suspects: model.suspects.iter().filter_map(|suspect| one_suspect(&suspect.fault, suspect.chance, pen)).collect(),
            checks: (0..model.checks.len()).filter_map(|place| check(diagnosis, &walk, place, pen)).collect(),
            policy: policy(diagnosis),
        }
    }
}

fn state(of: State) -> StateData {
    let view = pen::state(of);
    StateData { name: view.name, short: view.short, detail: view.detail }
}

fn one_suspect<'a>(name: &'a Name, chance: f64, pen: &Pen<'a>) -> Option<SuspectData<'a>> {
    let Some(Entry::Fault(fault)) = pen.handbook.entry(name) else { return None };
    let task = fault.mend.task.as_ref().and_then(|name| match pen.handbook.entry(name) {
        Some(Entry::Task(task)) => Some((name, task)),
        _ => None,
    });
    Some(SuspectData {
        id: &name.id,
        title: &fault.common.title,
        href: pen.link(name)?.href,
        chance,
        proof: linked(&fault.proved_by, pen),
        task: task.and_then(|(name, _)| linked(name, pen)),
        closing: task.map(|(_, task)| task.closing.iter().filter_map(|name| linked(name, pen)).collect()).unwrap_or_default(),
    })
}

fn check<'a>(diagnosis: &'a Diagnosis, walk: &Walk, place: usize, pen: &Pen<'a>) -> Option<CheckData<'a>> {
    let model = &diagnosis.model.checks[place];
    let Some(Entry::Check(entry)) = pen.handbook.entry(&model.check) else { return None };
    let outcomes = entry.outcomes.iter().zip(&model.outcomes).map(|(outcome, model)| OutcomeData {
        id: &outcome.id,
        seen: seen(entry, outcome, pen.handbook),
        likely: &model.likelihood,
        elsewhere: if model.likelihood.iter().all(|chance| *chance == 0.0) { elsewhere(outcome, pen) } else { Vec::new() },
    });
    Some(CheckData {
        id: &model.check.id,
        title: &entry.common.title,
        href: pen.link(&model.check)?.href,
        state: model.state as usize,
        minutes: model.minutes,
        after: &model.after,
        erased: model.erased_by.iter().map(|state| *state as usize).collect(),
        guard: model.guard,
        never: !walk.can_ever_be_done(place),
        closing: entry.closing.iter().filter_map(|name| linked(name, pen)).collect(),
        outcomes: outcomes.collect(),
    })
}

fn elsewhere(outcome: &Outcome, pen: &Pen) -> Vec<Linked> {
    outcome.keeps.iter().chain(&outcome.next).filter_map(|name| linked(name, pen)).collect()
}

/// What an outcome is recognised by: its words, or the label of its band.
pub(super) fn seen<'a>(check: &'a Check, outcome: &'a Outcome, handbook: &'a Handbook) -> &'a str {
    match &outcome.seen {
        Seen::Words(words) => words,
        Seen::Band(id) => match check.measures.as_ref().and_then(|name| handbook.entry(name)) {
            Some(Entry::Measurement(measurement)) => {
                measurement.bands.iter().find(|band| band.id == *id).map_or(id.as_str(), |band| band.label.as_str())
            }
            _ => id,
        },
    }
}

pub(super) fn linked(name: &Name, pen: &Pen) -> Option<Linked> {
    let link = pen.link(name)?;
    Some(Linked { title: link.title, href: link.href })
}

/// The policy's questions, the first where it begins; its ends follow from the odds. Those that say the same are one.
fn policy(diagnosis: &Diagnosis) -> Vec<NodeData> {
    let mut questions =
        Questions { diagnosis, places: vec![None; diagnosis.policy.nodes.len()], known: BTreeMap::new(), asked: Vec::new() };
    questions.place(0);
    // A question stands after those that it leads to, so that the first of all comes last.
    let last = questions.asked.len() as i32 - 1;
    let turned = |place: i32| if place < 0 { place } else { last - place };
    let turn = |mut node: NodeData| {
        match &mut node.next {
            Targets::One(next) => *next = turned(*next),
            Targets::Each(each) => each.iter_mut().for_each(|next| *next = turned(*next)),
        }
        node
    };
    questions.asked.into_iter().rev().map(turn).collect()
}

struct Questions<'a> {
    diagnosis: &'a Diagnosis,
    /// For each of the policy's nodes its question.
    places: Vec<Option<i32>>,
    known: BTreeMap<(usize, u64, Vec<i32>), i32>,
    asked: Vec<NodeData>,
}

impl Questions<'_> {
    /// The place of a node's question among those asked; −1 if it asks none. No deeper than there are checks.
    fn place(&mut self, node: usize) -> i32 {
        let Node::Ask(ask) = &self.diagnosis.policy.nodes[node] else { return -1 };
        if let Some(place) = self.places[node] {
            return place;
        }
        let branches: Vec<i32> = ask.branches.iter().map(|branch| self.place(branch.node)).collect();
        let left = (ask.left_minutes * 10.0).round() / 10.0;
        let (key, next) = if let [only] = branches.as_slice() {
            (vec![*only], Targets::One(*only))
        } else {
            let mut each = vec![-1; self.diagnosis.model.checks[ask.check].outcomes.len()];
            for (branch, place) in ask.branches.iter().zip(&branches) {
                branch.outcomes.iter().for_each(|&outcome| each[outcome] = *place);
            }
            (each.clone(), Targets::Each(each))
        };
        let place = *self.known.entry((ask.check, left.to_bits(), key)).or_insert_with(|| {
            self.asked.push(NodeData { check: ask.check, left, next });
            self.asked.len() as i32 - 1
        });
        self.places[node] = Some(place);
        place
    }
}

/// Eight bytes of a digest of all that a kept history rests on: ids and numbers, not words.
fn digest(diagnosis: &Diagnosis) -> String {
    let digest = Sha256::digest(format!("{:?} {:?} {}", diagnosis.model, diagnosis.policy.nodes, diagnosis.certainty));
    digest.iter().take(8).map(|byte| format!("{byte:02x}")).collect()
}
