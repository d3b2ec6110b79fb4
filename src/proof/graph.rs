//! Problems of the whole: circles, entries that nobody refers to, faults that no check can find.

use std::collections::BTreeMap;

use super::names::{Names, word};
use super::places::Places;
use crate::diagnostic::{Code, Diagnostic, Problems};
use crate::handbook::{Check, Entry, Handbook, Kind, Name};

/// Checks that come after themselves, directly or through others.
pub fn circles(handbook: &Handbook, places: &Places, problems: &mut Problems) {
    // 1: being walked, 2: done. A check met again while it is being walked closes a circle.
    let mut marks: BTreeMap<&str, u8> = BTreeMap::new();
    for check in &handbook.checks {
        let mut path: Vec<(&str, usize)> = Vec::new();
        enter(check, &mut marks, &mut path);
        while let Some((id, next)) = path.last_mut() {
            let after = check_of(handbook, id).map(|check| check.after.as_slice()).unwrap_or_default();
            let Some(earlier) = after.get(*next) else {
                marks.insert(id, 2);
                path.pop();
                continue;
            };
            *next += 1;
            match marks.get(earlier.id.as_str()) {
                Some(1) => circle(earlier, &path, places, problems),
                Some(_) => {}
                None => {
                    if let Some(check) = check_of(handbook, &earlier.id) {
                        enter(check, &mut marks, &mut path);
                    }
                }
            }
        }
    }
}

fn enter<'a>(check: &'a Check, marks: &mut BTreeMap<&'a str, u8>, path: &mut Vec<(&'a str, usize)>) {
    if !marks.contains_key(check.common.id.as_str()) {
        marks.insert(&check.common.id, 1);
        path.push((&check.common.id, 0));
    }
}

fn check_of<'a>(handbook: &'a Handbook, id: &str) -> Option<&'a Check> {
    match handbook.entry(&Name::new(Kind::Check, id)) {
        Some(Entry::Check(check)) => Some(check),
        _ => None,
    }
}

fn circle(to: &Name, path: &[(&str, usize)], places: &Places, problems: &mut Problems) {
    let start = path.iter().position(|(id, _)| *id == to.id).unwrap_or(0);
    let mut ids: Vec<&str> = path[start..].iter().map(|(id, _)| *id).collect();
    let last = Name::new(Kind::Check, ids.last().copied().unwrap_or(&to.id));
    ids.push(&to.id);
    let message = format!("checks come after one another in a circle: {}", ids.join(" after "));
    let diagnostic = Diagnostic::new(Code::ReferenceCycle, places.item(&last, "after", &to.to_string()), message);
    let second = ids.get(1).map(|id| Name::new(Kind::Check, *id).to_string()).unwrap_or_default();
    let diagnostic = if last == *to { diagnostic } else { diagnostic.also(places.item(to, "after", &second), "the circle begins here") };
    problems.add(diagnostic.hint("take one of them out of an `after` list"));
}

/// Entries that readers meet only by search.
pub fn orphans(handbook: &Handbook, names: &Names, places: &Places, problems: &mut Problems) {
    // Symptoms and courses are where reading begins, terms and calculators have pages of their own that list them all.
    let begins = [Kind::Symptom, Kind::Course, Kind::Term, Kind::Calculator];
    for entry in handbook.entries().filter(|entry| !begins.contains(&entry.kind())) {
        let name = entry.name();
        if !names.is_used(&name) {
            let message = format!("no other entry refers to the {} `{}`", word(name.kind), name.id);
            problems.add(Diagnostic::new(Code::Orphan, places.of(&name, &[]), message).hint("readers will find it only by search"));
        }
    }
}

/// Faults of a symptom that none of its listed checks says anything about, or only such as no order lets be done in time.
/// Those that a check names and yet parts from no other are told as unparted faults.
pub fn unreachable_faults(handbook: &Handbook, places: &Places, problems: &mut Problems) {
    for symptom in &handbook.symptoms {
        let name = Name::new(Kind::Symptom, symptom.common.id.clone());
        let checks: Vec<&Check> = symptom.checks.iter().filter_map(|name| check_of(handbook, &name.id)).collect();
        if checks.len() < places.n_items(&name, "checks") {
            continue; // A check with problems of its own was left out, or its name is wrong; it may be the one that finds the fault.
        }
        let too_late = super::order::never_in_time(handbook, symptom);
        for suspect in &symptom.suspects {
            let names = |check: &Check| {
                check.outcomes.iter().any(|outcome| {
                    outcome.keeps.contains(&suspect.fault)
                        || outcome.drops.contains(&suspect.fault)
                        || outcome.likely.iter().any(|(fault, _)| *fault == suspect.fault)
                })
            };
            let fault = &suspect.fault;
            let telling: Vec<&str> = checks.iter().filter(|check| names(check)).map(|check| check.common.id.as_str()).collect();
            let message = if telling.is_empty() {
                Some(format!("no check listed by this symptom can find or rule out `{fault}`"))
            } else if telling.iter().all(|id| too_late.contains(id)) {
                let named = telling.iter().map(|id| format!("`check:{id}`")).collect::<Vec<_>>().join(" and ");
                Some(format!(
                    "only {named} can find or rule out `{fault}`, and no order of this symptom's checks lets that be done before what is to be read has been erased"
                ))
            } else {
                None
            };
            if let Some(message) = message {
                let hint = match handbook.entry(&suspect.fault) {
                    _ if !telling.is_empty() => {
                        "list another check that tells it apart, or look whether `erased-by` says too much".to_owned()
                    }
                    Some(Entry::Fault(fault)) => format!("list a check that tells it apart, such as `{}`", fault.proved_by),
                    _ => "list a check whose outcomes keep or drop it".to_owned(),
                };
                problems.add(
                    Diagnostic::new(Code::UnreachableFault, places.item(&name, "faults", &suspect.fault.to_string()), message).hint(hint),
                );
            }
        }
    }
}

/// Entries of a kind with the same title.
pub fn twin_titles(handbook: &Handbook, places: &Places, problems: &mut Problems) {
    let mut seen: BTreeMap<(Kind, String), Name> = BTreeMap::new();
    for entry in handbook.entries() {
        let name = entry.name();
        let key = (entry.kind(), entry.common().title.to_lowercase());
        if let Some(first) = seen.get(&key) {
            let message = format!("two {} have the title `{}`", entry.kind().words().to_lowercase(), entry.common().title);
            let diagnostic = Diagnostic::new(Code::DuplicateTitle, places.of(&name, &[]), message);
            problems.add(diagnostic.also(places.of(first, &[]), "the other one"));
        } else {
            seen.insert(key, name);
        }
    }
}
