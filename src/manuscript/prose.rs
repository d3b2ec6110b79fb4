//! Texts that are read further later, Markdown and formulas, and values of any type.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};

use crate::diagnostic::Problems;
use crate::source::{Inset, Span};

use super::decode::{Decode, Takes, wrong_type};
use super::node::{Node, NodeKind};
use super::value::{control, inline_schema, wrong_value};

/// Markdown as written, with its map onto the file; not empty.
#[derive(Debug, Clone)]
pub struct Prose(pub Inset);

/// A formula as written, with its map onto the file. A bare number or truth is a formula too.
#[derive(Debug, Clone)]
pub struct FormulaText(pub Inset);

/// A value that may be a number, a truth or a text, such as a table's cell; the inset is its text without quotes.
#[derive(Debug, Clone)]
pub struct Cell {
    pub value: CellValue,
    pub inset: Inset,
    pub span: Span,
}

/// What a [`Cell`] holds. Text stands in [`Cell::inset`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CellValue {
    /// `null`: no figure.
    Empty,
    Number(f64),
    Truth(bool),
    Text,
}

/// Text with something to see in it, and no control characters but tabs and line breaks.
const PROSE_PATTERN: &str = r"^[^\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]*[^\s\x00-\x1f\x7f-\x9f][^\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]*$";

impl Decode for Prose {
    fn decode(node: Node, problems: &mut Problems) -> Option<Self> {
        match node.kind {
            NodeKind::Text if node.inset.text.trim().is_empty() => {
                wrong_value(node.span, "expected text, found an empty one".to_owned(), problems)
            }
            NodeKind::Text => match control(&node.inset.text) {
                Some(control) => wrong_value(node.span, control, problems),
                None => Some(Self(node.inset)),
            },
            _ => wrong_type(&node, Takes::Text, "text", problems),
        }
    }
}

inline_schema!([] Prose, |_generator| json_schema!({ "type": "string", "pattern": PROSE_PATTERN }));

impl Decode for FormulaText {
    fn decode(node: Node, problems: &mut Problems) -> Option<Self> {
        match node.kind {
            NodeKind::Text if node.inset.text.trim().is_empty() => {
                wrong_value(node.span, "expected a formula, found an empty text".to_owned(), problems)
            }
            NodeKind::Text | NodeKind::Number(_) | NodeKind::Bool(_) => Some(Self(node.inset)),
            _ => wrong_type(&node, Takes::Formula, "a formula", problems),
        }
    }
}

inline_schema!([] FormulaText, |_generator| json_schema!({ "type": ["string", "number", "boolean"], "pattern": r"\S" }));

impl Decode for Cell {
    fn decode(node: Node, problems: &mut Problems) -> Option<Self> {
        let value = match node.kind {
            NodeKind::Null => CellValue::Empty,
            NodeKind::Number(number) => CellValue::Number(number),
            NodeKind::Bool(truth) => CellValue::Truth(truth),
            NodeKind::Text => CellValue::Text,
            _ => return wrong_type(&node, Takes::Cell, "a number, a text, `true` or `false`", problems),
        };
        Some(Self { value, inset: node.inset, span: node.span })
    }
}

inline_schema!([] Cell, |_generator| json_schema!({ "type": ["number", "string", "boolean", "null"] }));
