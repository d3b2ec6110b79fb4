//! What an outcome says about a fault, in chances.

use super::{Check, Name, Outcome};

/// Of the chance that an entry leaves open, the part that goes to the outcomes which speak for the fault.
const SPEAKING_SHARE: f64 = 0.95;

impl Outcome {
    /// Whether the outcome can come under a fault.
    pub fn allows(&self, fault: &Name) -> bool {
        !self.drops.contains(fault) && (self.keeps.is_empty() || self.keeps.contains(fault))
    }

    /// Whether the outcome says anything about any fault.
    pub fn tells(&self) -> bool {
        !(self.keeps.is_empty() && self.drops.is_empty() && self.likely.is_empty())
    }
}

impl Check {
    /// Whether any of its outcomes says anything about any fault; others only make the work safe or end it.
    pub fn tells(&self) -> bool {
        self.outcomes.iter().any(Outcome::tells)
    }

    /// The chance of each outcome of a check under a fault; they add up to 1.
    ///
    /// An outcome is impossible under the fault if it drops it, or keeps others and not it. Of the outcomes that are left, those
    /// for which the entry gives a likelihood have that chance. What then remains up to 1 is shared among the others: those that
    /// keep the fault by name and the usual one share 95 % of it evenly, the rest share 5 %; if there are only the ones or only the
    /// others, they share it all. If all have a given chance, or the given chances exceed 1, these are divided by their sum. A fault
    /// under which no outcome is possible contradicts itself: the check then says nothing about it, and each outcome has the same
    /// chance.
    pub fn likelihoods(&self, fault: &Name) -> Vec<f64> {
        let outcomes = &self.outcomes;
        let possible = |outcome: &Outcome| outcome.allows(fault);
        let given = |outcome: &Outcome| outcome.likely.iter().find(|(name, _)| name == fault).map(|(_, chance)| chance.max(0.0));
        let speaks = |outcome: &Outcome| outcome.keeps.contains(fault) || self.usual.as_deref() == Some(outcome.id.as_str());
        let live: Vec<&Outcome> = outcomes.iter().filter(|outcome| possible(outcome)).collect();
        if live.is_empty() {
            return vec![1.0 / outcomes.len() as f64; outcomes.len()];
        }
        let sum: f64 = live.iter().filter_map(|outcome| given(outcome)).sum();
        let others = live.iter().filter(|outcome| given(outcome).is_none()).count();
        let speaking = live.iter().filter(|outcome| given(outcome).is_none() && speaks(outcome)).count();
        let scale = if (others == 0 && sum > 0.0) || sum > 1.0 { 1.0 / sum } else { 1.0 };
        let left = (1.0 - sum).max(0.0);
        let share = |outcome: &Outcome| match (speaking, others - speaking) {
            (0, 0) => 1.0 / live.len() as f64,
            (0, silent) => left / silent as f64,
            (speaking, 0) => left / speaking as f64,
            (speaking, _) if speaks(outcome) => left * SPEAKING_SHARE / speaking as f64,
            (_, silent) => left * (1.0 - SPEAKING_SHARE) / silent as f64,
        };
        let one = |outcome: &Outcome| match given(outcome) {
            _ if !possible(outcome) => 0.0,
            Some(chance) if sum > 0.0 => chance * scale,
            _ => share(outcome),
        };
        outcomes.iter().map(one).collect()
    }
}
