//! Of a large handbook, the part that quizzes are made from.
//!
//! Questions set entries against their neighbours, which takes time by the square of their number, and a topic of thousands of
//! questions serves nobody. So each kind takes part with at most [`MOST`] entries: symptoms first, then what belongs to those.
//! Entries are chosen by a digest of their name, so that a new entry pushes out at most one other.

use std::collections::BTreeSet;

use sha2::{Digest, Sha256};

use crate::handbook::{Common, Entry, Handbook, Kind, Name};

/// Entries of one kind that take part at most.
const MOST: usize = 150;

/// The part of a large handbook; `None` if the whole is small enough.
pub(super) fn part_of(handbook: &Handbook) -> Option<Handbook> {
    let most = handbook.symptoms.len().max(handbook.faults.len()).max(handbook.checks.len()).max(handbook.measurements.len());
    let most = most.max(handbook.safety.len()).max(handbook.tasks.len()).max(handbook.tables.len()).max(handbook.terms.len());
    if most.max(handbook.calculators.len()) <= MOST {
        return None;
    }
    let symptoms = pick(&handbook.symptoms, |entry| &entry.common, Kind::Symptom, &BTreeSet::new());
    let mut wanted: BTreeSet<Name> = symptoms.iter().flat_map(|entry| entry.suspects.iter().map(|suspect| suspect.fault.clone())).collect();
    wanted.extend(symptoms.iter().flat_map(|entry| entry.checks.iter().cloned()));
    let faults = pick(&handbook.faults, |entry| &entry.common, Kind::Fault, &wanted);
    for fault in &faults {
        wanted.insert(fault.proved_by.clone());
        wanted.extend(fault.mend.task.clone());
    }
    for rule in &handbook.book.safety_rules {
        wanted.extend(rule.needs_safety.iter().chain(&rule.needs_before).chain(&rule.needs_closing).cloned());
    }
    let checks = pick(&handbook.checks, |entry| &entry.common, Kind::Check, &with_earlier(handbook, wanted.clone()));
    wanted.extend(checks.iter().flat_map(|check| check.measures.clone()));
    Some(Handbook {
        book: handbook.book.clone(),
        measurements: pick(&handbook.measurements, |entry| &entry.common, Kind::Measurement, &wanted),
        safety: pick(&handbook.safety, |entry| &entry.common, Kind::Safety, &wanted),
        tasks: pick(&handbook.tasks, |entry| &entry.common, Kind::Task, &wanted),
        tables: pick(&handbook.tables, |entry| &entry.common, Kind::Table, &wanted),
        calculators: pick(&handbook.calculators, |entry| &entry.common, Kind::Calculator, &wanted),
        terms: pick(&handbook.terms, |entry| &entry.common, Kind::Term, &wanted),
        symptoms,
        faults,
        checks,
        ..Handbook::default()
    })
}

/// The checks among the names, with all that come before them.
fn with_earlier(handbook: &Handbook, mut wanted: BTreeSet<Name>) -> BTreeSet<Name> {
    let mut open: Vec<Name> = wanted.iter().filter(|name| name.kind == Kind::Check).cloned().collect();
    while let Some(name) = open.pop() {
        if let Some(Entry::Check(check)) = handbook.entry(&name) {
            open.extend(check.after.iter().filter(|earlier| wanted.insert((*earlier).clone())).cloned());
        }
    }
    wanted
}

/// At most [`MOST`] entries in the order of ids, the wanted ones before others.
fn pick<T: Clone>(entries: &[T], common: impl Fn(&T) -> &Common, kind: Kind, wanted: &BTreeSet<Name>) -> Vec<T> {
    if entries.len() <= MOST {
        return entries.to_vec();
    }
    let mut ranked: Vec<(bool, [u8; 32], &T)> = entries
        .iter()
        .map(|entry| {
            let name = Name::new(kind, common(entry).id.clone());
            (!wanted.contains(&name), Sha256::digest(name.to_string()).into(), entry)
        })
        .collect();
    ranked.sort_by_key(|(other, digest, _)| (*other, *digest));
    let mut picked: Vec<&T> = ranked.into_iter().take(MOST).map(|(_, _, entry)| entry).collect();
    picked.sort_by(|a, b| common(a).id.cmp(&common(b).id));
    picked.into_iter().cloned().collect()
}
