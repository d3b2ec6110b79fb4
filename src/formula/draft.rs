//! A calculator as its author wrote it: texts with their places, nothing resolved yet.
//!
//! Whoever reads the entries fills a [`Draft`] field by field; [`Program::build`](super::Program::build) turns it into a
//! program or says what is wrong with it. Formulas come as [`Inset`], so that messages point into the entry.

use crate::source::{Inset, Placed, Span};

/// Everything of a calculator that is calculated.
#[derive(Debug, Clone, Default)]
pub struct Draft {
    pub inputs: Vec<InputDraft>,
    pub solve: Option<SolveDraft>,
    pub rows: Vec<RowsDraft>,
    pub steps: Vec<StepDraft>,
    pub verdicts: Vec<VerdictDraft>,
    pub result: Vec<ResultDraft>,
    pub plot: Option<PlotDraft>,
    pub timeline: Option<TimelineDraft>,
    pub drawing: Option<DrawingDraft>,
    pub examples: Vec<ExampleDraft>,
}

/// One thing that the reader fills in.
#[derive(Debug, Clone)]
pub struct InputDraft {
    /// The name in formulas: `[a-z][a-z0-9_]*`.
    pub id: Placed<String>,
    pub title: Placed<String>,
    pub kind: InputKindDraft,
    /// A truth over the inputs above; the input counts only where it holds.
    pub when: Option<Inset>,
}

#[derive(Debug, Clone)]
pub enum InputKindDraft {
    /// `from`, `to` and `start` are in `unit`; no unit means a plain number.
    Number {
        unit: Option<Placed<String>>,
        from: Placed<f64>,
        to: Placed<f64>,
        start: Placed<f64>,
        /// Other units that the page offers, of the same dimension.
        units: Vec<Placed<String>>,
        whole: bool,
    },
    Text {
        choices: Vec<ChoiceDraft>,
        start: Placed<String>,
    },
}

#[derive(Debug, Clone)]
pub struct ChoiceDraft {
    pub id: Placed<String>,
    pub title: Placed<String>,
}

/// A formula that ties inputs together; any one of them is worked out of the others.
#[derive(Debug, Clone)]
pub struct SolveDraft {
    /// The name of the choice of the unknown.
    pub id: Placed<String>,
    pub title: Placed<String>,
    /// A comparison with `==`.
    pub formula: Inset,
    /// Ids of inputs.
    pub unknown: Vec<Placed<String>>,
    /// The unknown that the page starts with.
    pub start: Placed<String>,
    /// Decimals shown of what is worked out.
    pub digits: Option<Placed<u8>>,
}

/// A list of rows that the reader extends.
#[derive(Debug, Clone)]
pub struct RowsDraft {
    pub id: Placed<String>,
    pub title: Placed<String>,
    /// What one row is called.
    pub row: Placed<String>,
    /// The field that is added to a row's title.
    pub called: Option<Placed<String>>,
    /// Steps of the row whose results stand beside its title.
    pub shows: Vec<Placed<String>>,
    pub least: Option<Placed<u32>>,
    pub most: Placed<u32>,
    pub fields: Vec<InputDraft>,
    pub steps: Vec<StepDraft>,
    pub start: Vec<RowDraft>,
}

/// What stands first on the page: a step, or rows.
#[derive(Debug, Clone)]
pub enum ResultDraft {
    /// The step's name.
    Step(Placed<String>),
    Rows(RowsResultDraft),
}

/// Rows of a list with some of their results.
#[derive(Debug, Clone)]
pub struct RowsResultDraft {
    /// The list's name.
    pub rows: Placed<String>,
    pub title: Placed<String>,
    /// A truth of the row that must hold, or must not; at most one of the two.
    pub only: Option<Placed<String>>,
    pub unless: Option<Placed<String>>,
    /// Steps of the row.
    pub shows: Vec<Placed<String>>,
    /// What is said when there is no such row.
    pub none: Option<Placed<String>>,
}

/// Fields of one row with what is typed into them; the others keep their start.
pub type RowDraft = Vec<(Placed<String>, Placed<String>)>;

/// One step of the working: a formula, or a row picked from a table.
#[derive(Debug, Clone)]
pub struct StepDraft {
    pub id: Placed<String>,
    pub title: Placed<String>,
    /// The unit shown. A formula whose result is a plain number needs none; a pick takes its column's.
    pub unit: Option<Placed<String>>,
    /// Decimals shown, 0 to 9; without it three significant figures.
    pub digits: Option<Placed<u8>>,
    /// A truth; where it does not hold, the step does not count.
    pub when: Option<Inset>,
    pub how: HowDraft,
}

