//! What can be seen or heard, and where the ignition sequence stops.

use super::{Common, Name, Prose};

#[derive(Debug, Clone)]
pub struct Symptom {
    pub common: Common,
    /// The id of a [`super::Stage`].
    pub stage: String,
    pub seen: Prose,
    pub suspects: Vec<Suspect>,
    /// Checks, in the order as written.
    pub checks: Vec<Name>,
    pub safety: Vec<Name>,
}

/// A fault that may be behind a symptom.
#[derive(Debug, Clone)]
pub struct Suspect {
    pub fault: Name,
    /// Relative chance, above 0.
    pub weight: f64,
    pub basis: Basis,
}

/// What a weight rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Basis {
    ShopRecord,
    CommonPractice,
    Judgement,
}

impl Basis {
    pub fn words(self) -> &'static str {
        match self {
            Basis::ShopRecord => "shop record",
            Basis::CommonPractice => "common practice",
            Basis::Judgement => "judgement",
        }
    }
}
