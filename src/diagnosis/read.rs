//! From a symptom of the handbook to its model.

use std::collections::BTreeMap;

use super::model::{CheckModel, Minutes, Model, ModelError, OutcomeModel, SuspectModel};
use crate::handbook::{Check, Entry, Handbook, Kind, Name, Outcome, State, Symptom};

/// Minutes of a change of state for which the handbook states none.
pub const UNSTATED_CHANGE_MINUTES: f64 = 0.0;

/// A symptom's model: its suspects, the checks that it lists, and those that must come before them.
///
/// # Errors
/// The numbers make no model: no suspects, too many of them or of checks.
pub fn model(handbook: &Handbook, symptom: &Symptom) -> Result<Model, ModelError> {
    let suspects: Vec<SuspectModel> =
        symptom.suspects.iter().map(|suspect| SuspectModel { fault: suspect.fault.clone(), chance: suspect.weight }).collect();
    let faults: Vec<&Name> = symptom.suspects.iter().map(|suspect| &suspect.fault).collect();

    let checks = with_those_before(handbook, symptom);
    let places: BTreeMap<&str, usize> = checks.iter().enumerate().map(|(place, check)| (check.common.id.as_str(), place)).collect();
    let place = |name: &Name| places.get(name.id.as_str()).copied();
    let models = checks.iter().map(|check| CheckModel {
        check: Name::new(Kind::Check, &check.common.id),
        state: check.state,
        minutes: check.minutes,
        after: check.after.iter().filter_map(place).collect(),
        erased_by: check.erased_by.clone(),
        guard: check.outcomes.iter().all(|outcome| outcome.keeps.is_empty() && outcome.drops.is_empty() && outcome.likely.is_empty()),
        outcomes: outcomes(check, &faults),
    });
    let changes = handbook.book.state_changes.iter().map(|change| (change.from, change.to, change.minutes));
    let minutes = Minutes::from_changes(changes, UNSTATED_CHANGE_MINUTES);
    Model::new(suspects, models.collect(), minutes, State::AS_FOUND, symptom.checks.iter().filter_map(place).collect())
}

/// The listed checks and all that must come before them, in the order of ids.
fn with_those_before<'a>(handbook: &'a Handbook, symptom: &Symptom) -> Vec<&'a Check> {
    let mut found: BTreeMap<&str, &Check> = BTreeMap::new();
    let mut open: Vec<&Name> = symptom.checks.iter().collect();
    while let Some(name) = open.pop() {
        if let Some(Entry::Check(check)) = handbook.entry(name)
            && found.insert(&check.common.id, check).is_none()
        {
            open.extend(&check.after);
        }
    }
    found.into_values().collect()
}

fn outcomes(check: &Check, faults: &[&Name]) -> Vec<OutcomeModel> {
    let under: Vec<Vec<f64>> = faults.iter().map(|fault| likelihoods(&check.outcomes, fault)).collect();
    let one = |(place, outcome): (usize, &Outcome)| OutcomeModel {
        id: outcome.id.clone(),
        likelihood: under.iter().map(|chances| chances[place]).collect(),
    };
    check.outcomes.iter().enumerate().map(one).collect()
}

/// The chance of each outcome of a check under a fault; they add up to 1.
///
/// An outcome is impossible under the fault if it drops it, or keeps others and not it. Of the outcomes that are left, those
/// for which the entry gives a likelihood have that chance; what then remains up to 1 is shared evenly among the others. If
/// there are no others, or the given chances exceed 1, the given ones are divided by their sum. A fault under which no
/// outcome is possible contradicts itself: the check then says nothing about it, and each outcome has the same chance.
pub fn likelihoods(outcomes: &[Outcome], fault: &Name) -> Vec<f64> {
    let possible = |outcome: &Outcome| !outcome.drops.contains(fault) && (outcome.keeps.is_empty() || outcome.keeps.contains(fault));
    let given = |outcome: &Outcome| outcome.likely.iter().find(|(name, _)| name == fault).map(|(_, chance)| chance.max(0.0));
    let live: Vec<&Outcome> = outcomes.iter().filter(|outcome| possible(outcome)).collect();
    if live.is_empty() {
        return vec![1.0 / outcomes.len() as f64; outcomes.len()];
    }
    let sum: f64 = live.iter().filter_map(|outcome| given(outcome)).sum();
    let others = live.iter().filter(|outcome| given(outcome).is_none()).count();
    let scale = if (others == 0 && sum > 0.0) || sum > 1.0 { 1.0 / sum } else { 1.0 };
    let share = if others == 0 { 1.0 / live.len() as f64 } else { (1.0 - sum).max(0.0) / others as f64 };
    let one = |outcome: &Outcome| match given(outcome) {
        _ if !possible(outcome) => 0.0,
        Some(chance) if sum > 0.0 => chance * scale,
        _ => share,
    };
    outcomes.iter().map(one).collect()
}
