//! A check's page: steps, and what each finding says about the faults.

use serde::Serialize;

use super::gauge;
use super::hazard::{self, HazardView};
use super::measurement::{self, BandView};
use super::pen::{self, Link, Pen, StateView, TouchView};
use super::symptom::{CheckLine, check_lines};
use crate::handbook::{Check, Entry, Measurement, Outcome, Seen};

/// `check` in the template.
#[derive(Serialize)]
pub(super) struct CheckView {
    state: StateView,
    touches: Vec<TouchView>,
    minutes: String,
    tools: Vec<String>,
    after: Vec<CheckLine>,
    /// States that erase what the check reads.
    erased_by: Vec<StateView>,
    hazards: Vec<HazardView>,
    measures: Option<Link>,
    /// The gauge of what is measured.
    gauge_svg: Option<String>,
    steps_html: Vec<String>,
    outcomes: Vec<OutcomeView>,
    closing: Vec<CheckLine>,
}

#[derive(Serialize)]
struct OutcomeView {
    id: String,
    band: Option<BandView>,
    seen: Option<String>,
    means_html: String,
    keeps: Vec<Link>,
    drops: Vec<Link>,
    likely: Vec<LikelyView>,
    next: Option<Link>,
    /// Whether it is what most faults give.
    usual: bool,
}

#[derive(Serialize)]
struct LikelyView {
    link: Link,
    chance: String,
}

pub(super) fn view(check: &Check, pen: &Pen) -> CheckView {
    let measured = check.measures.as_ref().and_then(|name| match pen.handbook.entry(name) {
        Some(Entry::Measurement(measurement)) => Some(measurement),
        _ => None,
    });
    CheckView {
        state: pen::state(check.state),
        touches: pen::touches(&check.touches),
        minutes: pen::figure(check.minutes),
        tools: check.tools.clone(),
        after: check_lines(&check.after, pen),
        erased_by: check.erased_by.iter().map(|state| pen::state(*state)).collect(),
        hazards: hazard::boxes(&check.safety, pen),
        measures: check.measures.as_ref().and_then(|name| pen.link(name)),
        gauge_svg: measured.map(|measurement| gauge::svg(measurement, &measurement.common.id)),
        steps_html: check.steps.iter().enumerate().map(|(at, step)| pen.short(&format!("step-{}", at + 1), step)).collect(),
        outcomes: check.outcomes.iter().map(|outcome| one(outcome, check.usual.as_deref(), measured, pen)).collect(),
        closing: check_lines(&check.closing, pen),
    }
}

fn one(outcome: &Outcome, usual: Option<&str>, measured: Option<&Measurement>, pen: &Pen) -> OutcomeView {
    let (band, seen) = match &outcome.seen {
        Seen::Band(id) => (measured.and_then(|measurement| measurement::band(measurement, id, pen)), None),
        Seen::Words(words) => (None, Some(words.clone())),
    };
    let likely = |(name, chance): &(crate::handbook::Name, f64)| Some(LikelyView { link: pen.link(name)?, chance: pen::percent(*chance) });
    OutcomeView {
        id: outcome.id.clone(),
        band,
        seen,
        means_html: pen.prose(&format!("means-{}", outcome.id), &outcome.means),
        keeps: pen.links(&outcome.keeps),
        drops: pen.links(&outcome.drops),
        likely: outcome.likely.iter().filter_map(likely).collect(),
        next: outcome.next.as_ref().and_then(|name| pen.link(name)),
        usual: usual == Some(outcome.id.as_str()),
    }
}
