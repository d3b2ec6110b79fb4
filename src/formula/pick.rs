//! A row picked from a table.

use super::draft::Nearest;
use super::evaluate::{Result, Value, World, alike, below};
use super::sentence::{self, Lack};
use super::table::{Cell, ColumnKind, Table};
use super::typing::Formula;

/// A checked pick; columns by position.
#[derive(Debug, Clone)]
pub struct Pick {
    /// The table's id.
    pub table: String,
    /// The column whose cell is the result.
    pub column: usize,
    pub by: By,
    /// The author's sentence for when no row fits or the cell is empty.
    pub none: Option<String>,
}

#[derive(Debug, Clone)]
pub enum By {
    /// The first row for which the truth holds; rows with an empty cell where it needs a figure are passed over.
    First {
        holds: Formula,
    },
    /// The row whose cells equal the values.
    Where(Vec<(usize, Formula)>),
    At {
        column: usize,
        value: Formula,
        how: Nearest,
    },
}

impl Table {
    /// A cell as a value, numbers in SI base units.
    pub(super) fn value(&self, row: usize, column: usize) -> Option<Value> {
        match (self.rows.get(row)?.get(column)?, &self.columns.get(column)?.kind) {
            (Cell::Number(number), ColumnKind::Number(unit)) => Some(Value::Number(unit.to_base(*number))),
            (Cell::Text(text), _) => Some(Value::Text(text.clone())),
            _ => None,
        }
    }

    fn number(&self, row: usize, column: usize) -> Option<f64> {
        match self.value(row, column)? {
            Value::Number(number) => Some(number),
            _ => None,
        }
    }
}

impl Pick {
    /// Every column that the pick reads, in rising order.
    pub(super) fn columns(&self) -> Vec<usize> {
        let mut columns = vec![self.column];
        match &self.by {
            By::First { holds } => columns.extend(holds.columns()),
            By::Where(keys) => columns.extend(keys.iter().map(|(column, _)| *column)),
            By::At { column, .. } => columns.push(*column),
        }
        columns.sort_unstable();
        columns.dedup();
        columns
    }

    /// Why there is no value when no row fits or the cell is empty: the author's sentence.
    pub(super) fn lack(&self, title: &str) -> Lack {
        self.none.clone().unwrap_or_else(|| sentence::no_figure(title)).into()
    }

    pub(super) fn work(&self, table: &Table, world: &World) -> Result {
        let none = || self.lack(&table.title);
        let figure = |row| table.value(row, self.column).ok_or_else(none);
        match &self.by {
            By::First { holds } => {
                for row in 0..table.rows.len() {
                    let cells: Vec<Option<Value>> = (0..table.columns.len()).map(|column| table.value(row, column)).collect();
                    match holds.work(&World { cells: &cells, ..*world }) {
                        Ok(Value::Truth(true)) => return figure(row),
                        Err(why) if why.says != sentence::EMPTY_CELL => return Err(why),
                        _ => {}
                    }
                }
                Err(none())
            }
            By::Where(keys) => {
                let mut wanted = Vec::with_capacity(keys.len());
                for (column, value) in keys {
                    wanted.push((*column, value.work(world)?));
                }
                let fits =
                    |row: &usize| wanted.iter().all(|(column, value)| table.value(*row, *column).is_some_and(|cell| equal(&cell, value)));
                figure((0..table.rows.len()).find(fits).ok_or_else(none)?)
            }
            By::At { column, value, how } => {
                let wanted = value.number(world)?;
                let mut before: Option<(usize, f64)> = None;
                for row in 0..table.rows.len() {
                    let Some(at) = table.number(row, *column) else { continue };
                    if alike(at, wanted) {
                        return figure(row);
                    }
                    if below(wanted, at) {
                        return match (how, before) {
                            (Nearest::NextUp, _) => figure(row),
                            (Nearest::Between, Some((lower, from))) => {
                                let ends = (table.number(lower, self.column), table.number(row, self.column));
                                let (Some(low), Some(high)) = ends else { return Err(none()) };
                                Ok(Value::Number(low + (high - low) * (wanted - from) / (at - from)))
                            }
                            (Nearest::Between, None) => Err(none()),
                        };
                    }
                    before = Some((row, at));
                }
                Err(none())
            }
        }
    }
}

fn equal(cell: &Value, value: &Value) -> bool {
    match (cell, value) {
        (Value::Number(cell), Value::Number(value)) => alike(*cell, *value),
        (cell, value) => cell == value,
    }
}
