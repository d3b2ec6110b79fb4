//! A table's page: the figures as written, with units.

use serde::Serialize;

use super::pen::{self, Pen};
use crate::handbook::{Cell, Table};

/// `table` in the template.
#[derive(Serialize)]
pub(super) struct TableView {
    columns: Vec<ColumnView>,
    rows: Vec<Vec<CellView>>,
    notes_html: Option<String>,
}

#[derive(Serialize)]
struct ColumnView {
    title: String,
    unit: String,
    text: bool,
    /// Whether a cell is so long that it would make its row a tall one on a narrow screen.
    wide: bool,
}

/// Letters from which on a column is given room, so that it is scrolled to rather than squeezed.
const LONG: usize = 24;

#[derive(Serialize)]
struct CellView {
    words: String,
    /// Whether the cell names its row.
    head: bool,
    text: bool,
    empty: bool,
}

pub(super) fn view(table: &Table, pen: &Pen) -> TableView {
    let long = |row: &Vec<Cell>, at: usize| matches!(row.get(at), Some(Cell::Text(words)) if words.chars().count() > LONG);
    let columns = table.columns.iter().enumerate().map(|(at, column)| ColumnView {
        title: column.title.clone(),
        unit: column.unit.as_ref().map(pen::unit).unwrap_or("").to_owned(),
        text: column.text,
        wide: table.rows.iter().any(|row| long(row, at)),
    });
    // Screen readers take only the leading cells of a row as its name.
    let heads = (0..table.columns.len()).take_while(|at| table.key.contains(at)).count().max(usize::from(!table.columns.is_empty()));
    let row = |cells: &Vec<Cell>| {
        cells.iter().zip(&table.columns).enumerate().map(|(at, (cell, column))| one(cell, column.text, at < heads)).collect()
    };
    TableView {
        columns: columns.collect(),
        rows: table.rows.iter().map(row).collect(),
        notes_html: table.notes.as_ref().map(|notes| pen.prose("notes", notes)),
    }
}

fn one(cell: &Cell, text: bool, head: bool) -> CellView {
    let (words, empty) = match cell {
        Cell::Number { written, .. } => (written.clone(), false),
        Cell::Text(words) => (words.clone(), false),
        Cell::Empty => (String::new(), true),
    };
    CellView { words, head: head && !empty, text, empty }
}