#[derive(Debug, Clone)]
pub enum HowDraft {
    Formula(Inset),
    Pick(PickDraft),
}

#[derive(Debug, Clone)]
pub struct PickDraft {
    /// The table's id, without a prefix.
    pub table: Placed<String>,
    /// The column whose cell is the result.
    pub column: Placed<String>,
    pub by: ByDraft,
    /// The plain sentence for when no row fits; required for `First` and `Where`.
    pub none: Option<Placed<String>>,
}

/// How the row is found.
#[derive(Debug, Clone)]
pub enum ByDraft {
    /// The first row, in table order, for which the truth holds; columns are in scope.
    First(Inset),
    /// The row whose cells equal these values.
    Where(Vec<(Placed<String>, Inset)>),
    /// By the table's order column.
    At { column: Placed<String>, value: Inset, how: Nearest },
}

/// What an `at` pick does between rows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Nearest {
    /// The smallest row that is at least the value (`next-up`).
    NextUp,
    /// Straight-line interpolation inside the table (`between`).
    Between,
}

/// What a step's result means.
#[derive(Debug, Clone)]
pub struct VerdictDraft {
    pub on: Placed<String>,
    pub title: Placed<String>,
    pub bands: Vec<BandDraft>,
    /// The place of the list of bands.
    pub span: Span,
}

/// One band: `from` and `to` on a number, `is` on a truth or a text.
#[derive(Debug, Clone)]
pub struct BandDraft {
    pub from: Option<Inset>,
    pub to: Option<Inset>,
    pub is: Option<Placed<IsDraft>>,
    pub span: Span,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum IsDraft {
    Truth(bool),
    Text(String),
}

/// The curve of a step over an input.
#[derive(Debug, Clone)]
pub struct PlotDraft {
    pub title: Placed<String>,
    /// The step's name.
    pub of: Placed<String>,
    /// The input's name.
    pub over: Placed<String>,
    /// Ends across, in the input's first unit; without them those of the input.
    pub from: Option<Placed<f64>>,
    pub to: Option<Placed<f64>>,
}

/// A chart of what is on when.
#[derive(Debug, Clone)]
pub struct TimelineDraft {
    pub title: Placed<String>,
    pub lanes: Vec<LaneDraft>,
    pub phases: Vec<PhaseDraft>,
}

#[derive(Debug, Clone)]
pub struct LaneDraft {
    pub id: Placed<String>,
    pub title: Placed<String>,
}

#[derive(Debug, Clone)]
pub enum PhaseDraft {
    /// A stretch of time; `on` are ids of lanes.
    Lasts {
        title: Placed<String>,
        lasts: Inset,
        on: Vec<Placed<String>>,
        /// Left out after the last repetition of the `repeat` around it.
        between: Option<Placed<bool>>,
    },
    Repeat {
        times: Inset,
        phases: Vec<PhaseDraft>,
    },
}

/// A drawing to scale: named measures.
#[derive(Debug, Clone)]
pub struct DrawingDraft {
    pub kind: Placed<String>,
    pub parts: Vec<PartDraft>,
}

#[derive(Debug, Clone)]
pub struct PartDraft {
    pub name: Placed<String>,
    pub formula: Inset,
    pub wants: PartKind,
}

/// What a part of a drawing must be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PartKind {
    Length,
    Text,
}

/// A worked example: the proof that the formulas say what the source says.
#[derive(Debug, Clone)]
pub struct ExampleDraft {
    pub title: Placed<String>,
    /// Inputs as typed, such as `0.5 V`, and lists of rows; the others keep their start.
    pub given: Vec<(Placed<String>, GivenDraft)>,
    /// Steps with the value they should have; a number may carry a unit, else it is in the step's own.
    /// Without a text the step must have no value.
    pub expect: Vec<(Placed<String>, Placed<Option<String>>)>,
    /// `0.1 %` of the expected value, `0.01 uA` either way, or `0`: equal as shown. Without it, as shown.
    pub within: Option<Placed<String>>,
    pub span: Span,
}

/// What an example gives for an input or a list.
#[derive(Debug, Clone)]
pub enum GivenDraft {
    Text(Placed<String>),
    Rows(Vec<RowDraft>),
}
