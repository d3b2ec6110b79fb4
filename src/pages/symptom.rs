//! A symptom's page: what is seen, which faults may be behind it, the checks in order.

use serde::Serialize;

use super::hazard::{self, HazardView};
use super::pen::{self, Link, Pen, StateView};
use crate::diagnosis::interval;
use crate::handbook::{Check, Entry, Kind, Name, Record, Share, Symptom};

/// `symptom` in the template.
#[derive(Serialize)]
pub(super) struct SymptomView {
    stage: Option<StageView>,
    seen_html: String,
    suspects: Vec<SuspectView>,
    /// As listed, each after those that must come before it.
    checks: Vec<CheckLine>,
    hazards: Vec<HazardView>,
    /// Minutes of all these checks together, without changes of state.
    minutes: String,
    record: Option<RecordView>,
}

/// The shop's calls that count for the symptom.
#[derive(Serialize)]
struct RecordView {
    calls: usize,
    /// What the weights as written count for, in calls.
    strength: String,
}

/// What the shop's calls say of a fault.
#[derive(Serialize)]
struct CallsView {
    calls: usize,
    written: String,
    from: String,
    to: String,
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
    calls: Option<CallsView>,
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
    let checks = pen.handbook.in_order(&symptom.checks);
    let minutes = checks.iter().map(|check| check.minutes).sum();
    SymptomView {
        stage,
        seen_html: pen.prose("seen", &symptom.seen),
        suspects: suspects(symptom, pen),
        checks: checks.into_iter().filter_map(|check| check_line(check, pen)).collect(),
        hazards: hazard::boxes(&symptom.safety, pen),
        minutes: pen::figure(minutes),
        record: record(symptom, pen).map(|record| RecordView { calls: record.calls_of(symptom), strength: pen::figure(record.strength) }),
    }
}

/// The shop's record, if it has calls for the symptom.
fn record<'a>(symptom: &Symptom, pen: &Pen<'a>) -> Option<&'a Record> {
    pen.handbook.record.as_ref().filter(|record| record.calls_of(symptom) > 0)
}

/// The likeliest first; equal weights in the order as written.
fn suspects(symptom: &Symptom, pen: &Pen) -> Vec<SuspectView> {
    let chances = pen.handbook.chances(symptom);
    let shares = record(symptom, pen).map(|record| record.shares(symptom));
    let mut ranked: Vec<usize> = (0..symptom.suspects.len()).collect();
    ranked.sort_by(|&a, &b| chances[b].total_cmp(&chances[a]));
    let one = |place: usize| {
        let suspect = &symptom.suspects[place];
        let Some(Entry::Fault(fault)) = pen.handbook.entry(&suspect.fault) else { return None };
        let calls = |share: &Share| {
            let (from, to) = interval(share);
            CallsView { calls: share.calls, written: pen::percent(share.written), from: pen::percent(from), to: pen::percent(to) }
        };
        Some(SuspectView {
            link: pen.link(&suspect.fault)?,
            part: fault.part.clone(),
            chance: pen::percent(chances[place]),
            width: (chances[place] * 1000.0).round() / 10.0,
            basis: suspect.basis.words(),
            calls: shares.as_ref().map(|shares| calls(&shares[place])),
        })
    };
    ranked.into_iter().filter_map(one).collect()
}

pub(super) fn check_lines(names: &[Name], pen: &Pen) -> Vec<CheckLine> {
    let one = |name: &Name| match pen.handbook.entry(name) {
        Some(Entry::Check(check)) => check_line(check, pen),
        _ => None,
    };
    names.iter().filter_map(one).collect()
}

fn check_line(check: &Check, pen: &Pen) -> Option<CheckLine> {
    let link = pen.link(&Name::new(Kind::Check, &check.common.id))?;
    Some(CheckLine { link, minutes: pen::figure(check.minutes), state: pen::state(check.state) })
}
