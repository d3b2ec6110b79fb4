//! Checks: what each outcome is recognised by, and what it says about the faults.

use std::collections::BTreeMap;

use super::desk::{Desk, first_of, state, texts, touches};
use super::places::EntryPlaces;
use crate::diagnostic::{Code, Diagnostic};
use crate::handbook::{Check, Kind, Name, Outcome, Seen};
use crate::manuscript::{self, Entry, Manuscript};
use crate::source::Span;

pub fn check(entry: &Entry<manuscript::Check>, manuscript: &Manuscript, desk: &mut Desk) -> Option<Check> {
    let written = &entry.written;
    let mut places = EntryPlaces::new(entry.place());
    places.note("after", first_of(&written.after));
    places.note("safety", first_of(&written.safety));
    places.note("closing", first_of(&written.closing));
    places.note("touches", written.touches.first().map(|touches| touches.span));
    desk.note(Name::new(Kind::Check, entry.id.value.clone()), places);
    let common = desk.common(entry);
    let measures = written.measures.as_ref().and_then(|measures| desk.link(measures));
    let bands = measures.as_ref().and_then(|name| {
        let measurement = manuscript.measurements.iter().find(|entry| entry.id.value == name.id)?;
        Some(measurement.written.bands.iter().map(|band| band.id.as_str()).collect::<Vec<_>>())
    });
    let outcomes = outcomes(written, bands.as_deref(), desk);
    if let (Some(bands), Some(measures)) = (&bands, &written.measures) {
        let named = |band: &&&str| outcomes.iter().any(|outcome| matches!(&outcome.seen, Seen::Band(id) if id == **band));
        let missing: Vec<&str> = bands.iter().filter(|band| !named(band)).copied().collect();
        // Outcomes in words beside bands sort the readings in the author's own way.
        let only_bands = outcomes.iter().all(|outcome| matches!(outcome.seen, Seen::Band(_)));
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
        safety: desk.links(&written.safety),
        measures,
        steps: written.steps.iter().map(|step| desk.prose(step)).collect(),
        outcomes,
        closing: desk.links(&written.closing),
    })
}

fn outcomes(written: &manuscript::Check, bands: Option<&[&str]>, desk: &mut Desk) -> Vec<Outcome> {
    let mut ids: BTreeMap<&str, Span> = BTreeMap::new();
    let mut outcomes = Vec::new();
    for outcome in written.outcomes.iter() {
        if let Some(first) = ids.insert(outcome.id.as_str(), outcome.id.span) {
            let message = format!("two outcomes are called `{}`", outcome.id.as_str());
            desk.add(Diagnostic::new(Code::DuplicateName, outcome.id.span, message).also(first, "the first"));
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
    outcomes
}

fn seen(outcome: &manuscript::Outcome, measures: bool, bands: Option<&[&str]>, desk: &mut Desk) -> Option<Seen> {
    match (&outcome.band, &outcome.seen) {
        (Some(band), None) => {
            if !measures {
                let message = format!("the outcome names the band `{}`, but the check has no `measures`", band.as_str());
                desk.add(Diagnostic::new(Code::MissingField, band.span, message));
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
