//! A repair or a replacement, step by step.

use super::{Common, Name, Prose, State, Touches};

#[derive(Debug, Clone)]
pub struct Task {
    pub common: Common,
    /// The state in which the work starts.
    pub state: State,
    pub touches: Vec<Touches>,
    /// Minutes, above 0.
    pub minutes: f64,
    pub tools: Vec<String>,
    pub parts: Vec<String>,
    pub safety: Vec<Name>,
    pub steps: Vec<Step>,
    pub closing: Vec<Name>,
    /// What goes into the handover record.
    pub record: Vec<String>,
}

#[derive(Debug, Clone)]
pub struct Step {
    pub action: Prose,
    pub why: Option<Prose>,
    /// The appliance changes to this state at this step.
    pub state: Option<State>,
    pub used: Vec<Name>,
}
