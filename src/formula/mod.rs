//! The formula language: a small compiler that knows no entries.
//!
//! [`Draft`] (texts with places) → [`Program::build`] → [`Program`] (typed), which four readers share: [`Program::work`] (the press, the
//! command line), [`javascript()`] (the page), [`Program::mathml`] (the shown working) and whoever makes quiz items.
//!
//! A formula goes through `lexer`, `parser` (a `tree` with places) and `compile` (`typing`: names, `dimension`s, `unit`s) and comes
//! out as a [`Formula`] in SI base units, which `evaluate` works. `build` checks a whole calculator. What readers see comes
//! from `format` (the one rounding rule), `sentence` and `wording`. The browser's half is `browser/sums.js` and the files that add to it;
//! what a page holds for it in words are [`Labels`].

mod aggregate;
mod band;
mod build;
mod compile;
mod dimension;
mod draft;
mod evaluate;
mod example;
mod example_words;
mod format;
mod given;
mod inverse;
mod javascript;
mod labels;
mod lexer;
mod mathml;
mod parser;
mod pick;
mod plot;
mod powers;
mod program;
mod quotes;
mod result;
mod rows;
mod sentence;
mod table;
mod timeline;
mod titles;
mod tree;
mod typing;
mod unit;
mod wording;
mod work;

pub use band::Bands;
pub use compile::compile;
pub use dimension::Dimension;
pub use draft::{
    BandDraft, ByDraft, ChoiceDraft, Draft, DrawingDraft, ExampleDraft, GivenDraft, HowDraft, InputDraft, InputKindDraft, IsDraft,
    LaneDraft, Nearest, PartDraft, PartKind, PhaseDraft, PickDraft, PlotDraft, ResultDraft, RowDraft, RowsDraft, RowsResultDraft,
    SolveDraft, StepDraft, TimelineDraft, VerdictDraft,
};
pub use evaluate::{Result, Value, says};
pub use example_words::{ShownExample, ShownGivenRow, ShownPart};
pub use format::{Digits, GROUP, format};
pub use given::Given;
pub use javascript::{PICKS, POWERS, ROWS, RunTime, SOLVE, SUMS, TIMELINE, javascript, number, run_time, table_columns, table_javascript};
pub use labels::{InputLabels, Labels, ListLabels, MeasureLabels, PhaseLabels, StepLabels, UnitLabels, VerdictLabels};
pub use mathml::{escape, push_escaped};
pub use pick::{By, Pick};
pub use plot::{Curve, PlotLabels};
pub use program::{Choice, Drawing, Example, How, Input, InputKind, Lane, Phase, Plot, Program, RowList, Solve, Step, Timeline, Verdict};
pub use result::{Outcome, ResultLabels, ResultPart, RowsResult, ShownRow};
pub use sentence::{Lack, ended};
pub use table::{Cell, Column, ColumnKind, Table};
pub use timeline::{MOST_SEGMENTS, Segment};
pub use titles::Titles;
pub use tree::{Aggregate, Function, Operator};
pub use typing::{Formula, Scope, Type};
pub use unit::{Unit, UnitError, known_units, spellings};
pub use wording::{Made, Piece};
pub use work::{Worked, WorkedInput, WorkedList, WorkedRow, WorkedStep, WorkedVerdict};
