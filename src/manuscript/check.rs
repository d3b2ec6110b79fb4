//! A check as written.

use super::list::{List, Pairs};
use super::number::{Chance, Positive, Ranged};
use super::prose::Prose;
use super::record::record;
use super::reference::{RefText, ToCheck, ToFault, ToMeasurement, ToNext, ToSafety};
use super::value::{Text, Word};
use super::words::{State, Touches};
use crate::source::Placed;

record! {
    /// One thing to do that tells faults apart.
    pub struct Check {
        /// The state that the appliance must be in.
        pub state: Placed<State>,
        /// What the work touches that can hurt; `[]` for nothing.
        pub touches: List<Placed<Touches>, 0>,
        /// How long it takes, in minutes; above 0.
        pub minutes: Ranged<Positive>,
        /// What to bring.
        pub tools: Vec<Text>,
        /// Checks that must come before.
        pub after: Vec<RefText<ToCheck>>,
        /// States that erase what this check reads: once the appliance is brought into one of them, it is too late.
        pub erased_by: Vec<Placed<State>>,
        /// Safety notes to show; the handbook's rules say which are needed.
        pub safety: Vec<RefText<ToSafety>>,
        /// The reading taken; outcomes may then name its bands.
        pub measures: Option<RefText<ToMeasurement>>,
        /// What to do, in Markdown.
        pub steps: List<Prose, 1>,
        /// What may come out.
        pub outcomes: List<Outcome, 2>,
        /// The id of the outcome that is usual when the fault lies elsewhere; left out, it is the only one in a good band.
        pub usual: Option<Word>,
        /// Checks to end the work with.
        pub closing: Vec<RefText<ToCheck>>,
    }
}

record! {
    /// One of the things that may come out of a check; it has a `band` or says what was `seen`.
    pub struct Outcome {
        /// A short word for it.
        pub id: Word,
        /// The id of a band of the measurement.
        pub band: Option<Word>,
        /// What was seen.
        pub seen: Option<Text>,
        /// What it means, in Markdown.
        pub means: Prose,
        /// Only these faults stay possible.
        pub keeps: Vec<RefText<ToFault>>,
        /// These faults are ruled out.
        pub drops: Vec<RefText<ToFault>>,
        /// The chance of this outcome given a fault, above 0 and below 1.
        pub likely: Pairs<RefText<ToFault>, Ranged<Chance>>,
        /// Where to go on.
        pub next: Option<RefText<ToNext>>,
    }
}
