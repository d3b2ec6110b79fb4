//! What checks tell and fail to tell: a check that parts nothing, faults that nothing parts, outcomes that cannot come.

use std::collections::{BTreeMap, BTreeSet};

use super::places::Places;
use crate::diagnostic::{Code, Diagnostic, Problems};
use crate::handbook::{Check, Entry, Handbook, Kind, MOST_IN_ORDER, Name, Symptom};

/// Two chances closer than this are the same.
const SAME: f64 = 1e-12;

/// Faults under which no outcome of a check can come: the check contradicts itself.
pub fn contradictions(handbook: &Handbook, places: &Places, problems: &mut Problems) {
    for check in &handbook.checks {
        let name = Name::new(Kind::Check, check.common.id.clone());
        let named = check
            .outcomes
            .iter()
            .flat_map(|outcome| outcome.keeps.iter().chain(&outcome.drops).chain(outcome.likely.iter().map(|(fault, _)| fault)));
        for fault in named.collect::<BTreeSet<_>>() {
            if !check.outcomes.iter().any(|outcome| outcome.allows(fault)) {
                let message = format!("under `{fault}` nothing can be found: each outcome drops it, or keeps others only");
                let diagnostic = Diagnostic::new(Code::NothingToFind, places.of(&name, &["outcomes"]), message);
                problems.add(diagnostic.hint("with this fault, too, the check comes out one way or the other: let that outcome keep it"));
            }
        }
    }
}

/// Of a whole handbook: checks that tell nothing, outcomes that no fault gives, faults that nothing parts.
pub fn parting(handbook: &Handbook, places: &Places, problems: &mut Problems) {
    let mut users: BTreeMap<&str, Vec<&Symptom>> = BTreeMap::new();
    for symptom in &handbook.symptoms {
        for check in handbook.checks_of(symptom) {
            users.entry(&check.common.id).or_default().push(symptom);
        }
        unparted(handbook, symptom, places, problems);
        too_many(handbook, symptom, places, problems);
    }
    // What comes before others or ends the work may tell nothing: it is there for safety.
    let for_safety = handbook.checks.iter().flat_map(|check| check.after.iter().chain(&check.closing));
    let for_safety: BTreeSet<&Name> = for_safety.chain(handbook.tasks.iter().flat_map(|task| &task.closing)).collect();
    for check in &handbook.checks {
        let name = Name::new(Kind::Check, check.common.id.clone());
        let Some(symptoms) = users.get(check.common.id.as_str()) else { continue };
        if !symptoms.iter().any(|symptom| parts_any(check, symptom)) {
            if check.tells() || !for_safety.contains(&name) {
                let message = format!("this check parts no two faults of {}", listed(symptoms));
                let diagnostic = Diagnostic::new(Code::PartsNothing, places.of(&name, &["outcomes"]), message);
                problems.add(diagnostic.hint("let its outcomes keep or drop faults of the symptom, or take it out of the list"));
            }
        } else {
            for outcome in &check.outcomes {
                let can_come = symptoms.iter().flat_map(|symptom| &symptom.suspects).any(|suspect| outcome.allows(&suspect.fault));
                if !can_come {
                    let message = format!("`{}` keeps none of the faults of {}", outcome.id, listed(symptoms));
                    let diagnostic = Diagnostic::new(Code::KeepsNothing, places.item(&name, "outcomes", &outcome.id), message);
                    problems.add(diagnostic.hint(
                        "who finds it is left without a fault to go on with: keep one that can give it, or list that fault in a symptom",
                    ));
                }
            }
        }
    }
}

/// More faults or checks than an order is worked out for.
fn too_many(handbook: &Handbook, symptom: &Symptom, places: &Places, problems: &mut Problems) {
    let name = Name::new(Kind::Symptom, symptom.common.id.clone());
    let faults: Vec<&Name> = symptom.suspects.iter().map(|suspect| &suspect.fault).collect();
    let checks: Vec<&Name> = symptom.checks.iter().collect();
    for (field, listed, count) in [("faults", &faults, faults.len()), ("checks", &checks, handbook.checks_of(symptom).len())] {
        if count > MOST_IN_ORDER
            && let Some(last) = listed.get(MOST_IN_ORDER).or(listed.last())
        {
            let message = format!("no order is worked out: expected at most {MOST_IN_ORDER} {field}, found {count}");
            let diagnostic = Diagnostic::new(Code::NoOrder, places.item(&name, field, &last.to_string()), message);
            problems.add(diagnostic.hint("divide it into symptoms that a technician can tell apart by looking"));
        }
    }
}

/// Faults of a symptom under which every check finds the same with the same chances.
fn unparted(handbook: &Handbook, symptom: &Symptom, places: &Places, problems: &mut Problems) {
    let checks = handbook.checks_of(symptom);
    let mut told: BTreeSet<&Name> = BTreeSet::new();
    for (place, suspect) in symptom.suspects.iter().enumerate() {
        let alike = |other: &&crate::handbook::Suspect| checks.iter().all(|check| same(check, &suspect.fault, &other.fault));
        let others: Vec<&Name> = symptom.suspects[place + 1..].iter().filter(alike).map(|other| &other.fault).collect();
        if others.is_empty() || !told.insert(&suspect.fault) {
            continue;
        }
        told.extend(others.iter().copied());
        let name = Name::new(Kind::Symptom, symptom.common.id.clone());
        let words = others.iter().map(|other| format!("`{other}`")).collect::<Vec<_>>().join(" and ");
        let message = format!("no check of this symptom parts `{}` from {words}", suspect.fault);
        let place = |fault: &Name| places.item(&name, "faults", &fault.to_string());
        let mut diagnostic = Diagnostic::new(Code::UnpartedFaults, place(&suspect.fault), message);
        for other in &others {
            diagnostic = diagnostic.also(place(other), "from this one");
        }
        let proof = [&suspect.fault].into_iter().chain(others.iter().copied()).find_map(|fault| match handbook.entry(fault) {
            Some(Entry::Fault(entry)) if !symptom.checks.contains(&entry.proved_by) => Some(entry.proved_by.clone()),
            _ => None,
        });
        let hint = match proof {
            Some(check) => format!("list a check that finds one and not the other, such as `{check}`"),
            None => "write or list a check that finds one and not the other".to_owned(),
        };
        problems.add(diagnostic.hint(hint));
    }
}

fn same(check: &Check, one: &Name, other: &Name) -> bool {
    check.likelihoods(one).iter().zip(check.likelihoods(other)).all(|(a, b)| (a - b).abs() < SAME)
}

fn parts_any(check: &Check, symptom: &Symptom) -> bool {
    let Some(first) = symptom.suspects.first() else { return false };
    // A single fault leaves nothing to part, and that is not the check's doing.
    symptom.suspects.len() == 1 || symptom.suspects.iter().any(|other| !same(check, &first.fault, &other.fault))
}

/// The symptoms that use a check, the first three by name.
fn listed(symptoms: &[&Symptom]) -> String {
    let names: Vec<String> = symptoms.iter().take(3).map(|symptom| format!("`symptom:{}`", symptom.common.id)).collect();
    let more = if symptoms.len() > 3 { format!(" and {} more", symptoms.len() - 3) } else { String::new() };
    format!("{}{more}", names.join(", "))
}
