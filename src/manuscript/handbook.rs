//! `handbook.yaml` as written: what the handbook is, its stages, and its safety rules.

use super::list::List;
use super::number::{NotNegative, Positive, Ranged};
use super::prose::Prose;
use super::record::record;
use super::reference::{RefText, ToCheck, ToSafety};
use super::value::{Text, Word};
use super::words::{State, Touches, Units, Work};
use crate::source::Placed;

record! {
    /// The handbook as a whole.
    pub struct HandbookFile {
        /// What the handbook is called.
        pub title: Text,
        /// The shop that it belongs to.
        pub shop: Text,
        /// Which edition this is.
        pub edition: Text,
        /// A short word that tells this handbook from others.
        pub book_id: Word,
        /// The language of its prose, such as `en`.
        pub language: Text,
        /// The units that the shop works in; every figure is shown in the unit that its entry gives.
        pub units: Placed<Units>,
        /// Whether shop and calls are invented; every page's foot then says so.
        pub invented: Option<Placed<bool>>,
        /// The text at the foot of every page, in Markdown.
        pub notice: Option<Prose>,
        /// The standing caution on every page, in Markdown.
        pub caution: Prose,
        /// The ignition sequence in order.
        pub stages: List<Stage, 1>,
        /// How long it takes to bring the appliance from one state to another.
        pub state_changes: Vec<StateChange>,
        /// What entries must carry to be published.
        pub safety_rules: Vec<SafetyRule>,
        /// The shop's past calls, which re-weigh the symptoms' faults.
        pub record: Option<RecordOfCalls>,
    }
}

record! {
    /// One stage of the ignition sequence.
    pub struct Stage {
        /// The word that symptoms use for it.
        pub id: Word,
        /// What it is called.
        pub title: Text,
        /// What should happen, in Markdown.
        pub normal: Prose,
    }
}

record! {
    /// A change of the appliance's state.
    pub struct StateChange {
        /// The state before.
        pub from: Placed<State>,
        /// The state after.
        pub to: Placed<State>,
        /// How long it takes, in minutes; 0 or more.
        pub minutes: Ranged<NotNegative>,
        /// What it takes, and where the figure comes from.
        pub note: Option<Text>,
    }
}

record! {
    /// Past calls and how much they weigh.
    pub struct RecordOfCalls {
        /// The file of the calls, beside handbook.yaml: comma-separated values with the columns date, appliance, symptom, fault and minutes.
        pub file: Text,
        /// The written weights of a symptom count as much as so many calls; above 0, left out 20.
        pub strength: Option<Ranged<Positive>>,
    }
}

record! {
    /// A rule that entries must keep to be published.
    pub struct SafetyRule {
        /// A short word for it.
        pub id: Word,
        /// What it is called.
        pub title: Text,
        /// The kinds of entries that it holds for.
        pub applies_to: List<Placed<Work>, 1>,
        /// It holds only for entries that touch this.
        pub touches: Option<Placed<Touches>>,
        /// It holds only for entries that start in one of these states.
        pub states: Vec<Placed<State>>,
        /// Safety notes that the entry must list, all of them.
        pub needs_safety: Vec<RefText<ToSafety>>,
        /// Checks that must come before the work.
        pub needs_before: Vec<RefText<ToCheck>>,
        /// Checks that must stand under `closing`.
        pub needs_closing: Vec<RefText<ToCheck>>,
        /// Why the rule stands.
        pub why: Text,
    }
}
