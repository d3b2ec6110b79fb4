//! The shop's record: past calls, and what they make of the weights as written.

use super::{Name, Symptom};

/// How many calls the written weights of a symptom count for, unless the handbook says otherwise.
pub const USUAL_STRENGTH: f64 = 20.0;

/// One past call.
#[derive(Debug, Clone, PartialEq)]
pub struct Call {
    /// As year-month-day.
    pub date: String,
    /// The kind of appliance, in the shop's own words.
    pub appliance: String,
    pub symptom: Name,
    /// The fault that was found.
    pub fault: Name,
    /// Minutes from the first look to the named fault, above 0.
    pub minutes: f64,
}

/// Calls, and how much they weigh against what was written.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    pub calls: Vec<Call>,
    /// The written weights of a symptom count as much as so many calls; above 0.
    pub strength: f64,
}

/// What written weight and calls say of one fault of a symptom.
///
/// The shares of a symptom's faults have a Dirichlet distribution whose parameters are the written shares times the strength,
/// each with the calls added in which the fault was found. One fault's share is then Beta-distributed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// The written share, 0 to 1.
    pub written: f64,
    /// Calls in which the fault was found.
    pub calls: usize,
    /// Parameters of the Beta distribution of the share.
    pub alpha: f64,
    pub beta: f64,
}

impl Share {
    /// The share to be expected: the mean of its distribution.
    pub fn now(&self) -> f64 {
        self.alpha / (self.alpha + self.beta)
    }
}

impl Record {
    /// The shares of a symptom's faults, in the order of its suspects. Calls that ended on a fault which the symptom does not
    /// list are left out.
    pub fn shares(&self, symptom: &Symptom) -> Vec<Share> {
        let whole: f64 = symptom.suspects.iter().map(|suspect| suspect.weight).sum();
        let found = |fault: &Name| self.calls.iter().filter(|call| call.symptom.id == symptom.common.id && call.fault == *fault).count();
        let counts: Vec<usize> = symptom.suspects.iter().map(|suspect| found(&suspect.fault)).collect();
        let all = self.strength + counts.iter().sum::<usize>() as f64;
        let one = |(suspect, &calls): (&super::Suspect, &usize)| {
            let written = suspect.weight / whole;
            let alpha = written * self.strength + calls as f64;
            Share { written, calls, alpha, beta: all - alpha }
        };
        symptom.suspects.iter().zip(&counts).map(one).collect()
    }

    /// Calls that count for a symptom.
    pub fn calls_of(&self, symptom: &Symptom) -> usize {
        self.shares(symptom).iter().map(|share| share.calls).sum()
    }
}
