//! Which check comes first, what an outcome says about the faults, and which check proves a fault.

use std::collections::BTreeSet;

use super::build::{choice, item};
use super::item::{Choice, Item, Proof, Variant};
use super::random::Random;
use super::text::{opening, quoted, sentence};
use crate::handbook::{Check, Entry, Handbook, Kind, Name, Outcome, Seen, Symptom};

/// From this chance on an outcome leaves a fault plainly possible.
const POSSIBLE: f64 = 0.1;

pub(super) fn items(handbook: &Handbook) -> Vec<Item> {
    let mut items: Vec<Item> = handbook.symptoms.iter().filter_map(|symptom| first(handbook, symptom)).collect();
    for check in &handbook.checks {
        items.extend(check.outcomes.iter().filter_map(|outcome| fault(handbook, check, outcome)));
    }
    items.extend(proofs(handbook));
    items
}

/// Four of a symptom's checks: which comes first as written?
fn first(handbook: &Handbook, symptom: &Symptom) -> Option<Item> {
    let id = format!("first-check/first/{}", symptom.common.id);
    let mut random = Random::of(&id);
    let mut variants: Vec<Option<Variant>> = Vec::new();
    for _ in 0..6 {
        let places: Vec<usize> = random.some((0..symptom.checks.len()).collect(), 4);
        let Some(right) = places.first().copied() else { continue };
        let option = |place: usize| Some(Choice::new(handbook.title(&symptom.checks[place])?, Proof::Place { at: place, right }));
        let wrong: Vec<Choice> = places.iter().skip(1).filter_map(|place| option(*place)).collect();
        let question = format!("{}: which of these checks comes first in the handbook's list?", symptom.common.title);
        let right = option(right)?;
        let rest = wrong.iter().map(|option| quoted(&option.text)).collect::<Vec<_>>().join(", then ");
        let because = format!(
            "{} comes first, then {rest}. Safe and cheap checks stand before those that need power, gas or more time.",
            quoted(&right.text)
        );
        variants.push(choice(&mut random, question, right, wrong, because));
    }
    item(handbook, id, Name::new(Kind::Symptom, &symptom.common.id), variants)
}

/// Which fault does an outcome leave possible, or rule out?
fn fault(handbook: &Handbook, check: &Check, outcome: &Outcome) -> Option<Item> {
    let id = format!("first-check/outcome/{}/{}", check.common.id, outcome.id);
    let mut random = Random::of(&id);
    // The faults of the symptoms that use the check: what one would have in mind when doing it.
    let near: BTreeSet<&Name> = handbook
        .symptoms
        .iter()
        .filter(|symptom| symptom.checks.iter().any(|name| name.id == check.common.id))
        .flat_map(|symptom| symptom.suspects.iter().map(|suspect| &suspect.fault))
        .collect();
    let (list, ask) = if outcome.keeps.is_empty() {
        (&outcome.drops, "Which of these faults does that rule out?")
    } else {
        (&outcome.keeps, "Which of these faults is still possible?")
    };
    let option = |name: &Name| Some(Choice::new(handbook.title(name)?, Proof::listed(name, list)));
    // Beside a fault that is ruled out stand only faults that the entry itself calls possible: of one that it does not mention,
    // a thoughtful reader may well find that it is ruled out too.
    let open = |name: &Name| !outcome.keeps.is_empty() || outcome.likely.iter().any(|(fault, chance)| fault == name && *chance >= POSSIBLE);
    let seen = seen(handbook, check, outcome)?;
    let question = format!("{}. You find this: {seen} {ask}", check.common.title);
    let means = handbook.plain(&outcome.means);
    let picked = random.some(list.iter().filter(|name| !outcome.keeps.is_empty() || near.contains(name)).collect(), 2);
    let variants: Vec<Option<Variant>> = picked
        .into_iter()
        .filter_map(|name| {
            let mut wrong: Vec<Choice> = near.iter().filter(|name| open(name)).filter_map(|name| option(name)).collect();
            random.shuffle(&mut wrong);
            let right = option(name)?;
            let verdict = match (outcome.keeps.len(), outcome.keeps.is_empty()) {
                (_, true) => "is ruled out",
                (1, _) => "is the one that stays possible",
                _ => "stays possible",
            };
            let because = format!("{} {verdict}. {}", quoted(&right.text), sentence(opening(&means, 300)));
            Some(choice(&mut random, question.clone(), right, wrong, because))
        })
        .collect();
    item(handbook, id, Name::new(Kind::Check, &check.common.id), variants)
}

/// What is found, as a sentence.
fn seen(handbook: &Handbook, check: &Check, outcome: &Outcome) -> Option<String> {
    match &outcome.seen {
        Seen::Words(words) => Some(sentence(words)),
        Seen::Band(id) => {
            let Some(Entry::Measurement(measurement)) = check.measures.as_ref().and_then(|name| handbook.entry(name)) else { return None };
            let band = measurement.bands.iter().find(|band| band.id == *id)?;
            Some(format!("the reading lies in the band {} of {}.", quoted(&band.label), quoted(&measurement.common.title)))
        }
    }
}

/// Which check proves a fault? Wrong are checks none of whose outcomes says anything about it.
fn proofs(handbook: &Handbook) -> Vec<Item> {
    let ask = |fault: &crate::handbook::Fault| {
        let name = Name::new(Kind::Fault, &fault.common.id);
        let id = format!("first-check/proof/{}", name.id);
        let mut random = Random::of(&id);
        let mut speaking: Vec<Name> = handbook
            .checks
            .iter()
            .filter(|check| check.outcomes.iter().any(|outcome| speaks(outcome, &name)))
            .map(|check| Name::new(Kind::Check, &check.common.id))
            .collect();
        speaking.push(fault.proved_by.clone());
        let option = |name: &Name| Some(Choice::new(handbook.title(name)?, Proof::listed(name, &speaking)));
        let mut checks: Vec<Name> = handbook.checks.iter().map(|check| Name::new(Kind::Check, &check.common.id)).collect();
        random.shuffle(&mut checks);
        let wrong = checks.iter().filter_map(option);
        let right = option(&fault.proved_by)?;
        let question = format!("You suspect this fault: {}. Which of these checks proves it or its repair?", quoted(&fault.common.title));
        let because = format!("{}. {}", right.text, sentence(&fault.common.summary));
        item(handbook, id, name, [choice(&mut random, question, right, wrong, because)])
    };
    handbook.faults.iter().filter_map(ask).collect()
}

fn speaks(outcome: &Outcome, fault: &Name) -> bool {
    outcome.keeps.contains(fault)
        || outcome.drops.contains(fault)
        || outcome.likely.iter().any(|(name, _)| name == fault)
        || outcome.next.as_ref() == Some(fault)
}
