//! What a calculator has beside single inputs: lists of rows, and quantities of which one is unknown.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};

use super::calculator::{Input, Step};
use super::decode::Decode;
use super::entry::Citation;
use super::list::{List, Pairs};
use super::node::{Node, NodeKind};
use super::prose::{Cell, FormulaText};
use super::record::{choice, record};
use super::value::{Name, Text};
use crate::diagnostic::Problems;
use crate::source::Placed;

record! {
    /// A list of rows that the user extends, such as the loads on a transformer.
    pub struct Rows {
        /// The name that formulas use.
        pub id: Name,
        /// What it is called.
        pub title: Text,
        /// What one row is called.
        pub row: Text,
        /// The field whose value is added to a row's title.
        pub called: Option<Name>,
        /// Steps of the row whose results stand beside a row's title, so that they are seen while the row is folded.
        pub shows: Vec<Name>,
        /// The fewest rows; none if left out.
        pub least: Option<Placed<u32>>,
        /// The most rows, up to 100.
        pub most: Placed<u32>,
        /// What the user gives in each row.
        pub fields: List<Input, 1>,
        /// The sum in each row, step by step.
        pub steps: Vec<Step>,
        /// The rows that the page starts with; fields that are left out keep their start.
        pub start: Vec<Pairs<Name, Cell>>,
    }
}

record! {
    /// Inputs tied by a formula, of which any one is worked out of the others.
    pub struct Solve {
        /// The name of the choice of the unknown.
        pub id: Name,
        /// What the choice is called.
        pub title: Text,
        /// Two sides with `==` between them.
        pub formula: FormulaText,
        /// The inputs that can be unknown; each stands in the formula once.
        pub unknown: List<Name, 2>,
        /// The unknown that the page starts with.
        pub start: Name,
        /// Decimals shown of what is worked out; three significant figures if left out.
        pub digits: Option<Placed<u32>>,
        /// Words beside the working.
        pub why: Option<Text>,
        /// Where the formula comes from.
        pub source: Option<Citation>,
    }
}

choice! {
    /// A part of the result: a step, or rows.
    pub enum ResultPart {
        /// A step and what came out of it.
        Step(StepResult) if "step",
        /// Rows, each with some of its results.
        Rows(RowsResult) if _,
    }
}

record! {
    /// A step that belongs to the result.
    pub struct StepResult {
        /// The step's name.
        pub step: Name,
    }
}

record! {
    /// Rows that belong to the result: all of a list, or those for which a truth holds or does not.
    pub struct RowsResult {
        /// The name of the list.
        pub rows: Name,
        /// What they are called.
        pub title: Text,
        /// A step of the row, a truth: only rows for which it holds.
        pub r#where: Option<Name>,
        /// A step of the row, a truth: only rows for which it does not hold.
        pub unless: Option<Name>,
        /// Steps of the row whose results stand below its title.
        pub shows: Vec<Name>,
        /// What is said when there is no such row; without it the title is left out then.
        pub none: Option<Text>,
    }
}

/// What an example gives: a value for an input, or rows for a list.
#[derive(Debug, Clone)]
pub enum Given {
    Value(Cell),
    Rows(Vec<Pairs<Name, Cell>>),
}

impl Decode for Given {
    fn decode(node: Node, problems: &mut Problems) -> Option<Self> {
        match node.kind {
            NodeKind::List(_) => Decode::decode(node, problems).map(Self::Rows),
            _ => Cell::decode(node, problems).map(Self::Value),
        }
    }
}

impl JsonSchema for Given {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "Given".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        json_schema!({ "anyOf": [generator.subschema_for::<Cell>(), generator.subschema_for::<Vec<Pairs<Name, Cell>>>()] })
    }
}
