//! What can happen on a walk, and how it is written down.

use std::fmt;

use super::super::Model;

/// One thing that happened. Numbers are places in the model's checks, a check's outcomes, and the model's suspects.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Event {
    /// The check was done and showed this. For a check that only makes the work safe the first outcome lets the work go on;
    /// any other means that it must be done again.
    Found { check: usize, outcome: usize },
    /// The check cannot be done now.
    Later(usize),
    /// The check was done, and its reading fits nothing that could be.
    Odd(usize),
    /// The check is wanted next; an answer that it has no longer counts.
    Again(usize),
    /// The fault's proof says that it is not this one.
    Not(usize),
    /// The fault is possible after all.
    Maybe(usize),
}

/// Words that are no event of a symptom.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum UnreadEvent {
    /// Neither `check=outcome` nor `later:`, `odd:`, `again:`, `not:` or `maybe:` with an id.
    Form,
    Check(String),
    /// The check and the word that is none of its outcomes.
    Outcome(String, String),
    Fault(String),
}

impl Event {
    /// Reads `igniter-look=sound`, `later:igniter-look`, `odd:igniter-look`, `again:igniter-look`, `not:igniter-open` or
    /// `maybe:igniter-open`.
    ///
    /// # Errors
    /// What is wrong with the words.
    pub fn read(model: &Model, text: &str) -> Result<Self, UnreadEvent> {
        let check = |id: &str| {
            let found = model.checks.iter().position(|check| check.check.id == id);
            found.ok_or_else(|| UnreadEvent::Check(id.to_owned()))
        };
        let suspect = |id: &str| {
            let found = model.suspects.iter().position(|suspect| suspect.fault.id == id);
            found.ok_or_else(|| UnreadEvent::Fault(id.to_owned()))
        };
        if let Some((id, word)) = text.split_once('=') {
            let check = check(id)?;
            let outcome = model.checks[check].outcomes.iter().position(|outcome| outcome.id == word);
            let outcome = outcome.ok_or_else(|| UnreadEvent::Outcome(id.to_owned(), word.to_owned()))?;
            return Ok(Event::Found { check, outcome });
        }
        match text.split_once(':') {
            Some(("later", id)) => Ok(Event::Later(check(id)?)),
            Some(("odd", id)) => Ok(Event::Odd(check(id)?)),
            Some(("again", id)) => Ok(Event::Again(check(id)?)),
            Some(("not", id)) => Ok(Event::Not(suspect(id)?)),
            Some(("maybe", id)) => Ok(Event::Maybe(suspect(id)?)),
            _ => Err(UnreadEvent::Form),
        }
    }

    /// The event in words that [`Event::read`] reads; numbers beyond the model are written as `?`.
    pub fn write(self, model: &Model) -> String {
        let check = |place: usize| model.checks.get(place).map_or("?", |check| check.check.id.as_str());
        let suspect = |place: usize| model.suspects.get(place).map_or("?", |suspect| suspect.fault.id.as_str());
        match self {
            Event::Found { check: place, outcome } => {
                let found = model.checks.get(place).and_then(|check| check.outcomes.get(outcome));
                format!("{}={}", check(place), found.map_or("?", |outcome| outcome.id.as_str()))
            }
            Event::Later(place) => format!("later:{}", check(place)),
            Event::Odd(place) => format!("odd:{}", check(place)),
            Event::Again(place) => format!("again:{}", check(place)),
            Event::Not(place) => format!("not:{}", suspect(place)),
            Event::Maybe(place) => format!("maybe:{}", suspect(place)),
        }
    }
}

impl fmt::Display for UnreadEvent {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            UnreadEvent::Form => write!(out, "expected check=outcome, or later:, odd:, again:, not: or maybe: with an id"),
            UnreadEvent::Check(id) => write!(out, "expected a check of this symptom, found `{id}`"),
            UnreadEvent::Outcome(check, id) => write!(out, "expected an outcome of `{check}`, found `{id}`"),
            UnreadEvent::Fault(id) => write!(out, "expected a fault of this symptom, found `{id}`"),
        }
    }
}

impl std::error::Error for UnreadEvent {}
