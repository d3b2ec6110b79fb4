//! What the shop's calls change: shares with how sure they are, and the order that follows from them.

use statrs::distribution::{Beta, ContinuousCDF};

use super::{Limits, Policy, model_with, policy};
use crate::handbook::{Handbook, Name, Record, Share, Symptom};

/// The part of a share's distribution that lies in its interval.
pub const CREDIBLE: f64 = 0.95;

/// Before and after of one symptom.
#[derive(Debug, Clone)]
pub struct Reweighed<'a> {
    pub symptom: &'a Symptom,
    /// Calls that count.
    pub calls: usize,
    /// The checks of both policies, in the order of their places.
    pub checks: Vec<Name>,
    /// In the order of the symptom's suspects.
    pub shares: Vec<Share>,
    pub before: Policy,
    pub after: Policy,
    /// What the order from before comes to under the shares of now: expected minutes, and how often it ends on the right fault.
    pub kept: (f64, f64),
    /// The same of the order of now.
    pub now: (f64, f64),
    /// Mean minutes of the calls, as they were taken down.
    pub taken_minutes: f64,
}

/// The interval in which a share lies with a chance of 95 %, with as much outside on either side.
///
/// Shares whose distribution has no such interval, which takes parameters above 0, are where their mean is.
pub fn interval(share: &Share) -> (f64, f64) {
    let Ok(beta) = Beta::new(share.alpha, share.beta) else { return (share.now(), share.now()) };
    let outside = (1.0 - CREDIBLE) / 2.0;
    (quantile(&beta, outside), quantile(&beta, 1.0 - outside))
}

/// The value below which a share lies with a chance. Halving the interval ends where two numbers have none between them.
fn quantile(beta: &Beta, chance: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    loop {
        let middle = f64::midpoint(low, high);
        if middle <= low || middle >= high {
            return middle;
        }
        if beta.cdf(middle) < chance { low = middle } else { high = middle }
    }
}

/// What a record changes, for each symptom that has calls in it.
pub fn reweigh<'a>(handbook: &'a Handbook, record: &Record, limits: &Limits) -> Vec<Reweighed<'a>> {
    let one = |symptom: &'a Symptom| {
        let shares = record.shares(symptom);
        let calls = shares.iter().map(|share| share.calls).sum();
        if calls == 0 {
            return None;
        }
        let before = model_with(handbook, symptom, &shares.iter().map(|share| share.written).collect::<Vec<_>>()).ok()?;
        let now: Vec<f64> = shares.iter().map(Share::now).collect();
        let after = model_with(handbook, symptom, &now).ok()?;
        let (old, new) = (policy(&before, limits), policy(&after, limits));
        let listed = |call: &&crate::handbook::Call| {
            call.symptom.id == symptom.common.id && symptom.suspects.iter().any(|suspect| suspect.fault == call.fault)
        };
        let taken: f64 = record.calls.iter().filter(listed).map(|call| call.minutes).sum();
        Some(Reweighed {
            symptom,
            calls,
            kept: old.under(&before, &now),
            now: new.under(&after, &now),
            checks: before.checks.iter().map(|check| check.check.clone()).collect(),
            taken_minutes: taken / calls as f64,
            before: old,
            after: new,
            shares,
        })
    };
    handbook.symptoms.iter().filter_map(one).collect()
}
