//! The service note of a walk, in the same lines as `browser/walk-note.js` writes: what was seen, measured and found; no names,
//! no times.

use std::collections::{BTreeMap, BTreeSet};

use super::super::pen::percent;
use super::numbers::seen;
use crate::diagnosis::{Diagnosis, Event, Look, Next, Odds};
use crate::handbook::{Check, Entry, Fault, Handbook, Name, Symptom, Task};

/// A walk in the words of its handbook.
pub struct WalkWords<'a> {
    pub handbook: &'a Handbook,
    pub symptom: &'a Symptom,
    pub diagnosis: &'a Diagnosis,
}

/// What was read at a check: the number as typed, its unit, and what was measured.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reading {
    pub value: String,
    pub unit: String,
    pub of: String,
}

impl<'a> WalkWords<'a> {
    /// A check of the model; `None` for a place beyond it.
    pub fn check(&self, place: usize) -> Option<&'a Check> {
        match self.handbook.entry(&self.diagnosis.model.checks.get(place)?.check)? {
            Entry::Check(check) => Some(check),
            _ => None,
        }
    }

    pub fn fault(&self, suspect: usize) -> Option<&'a Fault> {
        match self.handbook.entry(&self.diagnosis.model.suspects.get(suspect)?.fault)? {
            Entry::Fault(fault) => Some(fault),
            _ => None,
        }
    }

    /// What an outcome is recognised by: its words, or its band's label.
    pub fn seen(&self, check: usize, outcome: usize) -> &'a str {
        let Some(check) = self.check(check) else { return "" };
        check.outcomes.get(outcome).map_or("", |outcome| seen(check, outcome, self.handbook))
    }

    /// Suspects with their chances: `Igniter open 52 %; Lead damaged 14 %`.
    pub fn odds(&self, odds: &[Odds]) -> String {
        let one = |odds: &Odds| format!("{} {}", self.fault_title(odds.suspect), percent(odds.probability));
        odds.iter().map(one).collect::<Vec<_>>().join("; ")
    }

    fn fault_title(&self, suspect: usize) -> &'a str {
        self.fault(suspect).map_or("", |fault| fault.common.title.as_str())
    }

    fn task(&self, suspect: usize) -> Option<&'a Task> {
        match self.handbook.entry(self.fault(suspect)?.mend.task.as_ref()?)? {
            Entry::Task(task) => Some(task),
            _ => None,
        }
    }

    /// One line for an event, without its dash.
    pub fn line(&self, event: Event, readings: &BTreeMap<String, Reading>) -> String {
        let (Event::Found { check: place, .. } | Event::Later(place) | Event::Odd(place) | Event::Again(place)) = event else {
            let (Event::Not(suspect) | Event::Maybe(suspect)) = event else { return String::new() };
            return format!("{}: ruled out by its proof.", self.fault_title(suspect));
        };
        let Some(check) = self.check(place) else { return String::new() };
        let title = &check.common.title;
        let read = readings.get(&check.common.id).map_or_else(String::new, |reading| {
            let unit = if reading.unit.is_empty() { String::new() } else { format!("\u{a0}{}", reading.unit) };
            format!(" Reading: {}{unit} ({}).", reading.value, reading.of)
        });
        match event {
            Event::Found { outcome, .. } => format!("{title}: {}{read}", ended(self.seen(place, outcome))),
            Event::Odd(_) => format!("{title}: odd reading, set aside.{read}"),
            _ => format!("{title}: could not be done."),
        }
    }

    /// The whole note.
    pub fn note(&self, history: &[Event], readings: &BTreeMap<String, Reading>, look: &Look) -> String {
        let mut lines = vec!["Service note".to_owned(), format!("Symptom: {}", ended(&self.symptom.common.title))];
        lines.push(if look.noted.is_empty() { "Nothing done yet.".into() } else { "Done, in this order:".into() });
        lines.extend(look.noted.iter().filter_map(|&place| Some(format!("- {}", self.line(*history.get(place)?, readings)))));
        match &look.next {
            Next::Named { suspect, probability, others } => {
                lines.push(format!("Found: {}, {} by the handbook's figures.", self.fault_title(*suspect), percent(*probability)));
                if !others.is_empty() {
                    lines.push(format!("Still possible: {}.", self.odds(others)));
                }
                if let Some(proof) = self.fault(*suspect).and_then(|fault| self.handbook.title(&fault.proved_by)) {
                    lines.push(format!("Proof: {}", ended(proof)));
                }
                let task = self.task(*suspect);
                lines.push(format!("Mend: {}", task.map_or("see the fault's entry.".into(), |task| ended(&task.common.title))));
                let closing = self.closing_tests(history, Some(*suspect));
                if !closing.is_empty() {
                    let titles: Vec<&str> = closing.iter().filter_map(|name| self.handbook.title(name)).collect();
                    lines.push(format!("Closing tests: {}.", titles.join("; ")));
                }
            }
            Next::Contradiction { .. } => lines.push("These answers do not fit together; no fault is named.".into()),
            Next::Open { .. } => lines.push(format!("Not told apart: {}.", self.odds(&look.odds))),
            Next::Do(_) => lines.push(format!("Still possible: {}.", self.odds(&look.odds))),
        }
        let book = &self.handbook.book;
        lines.push(format!("From: {}, {} The appliance's instructions and rating plate decide.", book.title, ended(&book.edition)));
        lines.join("\n") + "\n"
    }

    /// What must end the work: the tests after the suspect's task, and those after the checks that were done, each once.
    pub fn closing_tests(&self, history: &[Event], suspect: Option<usize>) -> Vec<&'a Name> {
        let task = suspect.and_then(|suspect| self.task(suspect));
        let done = history.iter().filter_map(|event| match event {
            Event::Found { check, .. } | Event::Odd(check) => self.check(*check),
            _ => None,
        });
        let mut known = BTreeSet::new();
        let all = task.into_iter().flat_map(|task| &task.closing).chain(done.flat_map(|check| &check.closing));
        all.filter(|name| known.insert(*name)).collect()
    }
}

/// A sentence with its full stop.
fn ended(words: &str) -> String {
    if words.ends_with(['.', '!', '?']) { words.to_owned() } else { format!("{words}.") }
}
