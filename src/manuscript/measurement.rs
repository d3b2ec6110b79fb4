//! A measurement as written.

use super::list::List;
use super::prose::Prose;
use super::record::record;
use super::reference::{RefText, ToSafety};
use super::value::{Text, Word};
use super::words::{Severity, State, Touches};
use crate::source::Placed;

record! {
    /// One quantity: where and how it is measured, and what its readings mean.
    pub struct Measurement {
        /// The quantity in words, such as resistance.
        pub quantity: Text,
        /// The unit of every number of this entry: a UCUM code or the trade's spelling.
        pub unit: Text,
        /// The range of the gauge.
        pub scale: Scale,
        /// The state that the appliance must be in.
        pub state: Placed<State>,
        /// What the work touches that can hurt; `[]` for nothing.
        pub touches: List<Placed<Touches>, 0>,
        /// Safety notes to show.
        pub safety: Vec<RefText<ToSafety>>,
        /// The two points, the place, in Markdown.
        pub r#where: Prose,
        /// How it is done, in Markdown.
        pub how: Prose,
        /// The meter's function, range and leads, in Markdown.
        pub meter: Prose,
        /// What the readings mean, in rising order, without gap or overlap over the whole scale.
        pub bands: List<Band, 2>,
    }
}

record! {
    /// The range of a gauge, in the measurement's unit.
    pub struct Scale {
        /// The lowest reading shown.
        pub from: Placed<f64>,
        /// The highest reading shown.
        pub to: Placed<f64>,
    }
}

record! {
    /// A stretch of readings that mean the same; a reading at a shared edge belongs to the upper band.
    pub struct Band {
        /// A short word for it, which outcomes of checks may name.
        pub id: Word,
        /// The lower edge, in the measurement's unit.
        pub from: Placed<f64>,
        /// The upper edge, in the measurement's unit.
        pub to: Placed<f64>,
        /// Whether readings above the last band belong to it too.
        pub above: Option<Placed<bool>>,
        /// What it is called on the gauge.
        pub label: Text,
        /// What it asks for.
        pub severity: Placed<Severity>,
        /// What it means, in Markdown.
        pub means: Prose,
    }
}
