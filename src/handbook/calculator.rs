//! A sum as data.

use super::{Citation, Common, Name};
use crate::formula::Program;

#[derive(Debug, Clone)]
pub struct Calculator {
    pub common: Common,
    pub program: Program,
    /// Sources of single inputs and steps, by their name in the program.
    pub figures: Vec<(String, Citation)>,
    pub examples: Vec<WorkedExample>,
    pub disagree: Vec<Disagreement>,
    pub next: Vec<Name>,
}

/// A published sum that came out when the handbook was proved; texts as written, such as `0.5 V`.
#[derive(Debug, Clone)]
pub struct WorkedExample {
    pub title: String,
    pub given: Vec<(String, String)>,
    pub expect: Vec<(String, String)>,
    pub within: String,
    pub source: Option<Citation>,
}

/// One of several published figures that differ.
#[derive(Debug, Clone)]
pub struct Disagreement {
    pub figure: String,
    pub value: String,
    pub rule: String,
    pub source: Citation,
}
