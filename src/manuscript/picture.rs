//! The pictures of a calculator as written: a lane chart and a drawing to scale.

use super::list::List;
use super::prose::FormulaText;
use super::record::{choice, record};
use super::value::{Name, Text, Word};
use super::words::DrawingKind;
use crate::source::Placed;

record! {
    /// A lane chart: what is on at which time.
    pub struct Timeline {
        /// What it is called.
        pub title: Text,
        /// The lanes from top to bottom.
        pub lanes: List<Lane, 1>,
        /// The phases in order of time.
        pub phases: List<Phase, 1>,
    }
}

record! {
    /// The curve of one step over one input.
    pub struct Plot {
        /// What it is called.
        pub title: Text,
        /// The step that is drawn: a number.
        pub of: Name,
        /// The input that goes across: a number.
        pub over: Name,
        /// Where it begins across, in the input's unit; the input's lowest value if left out.
        pub from: Option<Placed<f64>>,
        /// Where it ends across, in the input's unit; the input's highest value if left out.
        pub to: Option<Placed<f64>>,
    }
}

record! {
    /// One lane of a chart.
    pub struct Lane {
        /// The word that phases use.
        pub id: Word,
        /// What it is called.
        pub title: Text,
    }
}

choice! {
    /// A stretch of time, or several that repeat.
    pub enum Phase {
        /// Phases that repeat.
        Repeat(RepeatPhase) if "repeat",
        /// One stretch of time.
        Single(SinglePhase) if _,
    }
}

record! {
    /// One stretch of time.
    pub struct SinglePhase {
        /// What it is called.
        pub title: Text,
        /// How long it lasts: a formula of a time.
        pub lasts: FormulaText,
        /// The lanes that are on.
        pub on: Vec<Word>,
        /// Whether it is left out after the last repetition.
        pub between: Option<Placed<bool>>,
    }
}

record! {
    /// Phases that repeat.
    pub struct RepeatPhase {
        /// How often: a formula of a whole number.
        pub repeat: FormulaText,
        /// The phases of one repetition.
        pub phases: List<Phase, 1>,
    }
}

record! {
    /// A drawing to scale; its measures are formulas of lengths.
    pub struct Drawing {
        /// What it shows.
        pub kind: Placed<DrawingKind>,
        /// The width of the tab.
        pub tab_width: FormulaText,
        /// The thickness of the tab.
        pub tab_thickness: FormulaText,
        /// The diameter over the conductor's strands.
        pub conductor_diameter: FormulaText,
        /// The length of bare conductor.
        pub strip: FormulaText,
        /// A formula of the text that names the sleeve's colour.
        pub sleeve: FormulaText,
    }
}
