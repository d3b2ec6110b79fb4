//! A measurement's page: gauge, bands, where and how.

use serde::Serialize;

use super::gauge;
use super::hazard::{self, HazardView};
use super::pen::{self, Pen, StateView, TouchView};
use crate::handbook::{Measurement, Severity};

/// `measurement` in the template.
#[derive(Serialize)]
pub(super) struct MeasurementView {
    quantity: String,
    unit: String,
    state: StateView,
    touches: Vec<TouchView>,
    hazards: Vec<HazardView>,
    gauge_svg: String,
    bands: Vec<BandView>,
    place_html: String,
    how_html: String,
    meter_html: String,
    /// The ranges of the bands that are good.
    usual: Vec<String>,
}

#[derive(Serialize)]
pub(super) struct BandView {
    id: String,
    /// The number in the gauge, from 1.
    number: usize,
    range: String,
    from: f64,
    to: f64,
    above: bool,
    label: String,
    severity: &'static str,
    severity_words: &'static str,
    means_html: String,
}

pub(super) fn view(measurement: &Measurement, pen: &Pen) -> MeasurementView {
    let good = measurement.bands.iter().filter(|band| band.severity == Severity::Good);
    MeasurementView {
        quantity: measurement.quantity.clone(),
        unit: pen::unit(&measurement.unit).to_owned(),
        state: pen::state(measurement.state),
        touches: pen::touches(&measurement.touches),
        hazards: hazard::boxes(&measurement.safety, pen),
        gauge_svg: gauge::svg(measurement, &measurement.common.id),
        bands: measurement.bands.iter().filter_map(|entry| band(measurement, &entry.id, pen)).collect(),
        place_html: pen.prose("where", &measurement.place),
        how_html: pen.prose("how", &measurement.how),
        meter_html: pen.prose("meter", &measurement.meter),
        usual: good.map(|band| gauge::range(band, measurement)).collect(),
    }
}

/// One band, by its id.
pub(super) fn band(measurement: &Measurement, id: &str, pen: &Pen) -> Option<BandView> {
    let at = measurement.bands.iter().position(|band| band.id == id)?;
    let band = &measurement.bands[at];
    Some(BandView {
        id: band.id.clone(),
        number: at + 1,
        range: gauge::range(band, measurement),
        from: band.from,
        to: band.to,
        above: band.above,
        label: band.label.clone(),
        severity: band.severity.name(),
        severity_words: band.severity.words(),
        means_html: pen.prose(&format!("band-{id}"), &band.means),
    })
}
