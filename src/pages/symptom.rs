//! A symptom's page: what is seen, which faults may be behind it, the checks in order.

use serde::Serialize;

use super::hazard::{self, HazardView};
use super::pen::{self, Link, Pen, StateView};
use crate::handbook::{Entry, Name, Symptom};

/// `symptom` in the template.
#[derive(Serialize)]
pub(super) struct SymptomView {
    stage: Option<StageView>,
    seen_html: String,
    suspects: Vec<SuspectView>,
    checks: Vec<CheckLine>,
    hazards: Vec<HazardView>,
    /// Minutes of all listed checks together, without changes of state.
    minutes: String,
}

#[derive(Serialize)]
struct StageView {
    number: usize,
    of: usize,
    title: String,
    normal_html: String,
}

#[derive(Serialize)]
struct SuspectView {
    link: Link,
    part: String,
    /// In words, such as `52 %`.
    chance: String,
    /// 0 to 100, for the bar.
    width: f64,
    basis: &'static str,
}

/// A check as one line of a list.
#[derive(Serialize)]
pub(super) struct CheckLine {
    pub link: Link,
    pub minutes: String,
    pub state: StateView,
}

pub(super) fn view(symptom: &Symptom, pen: &Pen) -> SymptomView {
    let stages = &pen.handbook.book.stages;
    let stage = stages.iter().position(|stage| stage.id == symptom.stage).map(|at| StageView {
        number: at + 1,
        of: stages.len(),
        title: stages[at].title.clone(),
        normal_html: pen.prose("normal", &stages[at].normal),
    });
    let checks = check_lines(&symptom.checks, pen);
    let minutes = symptom.checks.iter().filter_map(|name| minutes_of(name, pen)).sum();
    SymptomView {
        stage,
        seen_html: pen.prose("seen", &symptom.seen),
        suspects: suspects(symptom, pen),
        checks,
        hazards: hazard::boxes(&symptom.safety, pen),
        minutes: pen::figure(minutes),
    }
}

/// The likeliest first; equal weights in the order as written.
fn suspects(symptom: &Symptom, pen: &Pen) -> Vec<SuspectView> {
    let whole: f64 = symptom.suspects.iter().map(|suspect| suspect.weight).sum();
    let mut ranked: Vec<_> = symptom.suspects.iter().collect();
    ranked.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    let one = |suspect: &&crate::handbook::Suspect| {
        let Some(Entry::Fault(fault)) = pen.handbook.entry(&suspect.fault) else { return None };
        let chance = suspect.weight / whole;
        Some(SuspectView {
            link: pen.link(&suspect.fault)?,
            part: fault.part.clone(),
            chance: pen::percent(chance),
            width: (chance * 1000.0).round() / 10.0,
            basis: suspect.basis.words(),
        })
    };
    ranked.iter().filter_map(one).collect()
}

fn minutes_of(name: &Name, pen: &Pen) -> Option<f64> {
    match pen.handbook.entry(name) {
        Some(Entry::Check(check)) => Some(check.minutes),
        _ => None,
    }
}

pub(super) fn check_lines(names: &[Name], pen: &Pen) -> Vec<CheckLine> {
    let one = |name: &Name| {
        let Some(Entry::Check(check)) = pen.handbook.entry(name) else { return None };
        Some(CheckLine { link: pen.link(name)?, minutes: pen::figure(check.minutes), state: pen::state(check.state) })
    };
    names.iter().filter_map(one).collect()
}
