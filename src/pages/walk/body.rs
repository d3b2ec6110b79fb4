//! What to do at a check, for the walk: the same pieces that its own page shows, drawn for a symptom's page.

use std::collections::BTreeSet;

use pulldown_cmark::{Event, Parser, Tag};
use serde::Serialize;

use super::super::gauge;
use super::super::hazard;
use super::super::pen::{self, Pen};
use super::numbers::{Linked, linked};
use crate::handbook::{Check, Entry, Kind, Measurement, Name, Prose, Seen};

/// `browser/walk.d.ts` says what each field means.
#[derive(Serialize)]
pub(super) struct Body {
    summary: String,
    tools: Vec<String>,
    touches: Vec<&'static str>,
    hazards: Vec<HazardData>,
    steps: Vec<String>,
    means: Vec<String>,
    /// The band of each outcome, if it is one.
    bands: Vec<Option<String>>,
    gauges: Vec<GaugeData>,
    sums: Vec<Linked>,
}

#[derive(Serialize)]
struct HazardData {
    signal: &'static str,
    word: &'static str,
    alert: bool,
    title: String,
    href: String,
    summary: String,
    hazard: String,
    controls: Vec<String>,
}

#[derive(Serialize)]
struct GaugeData {
    id: String,
    title: String,
    href: String,
    unit: String,
    svg: String,
    bands: Vec<BandData>,
}

#[derive(Serialize)]
struct BandData {
    id: String,
    from: f64,
    to: f64,
    above: bool,
    range: String,
    label: String,
    severity: &'static str,
    severity_words: &'static str,
}

impl Body {
    pub fn new(check: &Check, pen: &Pen) -> Self {
        let id = &check.common.id;
        let gauges = measurements(check, pen);
        let band = |seen: &Seen| match seen {
            Seen::Band(id) => Some(id.clone()),
            Seen::Words(_) => None,
        };
        Self {
            summary: check.common.summary.clone(),
            tools: check.tools.clone(),
            touches: pen::touches(&check.touches).into_iter().map(|touch| touch.words).collect(),
            hazards: hazards(check, pen),
            steps: check.steps.iter().enumerate().map(|(at, step)| pen.short(&format!("walk-{id}-{at}"), step)).collect(),
            means: check.outcomes.iter().map(|outcome| pen.prose(&format!("walk-{id}-{}", outcome.id), &outcome.means)).collect(),
            bands: check.outcomes.iter().map(|outcome| band(&outcome.seen)).collect(),
            sums: sums(check, &gauges, pen),
            gauges: gauges.into_iter().filter_map(|measurement| one_gauge(measurement, pen)).collect(),
        }
    }
}

/// The check's notes, gravest first.
fn hazards(check: &Check, pen: &Pen) -> Vec<HazardData> {
    let mut notes: Vec<_> = check
        .safety
        .iter()
        .filter_map(|name| match pen.handbook.entry(name) {
            Some(Entry::Safety(note)) => Some(note),
            _ => None,
        })
        .collect();
    notes.sort_by_key(|note| note.signal);
    let one = |note: &crate::handbook::SafetyNote| {
        let view = hazard::one(note, pen);
        HazardData {
            signal: view.signal,
            word: view.word,
            alert: view.alert,
            title: view.title,
            href: view.href,
            summary: note.common.summary.clone(),
            hazard: view.hazard_html,
            controls: view.controls_html,
        }
    };
    notes.into_iter().map(one).collect()
}

/// The check's measurement, and those that its text names beside it and that have all the bands that the outcomes speak of, for
/// the same quantity in the same unit: the same reading on another kind of part or gas.
fn measurements<'a>(check: &Check, pen: &Pen<'a>) -> Vec<&'a Measurement> {
    let get = |name: &Name| match pen.handbook.entry(name) {
        Some(Entry::Measurement(measurement)) => Some(measurement),
        _ => None,
    };
    let Some(own) = check.measures.as_ref().and_then(get) else { return Vec::new() };
    let named = check.steps.iter().flat_map(names_in).chain(check.common.see.iter().cloned());
    let mut all = vec![own];
    for other in named.filter_map(|name| get(&name)) {
        let has = |seen: &Seen| !matches!(seen, Seen::Band(id) if !other.bands.iter().any(|band| band.id == *id));
        let fits = other.quantity == own.quantity && other.unit == own.unit && check.outcomes.iter().all(|outcome| has(&outcome.seen));
        if fits && !all.iter().any(|known| known.common.id == other.common.id) {
            all.push(other);
        }
    }
    all
}

/// The measurements that a text links to.
fn names_in(prose: &Prose) -> Vec<Name> {
    let link = |event| match event {
        Event::Start(Tag::Link { dest_url, .. }) => Name::parse(&dest_url).filter(|name| name.kind == Kind::Measurement),
        _ => None,
    };
    Parser::new_ext(&prose.markdown, Prose::SYNTAX).filter_map(link).collect()
}

fn one_gauge(measurement: &Measurement, pen: &Pen) -> Option<GaugeData> {
    let name = Name::new(Kind::Measurement, &measurement.common.id);
    let link = pen.link(&name)?;
    let bands = measurement.bands.iter().map(|band| BandData {
        id: band.id.clone(),
        from: band.from,
        to: band.to,
        above: band.above,
        range: gauge::range(band, measurement),
        label: band.label.clone(),
        severity: band.severity.name(),
        severity_words: band.severity.words(),
    });
    Some(GaugeData {
        id: name.id,
        title: link.title,
        href: link.href,
        unit: pen::unit(&measurement.unit).to_owned(),
        svg: gauge::svg(measurement, &format!("walk-{}", measurement.common.id)),
        bands: bands.collect(),
    })
}

/// Calculators that the check, its measurements or its outcomes lead to.
fn sums(check: &Check, gauges: &[&Measurement], pen: &Pen) -> Vec<Linked> {
    let outcomes = check.outcomes.iter().filter_map(|outcome| outcome.next.as_ref());
    let seen = check.common.see.iter().chain(gauges.iter().flat_map(|measurement| &measurement.common.see)).chain(outcomes);
    let mut known = BTreeSet::new();
    seen.filter(|name| name.kind == Kind::Calculator && known.insert(name.id.clone())).filter_map(|name| linked(name, pen)).collect()
}
