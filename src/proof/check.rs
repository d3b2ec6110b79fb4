//! Checks: what each outcome is recognised by, and what it says about the faults.

use std::collections::{BTreeMap, BTreeSet};

use super::desk::{Desk, placed, state, texts, touches};
use super::names::excerpt;
use super::places::EntryPlaces;
use crate::diagnostic::{Code, Diagnostic};
use crate::handbook::{Check, Kind, Name, Outcome, Seen, State};
use crate::manuscript::{self, Entry};
use crate::source::Span;

/// The measurements as written, by id.
pub type Measurements<'a> = BTreeMap<&'a str, &'a Entry<manuscript::Measurement>>;

pub fn check(entry: &Entry<manuscript::Check>, measurements: &Measurements, desk: &mut Desk) -> Option<Check> {
    let written = &entry.written;
    let mut places = EntryPlaces::new(entry.place());
    places.list("after", placed(&written.after));
    places.list("safety", placed(&written.safety));
    places.list("closing", placed(&written.closing));
    places.list("erased-by", written.erased_by.iter().map(|state| (state.value.name(), state.span)));
    places.list("outcomes", written.outcomes.iter().map(|outcome| (outcome.id.as_str(), outcome.id.span)));
    places.list("touches", written.touches.iter().map(|touches| (touches.value.name(), touches.span)));
    desk.note(Name::new(Kind::Check, entry.id.value.clone()), places);
    let common = desk.common(entry);
    let measures = written.measures.as_ref().and_then(|measures| desk.link(measures));
    let bands = measures.as_ref().and_then(|name| {
        let measurement = measurements.get(name.id.as_str())?;
        let bands: Vec<&str> = measurement.written.bands.iter().map(|band| band.id.as_str()).collect();
        // Of two bands with one id one was to be another, which an outcome may well name.
        let distinct = bands.iter().collect::<BTreeSet<_>>().len() == bands.len();
        distinct.then_some(bands)
    });
    touched(written, measures.as_ref(), measurements, desk);
    in_state(written, measures.as_ref(), measurements, desk);
    erased_by(written, desk);
    let outcomes = outcomes(written, bands.as_deref(), desk);
    if let (Some(bands), Some(measures)) = (&bands, &written.measures) {
        let named = |band: &&&str| outcomes.iter().any(|outcome| matches!(&outcome.seen, Seen::Band(id) if id == **band));
        let missing: Vec<&str> = bands.iter().filter(|band| !named(band)).copied().collect();
        // Outcomes in words beside bands sort the readings in the author's own way. An outcome with a problem of its own may
        // be the one that is missed.
        let known = |outcome: &Outcome| matches!(&outcome.seen, Seen::Band(id) if bands.contains(&id.as_str()));
        let only_bands = outcomes.len() == written.outcomes.len() && outcomes.iter().all(known);
        if !missing.is_empty() && only_bands {
            let message = format!("no outcome names the band{} {}", if missing.len() == 1 { "" } else { "s" }, quoted(&missing));
            let diagnostic = Diagnostic::new(Code::BandWithoutOutcome, measures.span, message);
            desk.add(diagnostic.hint("a reading there would lead nowhere; add an outcome with this `band`"));
        }
    }
    Some(Check {
        common,
        state: state(written.state.value),
        touches: written.touches.iter().map(|placed| touches(placed.value)).collect(),
        minutes: written.minutes.value,
        tools: texts(&written.tools),
        after: desk.links(&written.after),
        erased_by: written.erased_by.iter().map(|placed| state(placed.value)).collect(),
        safety: desk.links(&written.safety),
        measures,
        steps: written.steps.iter().map(|step| desk.prose(step)).collect(),
        usual: usual(written, measurements, desk),
        outcomes,
        closing: desk.links(&written.closing),
    })
}

