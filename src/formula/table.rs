//! Published figures in rows, as far as sums need them.

use super::unit::Unit;

/// A table that formulas may pick from. Every row is as long as `columns`.
#[derive(Debug, Clone)]
pub struct Table {
    /// The id without a prefix, such as `conductor-ampacity`.
    pub id: String,
    pub title: String,
    pub columns: Vec<Column>,
    pub rows: Vec<Vec<Cell>>,
    /// The column in which the rows strictly rise, if there is one.
    pub order: Option<usize>,
}

#[derive(Debug, Clone)]
pub struct Column {
    /// The name in formulas.
    pub name: String,
    pub title: String,
    pub kind: ColumnKind,
}

#[derive(Debug, Clone, PartialEq)]
pub enum ColumnKind {
    /// Numbers in this unit; [`Unit::one`] for plain numbers.
    Number(Unit),
    Text,
}

/// One cell; numbers are in the column's unit.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// The source gives no figure here.
    Empty,
    Number(f64),
    Text(String),
}

impl Table {
    /// The position of a column by its name.
    pub fn column(&self, name: &str) -> Option<usize> {
        self.columns.iter().position(|column| column.name == name)
    }
}
