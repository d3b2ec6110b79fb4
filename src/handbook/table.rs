//! Published figures.

use super::{Common, Prose};
use crate::formula::Unit;

#[derive(Debug, Clone)]
pub struct Table {
    pub common: Common,
    pub columns: Vec<Column>,
    /// Indices of the key columns.
    pub key: Vec<usize>,
    /// Index of the column in whose order the rows rise.
    pub order: Option<usize>,
    /// Each as long as `columns`.
    pub rows: Vec<Vec<Cell>>,
    pub notes: Option<Prose>,
}

#[derive(Debug, Clone)]
pub struct Column {
    /// The name in formulas.
    pub id: String,
    pub title: String,
    /// `None` for plain numbers and for text.
    pub unit: Option<Unit>,
    pub text: bool,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// In the column's unit; `written` is how the author wrote it, trailing zeros and all.
    Number {
        value: f64,
        written: String,
    },
    Text(String),
    /// No figure.
    Empty,
}
