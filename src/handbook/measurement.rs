//! One quantity: where and how it is taken, and what a reading means.

use super::{Common, Name, Prose, State, Touches};
use crate::formula::Unit;

#[derive(Debug, Clone)]
pub struct Measurement {
    pub common: Common,
    pub quantity: String,
    pub unit: Unit,
    /// The gauge's range, in `unit`; `scale.0 < scale.1`.
    pub scale: (f64, f64),
    pub state: State,
    pub touches: Vec<Touches>,
    pub safety: Vec<Name>,
    pub place: Prose,
    pub how: Prose,
    pub meter: Prose,
    /// At least two, rising, covering the scale without gap or overlap.
    pub bands: Vec<Band>,
}

/// A stretch of the scale that means one thing. A reading on a shared edge belongs to the upper band.
#[derive(Debug, Clone)]
pub struct Band {
    pub id: String,
    pub from: f64,
    pub to: f64,
    /// Whether the band, the last one, also means anything above its end or over-range.
    pub above: bool,
    pub label: String,
    pub severity: Severity,
    pub means: Prose,
}

/// What a reading asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    Good,
    Watch,
    Act,
    Stop,
}

impl Measurement {
    /// The band of a reading in the measurement's unit; `None` below the scale, or above it if the last band is not open.
    pub fn band(&self, reading: f64) -> Option<&Band> {
        let last = self.bands.last()?;
        if reading >= last.from {
            return (last.above || reading <= last.to).then_some(last);
        }
        self.bands.iter().find(|band| reading >= band.from && reading < band.to)
    }
}

impl Severity {
    pub fn name(self) -> &'static str {
        match self {
            Severity::Good => "good",
            Severity::Watch => "watch",
            Severity::Act => "act",
            Severity::Stop => "stop",
        }
    }

    pub fn words(self) -> &'static str {
        match self {
            Severity::Good => "Good",
            Severity::Watch => "Watch",
            Severity::Act => "Act",
            Severity::Stop => "Stop",
        }
    }

    /// Whether it asks for something to be done before going on.
    pub fn warns(self) -> bool {
        matches!(self, Severity::Act | Severity::Stop)
    }
}
