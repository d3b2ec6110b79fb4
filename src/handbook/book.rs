//! The book itself: its title page, its stages and its safety rules.

use super::{Kind, Name, Prose, State, Touches};

#[derive(Debug, Clone, Default)]
pub struct Book {
    pub title: String,
    pub shop: String,
    pub edition: String,
    /// Prefix of everything that the site keeps in the browser.
    pub book_id: String,
    pub language: String,
    pub units: UnitSystem,
    /// Whether the shop and its calls are invented; then `notice` says so on every page.
    pub invented: bool,
    pub notice: Prose,
    /// The standing caution, on every page.
    pub caution: Prose,
    /// The ignition sequence, in order.
    pub stages: Vec<Stage>,
    pub state_changes: Vec<StateChange>,
    pub safety_rules: Vec<SafetyRule>,
}

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum UnitSystem {
    #[default]
    Us,
    Si,
}

#[derive(Debug, Clone)]
pub struct Stage {
    pub id: String,
    pub title: String,
    /// What should happen at this stage.
    pub normal: Prose,
}

/// Minutes that it takes to bring the appliance from one state to another.
#[derive(Debug, Clone)]
pub struct StateChange {
    pub from: State,
    pub to: State,
    pub minutes: f64,
    pub note: Option<String>,
}

/// What an entry must carry when it meets all the conditions.
#[derive(Debug, Clone)]
pub struct SafetyRule {
    pub id: String,
    pub title: String,
    /// Checks, tasks or both.
    pub applies_to: Vec<Kind>,
    pub touches: Option<Touches>,
    /// Empty: any state.
    pub states: Vec<State>,
    pub needs_safety: Vec<Name>,
    pub needs_before: Vec<Name>,
    pub needs_closing: Vec<Name>,
    pub why: String,
}

/// A page of the authors' guide.
#[derive(Debug, Clone)]
pub struct GuidePage {
    pub id: String,
    pub title: String,
    pub text: Prose,
}