/// What a measurement touches, the check that takes it touches too.
fn touched(written: &manuscript::Check, measures: Option<&Name>, measurements: &Measurements, desk: &mut Desk) {
    let (Some(name), Some(place)) = (measures, &written.measures) else { return };
    let Some(measurement) = measurements.get(name.id.as_str()) else { return };
    for touches in measurement.written.touches.iter() {
        if !written.touches.iter().any(|own| own.value.name() == touches.value.name()) {
            let touch = touches.value.name();
            let message = format!("expected `{touch}` under `touches`, as in `{name}`, found none");
            let diagnostic = Diagnostic::new(Code::MissingTouch, place.span, message).also(touches.span, "the measurement touches it");
            desk.add(diagnostic.hint(format!("add `{touch}` under `touches`, and what the safety rules then ask for")));
        }
    }
}

/// A check is done in the state that its measurement needs, or in one with more hazards, for which the rules ask for more. What is
/// read on an isolated appliance is read there only.
fn in_state(written: &manuscript::Check, measures: Option<&Name>, measurements: &Measurements, desk: &mut Desk) {
    let Some(name) = measures else { return };
    let Some(needed) = measurements.get(name.id.as_str()).map(|measurement| &measurement.written.state) else { return };
    let (own, need) = (state(written.state.value), state(needed.value));
    if own == need || (own > need && need != State::Isolated) {
        return;
    }
    let message = format!("expected `{}`, as in `{name}`, found `{}`", need.name(), own.name());
    desk.add(Diagnostic::new(Code::OtherState, written.state.span, message).also(needed.span, "the measurement's state"));
}

/// The outcome that is usual when the fault lies elsewhere: as the entry says, or else the only one in a good band.
fn usual(written: &manuscript::Check, measurements: &Measurements, desk: &mut Desk) -> Option<String> {
    let ids = || written.outcomes.iter().map(|outcome| outcome.id.as_str());
    if let Some(usual) = &written.usual {
        if !ids().any(|id| id == usual.as_str()) {
            let message = format!("expected the id of an outcome of this check, found `{}`", usual.as_str());
            let diagnostic = Diagnostic::new(Code::WrongValue, usual.span, message).nearest(usual, ids());
            desk.add(diagnostic.hint(format!("outcomes: {}", quoted(&ids().collect::<Vec<_>>()))));
        }
        return Some(usual.value.clone());
    }
    let measurement = measurements.get(written.measures.as_ref()?.as_str().strip_prefix("measurement:")?)?;
    let good = |band: &str| {
        let band = measurement.written.bands.iter().find(|known| known.id.as_str() == band);
        band.is_some_and(|band| band.severity.value == manuscript::Severity::Good)
    };
    let mut in_good = written.outcomes.iter().filter(|outcome| outcome.band.as_ref().is_some_and(|band| good(band)));
    match (in_good.next(), in_good.next()) {
        (Some(only), None) => Some(only.id.value.clone()),
        _ => None,
    }
}

/// A check cannot read what its own state has erased.
fn erased_by(written: &manuscript::Check, desk: &mut Desk) {
    let mut named: BTreeMap<&str, Span> = BTreeMap::new();
    for state in &written.erased_by {
        if state.value == written.state.value {
            let message = format!("the check is done {}, in the state that erases what it reads", state.value.name());
            let diagnostic = Diagnostic::new(Code::WrongValue, state.span, message).also(written.state.span, "its state");
            desk.add(diagnostic.hint("take the state out of `erased-by`, or do the check in another one"));
        }
        if super::desk::state(state.value) == State::AS_FOUND {
            let message = format!(
                "an appliance is taken to be found {}, so that what the check reads is lost from the beginning",
                state.value.name()
            );
            desk.add(Diagnostic::new(Code::WrongValue, state.span, message));
        }
        if let Some(first) = named.insert(state.value.name(), state.span) {
            let message = format!("`{}` stands twice", state.value.name());
            desk.add(Diagnostic::new(Code::WrongValue, state.span, message).also(first, "the first"));
        }
    }
}

