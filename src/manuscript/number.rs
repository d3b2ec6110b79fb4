//! Numbers, and numbers in a range.

use std::borrow::Cow;
use std::marker::PhantomData;
use std::ops::Deref;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};

use crate::diagnostic::{Code, Diagnostic, Problems};
use crate::source::Placed;

use super::decode::{Decode, Takes, wrong_type};
use super::node::{Node, NodeKind};
use super::value::{Leaf, inline_schema};

/// A number in the range `R`.
#[derive(Debug, Clone)]
pub struct Ranged<R>(pub Placed<f64>, PhantomData<R>);

/// A range of numbers that a field takes.
pub trait Range {
    /// For messages: "a number above 0".
    const WORDS: &'static str;
    const TAKES: Takes = Takes::Number;
    fn holds(number: f64) -> bool;
    fn schema() -> Schema;
}

/// Above 0.
#[derive(Debug, Clone, Copy)]
pub struct Positive;
/// 0 or above.
#[derive(Debug, Clone, Copy)]
pub struct NotNegative;
/// Between 0 and 1, neither included.
#[derive(Debug, Clone, Copy)]
pub struct Chance;

impl Leaf for f64 {
    fn leaf(node: &mut Node, problems: &mut Problems) -> Option<Self> {
        match node.kind {
            NodeKind::Number(number) => Some(number),
            _ => wrong_type(node, Takes::Number, "a number", problems),
        }
    }

    fn schema() -> Schema {
        json_schema!({ "type": "number" })
    }
}

impl Leaf for u32 {
    fn leaf(node: &mut Node, problems: &mut Problems) -> Option<Self> {
        match node.kind {
            NodeKind::Number(number) if number.fract() == 0.0 && (0.0..=1e6).contains(&number) => Some(number as u32),
            NodeKind::Number(number) => {
                let wanted = if number > 1e6 { "a whole number from 0 to 1000000" } else { "a whole number, 0 or more" };
                let message = format!("expected {wanted}, found {number}");
                problems.add(Diagnostic::new(Code::OutOfRange, node.span, message));
                None
            }
            _ => wrong_type(node, Takes::Number, "a whole number", problems),
        }
    }

    fn schema() -> Schema {
        json_schema!({ "type": "integer", "minimum": 0, "maximum": 1_000_000 })
    }
}

impl<R> Deref for Ranged<R> {
    type Target = Placed<f64>;

    fn deref(&self) -> &Placed<f64> {
        &self.0
    }
}

impl<R: Range> Decode for Ranged<R> {
    fn decode(node: Node, problems: &mut Problems) -> Option<Self> {
        let NodeKind::Number(number) = node.kind else { return wrong_type(&node, R::TAKES, R::WORDS, problems) };
        if R::holds(number) {
            return Some(Self(Placed::new(number, node.span), PhantomData));
        }
        let message = format!("expected {}, found {}", R::WORDS, node.inset.text);
        let mut problem = Diagnostic::new(Code::OutOfRange, node.span, message);
        if R::TAKES == Takes::Chance && number > 1.0 && number < 100.0 {
            problem = problem.hint("write percent as a part of one: 5 percent is 0.05");
        }
        problems.add(problem);
        None
    }
}

inline_schema!([R: Range] Ranged<R>, |_generator| R::schema());

impl Range for Positive {
    const WORDS: &'static str = "a number above 0";

    fn holds(number: f64) -> bool {
        number > 0.0 && number.is_finite()
    }

    fn schema() -> Schema {
        json_schema!({ "type": "number", "exclusiveMinimum": 0 })
    }
}

impl Range for NotNegative {
    const WORDS: &'static str = "a number of 0 or more";

    fn holds(number: f64) -> bool {
        number >= 0.0 && number.is_finite()
    }

    fn schema() -> Schema {
        json_schema!({ "type": "number", "minimum": 0 })
    }
}

impl Range for Chance {
    const WORDS: &'static str = "a chance above 0 and below 1";
    const TAKES: Takes = Takes::Chance;

    fn holds(number: f64) -> bool {
        number > 0.0 && number < 1.0
    }

    fn schema() -> Schema {
        json_schema!({ "type": "number", "exclusiveMinimum": 0, "exclusiveMaximum": 1 })
    }
}
