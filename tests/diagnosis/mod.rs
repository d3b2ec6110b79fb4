//! Diagnosis: exact policies against every policy there is, published rules, bad input, and walks through the demo's symptoms.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::OnceLock;

use bluecone::diagnosis::{CheckModel, Limits, Minutes, Model, OutcomeModel, SuspectModel};
use bluecone::handbook::{Handbook, Kind, Name, State};

mod alike;
mod bad;
mod every_policy;
mod outside_odds;
mod page;
mod read;
mod record;
mod rest;
mod rules;
mod size;
mod walk_agreement;
mod walk_ends;
mod walks;

/// The demo handbook.
fn handbook() -> &'static Handbook {
    static DEMO: OnceLock<Handbook> = OnceLock::new();
    DEMO.get_or_init(|| {
        let proofed = bluecone::proof(Path::new("content")).expect("the demo handbook can be read");
        proofed.handbook.unwrap_or_else(|| panic!("the demo handbook has problems: {:?}", proofed.diagnostics.first()))
    })
}

/// Nothing but a model: no handbook needed.
fn suspects(chances: &[f64]) -> Vec<SuspectModel> {
    let one = |(place, chance): (usize, &f64)| SuspectModel { fault: Name::new(Kind::Fault, format!("fault-{place:02}")), chance: *chance };
    chances.iter().enumerate().map(one).collect()
}

/// A powered check; each row is an outcome's chance under each suspect.
fn check(id: &str, minutes: f64, rows: &[Vec<f64>]) -> CheckModel {
    let outcome = |(place, row): (usize, &Vec<f64>)| OutcomeModel { id: format!("outcome-{place}"), likelihood: row.clone() };
    CheckModel {
        check: Name::new(Kind::Check, id),
        state: State::Powered,
        minutes,
        after: Vec::new(),
        erased_by: Vec::new(),
        guard: false,
        outcomes: rows.iter().enumerate().map(outcome).collect(),
    }
}

/// A check that is sure whether the fault is one of these suspects.
fn looks_for(id: &str, minutes: f64, among: &[usize], n_suspects: usize) -> CheckModel {
    let row = |inside: f64| (0..n_suspects).map(|suspect| if among.contains(&suspect) { inside } else { 1.0 - inside }).collect();
    check(id, minutes, &[row(1.0), row(0.0)])
}

/// A model without changes of state, its order as written that of the checks.
fn flat(chances: &[f64], checks: Vec<CheckModel>) -> Model {
    let written = (0..checks.len()).collect();
    Model::new(suspects(chances), checks, Minutes::default(), State::Powered, written).expect("a sound model")
}

fn certain() -> Limits {
    Limits { certainty: 1.0, ..Limits::default() }
}

/// Even numbers from a seed (G. L. Steele, D. Lea and C. H. Flood, "Fast splittable pseudorandom number generators", 2014).
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// 0 up to but without 1.
    fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// 0 up to but without `end`.
    fn below(&mut self, end: usize) -> usize {
        (self.unit() * end as f64) as usize
    }

    /// A place, each with the chance that its weight says.
    fn place(&mut self, weights: &[f64]) -> usize {
        let mut left = self.unit() * weights.iter().sum::<f64>();
        let found = weights.iter().position(|weight| {
            left -= weight;
            left < 0.0
        });
        found.unwrap_or_else(|| weights.iter().rposition(|weight| *weight > 0.0).expect("a weight above 0"))
    }
}
