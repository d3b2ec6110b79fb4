//! A calculator as written: inputs, steps, verdicts and worked examples. Its pictures are in [`super::picture`].

use super::entry::Citation;
use super::list::{List, Pairs};
use super::picture::{Drawing, Plot, Timeline};
use super::prose::{Cell, FormulaText, Prose};
use super::record::{choice, record};
use super::reference::{RefText, ToNext, ToTable};
use super::rows::{Given, ResultPart, Rows, Solve};
use super::value::{Name, Text};
use super::words::{How, Severity};
use crate::source::Placed;

record! {
    /// A worked sum.
    pub struct Calculator {
        /// What the user gives.
        pub inputs: List<Input, 1>,
        /// Inputs of which any one is worked out of the others.
        pub solve: Option<Solve>,
        /// Lists of rows that the user extends.
        pub rows: Vec<Rows>,
        /// The sum, step by step.
        pub steps: List<Step, 1>,
        /// What stands first: steps and rows that say what to do. The rest is working.
        pub result: Vec<ResultPart>,
        /// What the results mean.
        pub verdicts: Vec<Verdict>,
        /// The curve of one step over one input.
        pub plot: Option<Plot>,
        /// A lane chart of durations.
        pub timeline: Option<Timeline>,
        /// A drawing to scale.
        pub drawing: Option<Drawing>,
        /// Worked examples; the proof stage asks for at least one.
        pub examples: Vec<Example>,
        /// Published figures that differ, shown side by side.
        pub disagree: Vec<Disagreement>,
        /// Where to go on.
        pub next: Vec<RefText<ToNext>>,
    }
}

choice! {
    /// What the user gives: a choice of texts, or a number.
    pub enum Input {
        /// One of several texts.
        Choice(ChoiceInput) if "choices",
        /// A number with a range.
        Number(NumberInput) if _,
    }
}

record! {
    /// A number that the user gives.
    pub struct NumberInput {
        /// The name that formulas use.
        pub id: Name,
        /// What it is called.
        pub title: Text,
        /// The unit: a UCUM code or the trade's spelling; none for a plain number.
        pub unit: Option<Text>,
        /// The lowest value, included, in the unit.
        pub from: Placed<f64>,
        /// The highest value, included, in the unit.
        pub to: Placed<f64>,
        /// The value that the page starts with, in the unit.
        pub start: Placed<f64>,
        /// Other units offered.
        pub units: Vec<Text>,
        /// Whether only whole numbers are taken.
        pub whole: Option<Placed<bool>>,
        /// Help beside the field.
        pub help: Option<Text>,
        /// A truth over earlier inputs: the field counts and shows only then.
        pub when: Option<FormulaText>,
        /// Where its figures come from.
        pub source: Option<Citation>,
    }
}

record! {
    /// A text that the user chooses.
    pub struct ChoiceInput {
        /// The name that formulas use.
        pub id: Name,
        /// What it is called.
        pub title: Text,
        /// The texts to choose from.
        pub choices: List<Choice, 2>,
        /// The id of the choice that the page starts with.
        pub start: Text,
        /// Help beside the field.
        pub help: Option<Text>,
        /// A truth over earlier inputs: the field counts and shows only then.
        pub when: Option<FormulaText>,
        /// Where its figures come from.
        pub source: Option<Citation>,
    }
}

record! {
    /// One of the texts to choose from.
    pub struct Choice {
        /// The text that formulas compare with.
        pub id: Text,
        /// What is shown.
        pub title: Text,
    }
}

choice! {
    /// One step of the sum: a formula, or a value picked from a table.
    pub enum Step {
        /// A formula.
        Formula(FormulaStep) if "formula",
        /// The first row for which a truth holds.
        First(FirstPick) if "first",
        /// The row with these keys.
        Exact(ExactPick) if "where",
        /// The row at, or the value between rows at, a number.
        Along(AlongPick) if "at",
    }
}

record! {
    /// A step worked by a formula.
    pub struct FormulaStep {
        /// The name that later formulas use.
        pub id: Name,
        /// What it is called.
        pub title: Text,
        /// The unit shown: a UCUM code or the trade's spelling; none for plain numbers, truths and texts.
        pub unit: Option<Text>,
        /// Decimals shown; three significant figures if left out.
        pub digits: Option<Placed<u32>>,
        /// The formula.
        pub formula: FormulaText,
        /// A truth over inputs and earlier steps: the step has a part in the sum only then.
        pub when: Option<FormulaText>,
        /// Words beside the working.
        pub why: Option<Text>,
        /// Where the formula or its figures come from.
        pub source: Option<Citation>,
    }
}

