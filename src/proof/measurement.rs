//! Measurements: the unit is known and the bands cover the scale, each reading once.

use std::collections::BTreeMap;

use super::desk::{Desk, severity, state, touches};
use super::places::EntryPlaces;
use crate::diagnostic::{Code, Diagnostic};
use crate::formula::Unit;
use crate::handbook::{Band, Kind, Measurement, Name};
use crate::manuscript::{self, Entry};
use crate::source::{Placed, Span};

pub fn measurement(entry: &Entry<manuscript::Measurement>, desk: &mut Desk) -> Option<Measurement> {
    let written = &entry.written;
    desk.note(Name::new(Kind::Measurement, entry.id.value.clone()), EntryPlaces::new(entry.place()));
    cover(written, desk);
    let common = desk.common(entry);
    let bands = written.bands.iter().map(|band| Band {
        id: band.id.value.clone(),
        from: band.from.value,
        to: band.to.value,
        above: band.above.as_ref().is_some_and(|above| above.value),
        label: band.label.value.clone(),
        severity: severity(band.severity.value),
        means: desk.prose(&band.means),
    });
    let bands = bands.collect();
    let place = desk.prose(&written.r#where);
    let how = desk.prose(&written.how);
    let meter = desk.prose(&written.meter);
    let safety = desk.links(&written.safety);
    let unit = unit(&written.unit, desk)?;
    Some(Measurement {
        common,
        quantity: written.quantity.value.clone(),
        unit,
        scale: (written.scale.from.value, written.scale.to.value),
        state: state(written.state.value),
        touches: written.touches.iter().map(|placed| touches(placed.value)).collect(),
        safety,
        place,
        how,
        meter,
        bands,
    })
}

/// A unit by its code or its trade spelling, or `None` after telling that there is no such unit.
pub fn unit(text: &Placed<String>, desk: &mut Desk) -> Option<Unit> {
    match Unit::parse(text) {
        Ok(unit) => Some(unit),
        Err(error) => {
            let mut diagnostic = Diagnostic::new(Code::UnknownUnit, text.span, error.message);
            diagnostic.hints.extend(error.hint);
            desk.add(diagnostic);
            None
        }
    }
}

/// Tells of every stretch of the scale that no band or more than one band covers.
fn cover(written: &manuscript::Measurement, desk: &mut Desk) {
    let (from, to) = (&written.scale.from, &written.scale.to);
    if from.value >= to.value {
        let message = format!("expected a scale that rises, found {} to {}", from.value, to.value);
        desk.add(Diagnostic::new(Code::OutOfRange, to.span, message));
        return;
    }
    let mut ids: BTreeMap<&str, Span> = BTreeMap::new();
    let mut end = from;
    if let Some(first) = written.bands.first().filter(|first| first.from.value != from.value) {
        let below = first.from.value < from.value;
        let (code, message) = match below {
            true => (Code::OutOfRange, format!("the first band begins at {}, below the scale's start {}", first.from.value, from.value)),
            false => (Code::BandGap, format!("no band covers {} to {}", from.value, first.from.value)),
        };
        desk.add(Diagnostic::new(code, first.from.span, message).also(from.span, "the start of the scale"));
        end = &first.from;
    }
    for (at, band) in written.bands.iter().enumerate() {
        if let Some(first) = ids.insert(band.id.as_str(), band.id.span) {
            let message = format!("two bands are called `{}`", band.id.as_str());
            desk.add(Diagnostic::new(Code::DuplicateName, band.id.span, message).also(first, "the first"));
        }
        if band.from.value >= band.to.value {
            let message = format!("expected a band that rises, found {} to {}", band.from.value, band.to.value);
            desk.add(Diagnostic::new(Code::OutOfRange, band.to.span, message));
        }
        edge(end, &band.from, desk);
        if let Some(above) = band.above.as_ref().filter(|above| above.value && at + 1 < written.bands.len()) {
            desk.add(Diagnostic::new(Code::WrongValue, above.span, "only the last band can reach above the scale"));
        }
        end = &band.to;
    }
    if end.value < to.value {
        let message = format!("no band covers {} to {}", end.value, to.value);
        desk.add(Diagnostic::new(Code::BandGap, end.span, message).also(to.span, "the end of the scale"));
    } else if end.value > to.value {
        let message = format!("the last band ends at {}, beyond the scale's end {}", end.value, to.value);
        desk.add(Diagnostic::new(Code::OutOfRange, end.span, message).also(to.span, "the end of the scale"));
    }
}

fn edge(end: &Placed<f64>, from: &Placed<f64>, desk: &mut Desk) {
    if from.value > end.value {
        let message = format!("no band covers {} to {}", end.value, from.value);
        desk.add(Diagnostic::new(Code::BandGap, from.span, message).also(end.span, "covered up to here"));
    } else if from.value < end.value {
        let message = format!("two bands cover {} to {}", from.value, end.value);
        desk.add(Diagnostic::new(Code::BandOverlap, from.span, message).also(end.span, "covered up to here already"));
    }
}