fn outcomes(written: &manuscript::Check, bands: Option<&[&str]>, desk: &mut Desk) -> Vec<Outcome> {
    let mut ids: BTreeMap<&str, Span> = BTreeMap::new();
    let mut by_band: BTreeMap<&str, Span> = BTreeMap::new();
    let mut outcomes = Vec::new();
    for outcome in written.outcomes.iter() {
        if let Some(first) = ids.insert(outcome.id.as_str(), outcome.id.span) {
            let message = format!("two outcomes are called `{}`", outcome.id.as_str());
            desk.add(Diagnostic::new(Code::DuplicateName, outcome.id.span, message).also(first, "the first"));
        }
        if let Some(band) = &outcome.band
            && let Some(first) = by_band.insert(band.as_str(), band.span)
        {
            let message = format!("two outcomes stand for the band `{}`", band.as_str());
            desk.add(Diagnostic::new(Code::DuplicateName, band.span, message).also(first, "the first"));
        }
        let seen = seen(outcome, written.measures.is_some(), bands, desk);
        let keeps = desk.links(&outcome.keeps);
        let drops = desk.links(&outcome.drops);
        for dropped in outcome.drops.iter().filter(|dropped| keeps.iter().any(|kept| kept.to_string() == dropped.as_str())) {
            let message = format!("`{}` is kept and dropped by the same outcome", dropped.as_str());
            desk.add(Diagnostic::new(Code::WrongValue, dropped.span, message).hint("leave it in one of the two lists"));
        }
        let likely = outcome.likely.iter().filter_map(|(fault, chance)| Some((desk.link(fault)?, chance.value))).collect();
        let next = outcome.next.as_ref().and_then(|next| desk.link(next));
        let means = desk.prose(&outcome.means);
        if let Some(seen) = seen {
            outcomes.push(Outcome { id: outcome.id.value.clone(), seen, means, keeps, drops, likely, next });
        }
    }
    chances(written, desk);
    outcomes
}

/// The chances of all outcomes given one fault cannot come to more than certainty.
fn chances(written: &manuscript::Check, desk: &mut Desk) {
    let mut sums: BTreeMap<&str, f64> = BTreeMap::new();
    for (fault, chance) in written.outcomes.iter().flat_map(|outcome| outcome.likely.iter()) {
        let sum = sums.entry(fault.as_str()).or_default();
        let before = *sum;
        *sum += chance.value;
        // Chances such as 0.7 and 0.3 come to a hair more than 1 in floating point. Told where it first goes over.
        if before <= 1.0 + 1e-9 && *sum > 1.0 + 1e-9 {
            let message = format!("given `{}`, the chances of the outcomes up to here come to {:.2}, more than 1", excerpt(fault), *sum);
            let diagnostic = Diagnostic::new(Code::OutOfRange, chance.span, message);
            desk.add(diagnostic.hint("with this fault one outcome excludes the others, so all its chances together are at most 1"));
        }
    }
}

fn seen(outcome: &manuscript::Outcome, measures: bool, bands: Option<&[&str]>, desk: &mut Desk) -> Option<Seen> {
    match (&outcome.band, &outcome.seen) {
        (Some(band), None) => {
            if !measures {
                let message = format!("the outcome names the band `{}`, but the check has no `measures`", band.as_str());
                let diagnostic = Diagnostic::new(Code::MissingField, band.span, message);
                desk.add(diagnostic.hint("name the measurement under `measures`, or say in words what is `seen`"));
            }
            if let Some(bands) = bands
                && !bands.contains(&band.as_str())
            {
                let message = format!("expected a band of the measurement, found `{}`", band.as_str());
                let diagnostic = Diagnostic::new(Code::WrongValue, band.span, message);
                desk.add(diagnostic.nearest(band, bands.iter().copied()).hint(format!("bands: {}", quoted(bands))));
            }
            Some(Seen::Band(band.value.clone()))
        }
        (None, Some(words)) => Some(Seen::Words(words.value.clone())),
        (Some(band), Some(words)) => {
            let message = "expected `band` or `seen`, found both";
            desk.add(Diagnostic::new(Code::WrongValue, words.span, message).also(band.span, "the band"));
            None
        }
        (None, None) => {
            desk.add(Diagnostic::new(Code::MissingField, outcome.id.span, "expected `band` or `seen`, found neither"));
            None
        }
    }
}

fn quoted(words: &[&str]) -> String {
    words.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", ")
}