record! {
    /// A step that takes the first row, in the table's order, for which a truth holds.
    pub struct FirstPick {
        /// The name that later formulas use.
        pub id: Name,
        /// What it is called.
        pub title: Text,
        /// The table.
        pub pick: RefText<ToTable>,
        /// The truth; the table's columns are in scope.
        pub first: FormulaText,
        /// The column whose value is taken.
        pub column: Name,
        /// What is said when no row fits.
        pub none: Text,
        /// The unit shown, if not the column's own.
        pub unit: Option<Text>,
        /// Decimals shown; three significant figures if left out.
        pub digits: Option<Placed<u32>>,
        /// A truth over inputs and earlier steps: the step has a part in the sum only then.
        pub when: Option<FormulaText>,
        /// Words beside the working.
        pub why: Option<Text>,
        /// Where the rule comes from.
        pub source: Option<Citation>,
    }
}

record! {
    /// A step that takes the row whose key columns have these values.
    pub struct ExactPick {
        /// The name that later formulas use.
        pub id: Name,
        /// What it is called.
        pub title: Text,
        /// The table.
        pub pick: RefText<ToTable>,
        /// Key columns and the formulas of their values.
        pub r#where: Pairs<Name, FormulaText, 1>,
        /// The column whose value is taken.
        pub column: Name,
        /// What is said when no row fits.
        pub none: Text,
        /// The unit shown, if not the column's own.
        pub unit: Option<Text>,
        /// Decimals shown; three significant figures if left out.
        pub digits: Option<Placed<u32>>,
        /// A truth over inputs and earlier steps: the step has a part in the sum only then.
        pub when: Option<FormulaText>,
        /// Words beside the working.
        pub why: Option<Text>,
        /// Where the rule comes from.
        pub source: Option<Citation>,
    }
}

record! {
    /// A step that reads the table at a number in its order column.
    pub struct AlongPick {
        /// The name that later formulas use.
        pub id: Name,
        /// What it is called.
        pub title: Text,
        /// The table.
        pub pick: RefText<ToTable>,
        /// The order column and the formula of the value to read at.
        pub at: Pairs<Name, FormulaText, 1>,
        /// What to do between two rows.
        pub how: Placed<How>,
        /// The column whose value is taken.
        pub column: Name,
        /// What is said when no row fits.
        pub none: Text,
        /// The unit shown, if not the column's own.
        pub unit: Option<Text>,
        /// Decimals shown; three significant figures if left out.
        pub digits: Option<Placed<u32>>,
        /// A truth over inputs and earlier steps: the step has a part in the sum only then.
        pub when: Option<FormulaText>,
        /// Words beside the working.
        pub why: Option<Text>,
        /// Where the rule comes from.
        pub source: Option<Citation>,
    }
}

record! {
    /// What the value of a step means.
    pub struct Verdict {
        /// The step's name.
        pub on: Name,
        /// What the verdict is called.
        pub title: Text,
        /// The bands in order; together they cover every value.
        pub bands: List<VerdictBand, 1>,
    }
}

record! {
    /// Values that mean the same: from an edge to an edge, or one truth or text.
    pub struct VerdictBand {
        /// The lower edge; left out in the first band.
        pub from: Option<FormulaText>,
        /// The upper edge; left out in the last band.
        pub to: Option<FormulaText>,
        /// The truth or text that the band is for.
        pub is: Option<Cell>,
        /// What it asks for.
        pub severity: Placed<Severity>,
        /// What it means, in Markdown.
        pub says: Prose,
        /// Where to go on.
        pub next: Vec<RefText<ToNext>>,
    }
}

record! {
    /// A worked example that must come out.
    pub struct Example {
        /// What it is called.
        pub title: Text,
        /// Inputs and their values with units, lists and their rows; the others keep their start.
        pub given: Pairs<Name, Given>,
        /// Steps and the values they must have, with units.
        pub expect: Pairs<Name, Cell, 1>,
        /// How far off the values may be: `0.1 %`, or a quantity in the step's unit; 0 means equal as shown.
        pub within: Option<Cell>,
        /// Where the example comes from.
        pub source: Citation,
    }
}

record! {
    /// A published figure that differs from another one.
    pub struct Disagreement {
        /// What the figure is for.
        pub figure: Text,
        /// The figure with its unit.
        pub value: Cell,
        /// The rule in words.
        pub rule: Text,
        /// Where it comes from.
        pub source: Citation,
    }
}
