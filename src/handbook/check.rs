//! One thing to do that tells faults apart.

use super::{Common, Name, Prose, State, Touches};

#[derive(Debug, Clone)]
pub struct Check {
    pub common: Common,
    pub state: State,
    pub touches: Vec<Touches>,
    /// Minutes, above 0.
    pub minutes: f64,
    pub tools: Vec<String>,
    /// Checks that come before this one.
    pub after: Vec<Name>,
    /// States that erase what this check reads: a symptom that asks for it has it done before any of them is entered.
    pub erased_by: Vec<State>,
    pub safety: Vec<Name>,
    /// The measurement whose bands the outcomes may name.
    pub measures: Option<Name>,
    pub steps: Vec<Prose>,
    pub outcomes: Vec<Outcome>,
    /// The id of the outcome that is usual when the fault lies elsewhere.
    pub usual: Option<String>,
    /// Checks that must end the work.
    pub closing: Vec<Name>,
}

/// What may be found, and what that says about the faults.
#[derive(Debug, Clone)]
pub struct Outcome {
    pub id: String,
    pub seen: Seen,
    pub means: Prose,
    /// If not empty, only these faults stay possible.
    pub keeps: Vec<Name>,
    /// These faults are ruled out.
    pub drops: Vec<Name>,
    /// Chance of this outcome under a fault, above 0 and below 1.
    pub likely: Vec<(Name, f64)>,
    pub next: Option<Name>,
}

/// How an outcome is recognised.
#[derive(Debug, Clone)]
pub enum Seen {
    /// A band, by its id, of the check's measurement.
    Band(String),
    Words(String),
}
