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
    model_with(handbook, symptom, &handbook.chances(symptom))
}

/// The same with chances of one's own for the suspects, in their order.
///
/// # Errors
/// As for [`model`].
pub fn model_with(handbook: &Handbook, symptom: &Symptom, chances: &[f64]) -> Result<Model, ModelError> {
    let suspects = symptom.suspects.iter().zip(chances);
    let suspects: Vec<SuspectModel> = suspects.map(|(suspect, &chance)| SuspectModel { fault: suspect.fault.clone(), chance }).collect();
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
        guard: !check.tells(),
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
    let under: Vec<Vec<f64>> = faults.iter().map(|fault| check.likelihoods(fault)).collect();
    let one = |(place, outcome): (usize, &Outcome)| OutcomeModel {
        id: outcome.id.clone(),
        likelihood: under.iter().map(|chances| chances[place]).collect(),
    };
    check.outcomes.iter().enumerate().map(one).collect()
}
