//! A symptom as written.

use super::list::List;
use super::number::{Positive, Ranged};
use super::prose::Prose;
use super::record::record;
use super::reference::{RefText, ToCheck, ToFault, ToSafety};
use super::value::Word;
use super::words::Basis;
use crate::source::Placed;

record! {
    /// What can be seen or heard, and the stage of the ignition sequence at which it stops.
    pub struct Symptom {
        /// The id of a stage in handbook.yaml.
        pub stage: Word,
        /// What is seen and heard, in order, in Markdown.
        pub seen: Prose,
        /// What may be broken.
        pub faults: List<Suspect, 1>,
        /// The checks in the order as written, safest and cheapest first.
        pub checks: List<RefText<ToCheck>, 1>,
        /// Safety notes shown on top.
        pub safety: Vec<RefText<ToSafety>>,
    }
}

record! {
    /// A fault that may be behind the symptom.
    pub struct Suspect {
        /// The fault.
        pub fault: RefText<ToFault>,
        /// Its chance relative to the others of the list; above 0.
        pub weight: Ranged<Positive>,
        /// What the weight rests on.
        pub basis: Placed<Basis>,
    }
}
