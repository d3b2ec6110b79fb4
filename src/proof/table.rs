//! Tables: whole rows, known units, rows in order, no key twice. Each is made twice: for pages and for formulas.

use std::collections::BTreeMap;

use super::desk::Desk;
use super::measurement::unit;
use super::places::EntryPlaces;
use crate::diagnostic::{Code, Diagnostic, Once};
use crate::formula;
use crate::handbook::{Cell, Column, Kind, Name, Table};
use crate::manuscript::{self, CellValue, ColumnKind, Entry, Manuscript};
use crate::source::Span;

/// The handbook's tables, as the two readers want them.
pub struct Tables {
    pub for_pages: Vec<Table>,
    /// By id.
    pub for_formulas: BTreeMap<String, formula::Table>,
}

pub fn tables(manuscript: &Manuscript, desk: &mut Desk) -> Tables {
    let (mut for_pages, mut for_formulas) = (Vec::new(), BTreeMap::new());
    for entry in &manuscript.tables {
        let (table, sound) = table(entry, desk);
        // With a column or a row that is not right every formula over the table, and every example, would be wrong too.
        if sound {
            for_formulas.insert(table.common.id.clone(), self::for_formulas(&table));
        }
        for_pages.push(table);
    }
    Tables { for_pages, for_formulas }
}

/// The table, and whether its columns and rows have no problem.
fn table(entry: &Entry<manuscript::Table>, desk: &mut Desk) -> (Table, bool) {
    let written = &entry.written;
    desk.note(Name::new(Kind::Table, entry.id.value.clone()), EntryPlaces::new(entry.place()));
    let common = desk.common(entry);
    let before = desk.n_problems();
    let mut ids: BTreeMap<&str, Span> = BTreeMap::new();
    let mut columns = Vec::new();
    for column in written.columns.iter() {
        if let Some(first) = ids.insert(column.id.as_str(), column.id.span) {
            let message = format!("two columns are called `{}`", column.id.as_str());
            desk.add(Diagnostic::new(Code::DuplicateName, column.id.span, message).also(first, "the first"));
        }
        let text = column.kind.as_ref().is_some_and(|kind| kind.value == ColumnKind::Text);
        if let (true, Some(unit)) = (text, &column.unit) {
            let message = format!("the column `{}` holds texts, which have no unit", column.id.as_str());
            desk.add(Diagnostic::new(Code::WrongValue, unit.span, message).hint("leave out `unit` or `kind`"));
        }
        columns.push(Column {
            id: column.id.value.clone(),
            title: column.title.value.clone(),
            unit: column.unit.as_ref().and_then(|text| unit(text, desk)),
            text,
        });
    }
    // Of two columns with one id one was to be another, which `key` or `order` may well name if it is near no other.
    let twins = ids.len() < columns.len();
    let mut position = |name: &manuscript::Name| position(name, &columns, twins, desk);
    let key: Vec<usize> = written.key.iter().filter_map(&mut position).collect();
    let order = written.order.as_ref().and_then(position);
    // Where no row fits the columns, the slip is among them, and which cell was meant for which column cannot be known.
    let no_row_fits = written.rows.iter().all(|row| row.len() != columns.len());
    let rows = written.rows.iter().map(|row| self::row(row, &columns, no_row_fits, desk)).collect();
    match (order, &written.order) {
        (Some(order), Some(name)) if columns[order].text => {
            let message = format!("expected a column of numbers, found the text column `{}`", name.as_str());
            desk.add(Diagnostic::new(Code::UnsortedTable, name.span, message).hint("rows are in order of a number, from small to large"));
        }
        (Some(order), _) => rising(written, order, &key, &columns, desk),
        (None, _) => {}
    }
    distinct(written, &key, desk);
    let sound = desk.n_problems() == before;
    let notes = written.notes.as_ref().map(|notes| desk.prose(notes));
    (Table { common, columns, key, order, rows, notes }, sound)
}

/// What to write in place of a text in a column of numbers.
fn cell_hint(text: &str, column: &str) -> String {
    let text = text.trim();
    let number = text.replace('−', "-");
    let is_number = |text: &str| text.parse::<f64>().is_ok_and(f64::is_finite);
    let digits = number.find(|sign: char| !(sign.is_ascii_digit() || "+-.eE".contains(sign))).map_or("", |end| number[..end].trim());
    let letters = text.replace(['O', 'o'], "0").replace(['l', 'I'], "1");
    if ["n/a", "na", "none", "-", "–", "—", "?", "nil", "tbd"].contains(&text.to_lowercase().as_str()) {
        "write `null` where the source gives no figure".to_owned()
    } else if letters != text && is_number(&letters) {
        format!("letters stand in place of digits: `{letters}`")
    } else if is_number(text) {
        format!("write the number without quotes: `{text}`")
    } else if is_number(&number) {
        format!("write it with the minus sign of the keyboard: `{number}`")
    } else if is_number(digits) {
        format!("write the number alone, `{digits}`; its unit belongs to the column, under `unit`")
    } else {
        format!("the column `{column}` holds numbers; give it `kind: text` if it does not")
    }
}

/// Where the column stands that is named under `key` or `order`. With its id misspelt among the columns both names are wrong.
fn position(name: &manuscript::Name, columns: &[Column], twins: bool, desk: &mut Desk) -> Option<usize> {
    let at = columns.iter().position(|column| column.id == name.as_str());
    if at.is_none() {
        let message = format!("expected the id of a column, found `{}`", name.as_str());
        let diagnostic = Diagnostic::new(Code::WrongValue, name.span, message).once(Once::PerFile);
        let diagnostic = diagnostic.nearest(name, columns.iter().map(|column| column.id.as_str()));
        if !(twins && diagnostic.hints.is_empty()) {
            desk.add(diagnostic);
        }
    }
    at
}

fn row(row: &[manuscript::Cell], columns: &[Column], no_row_fits: bool, desk: &mut Desk) -> Vec<Cell> {
    if row.len() != columns.len()
        && let (Some(first), Some(last)) = (row.first(), row.last())
    {
        let message = format!("expected {} cells, found {}", columns.len(), row.len());
        let diagnostic = Diagnostic::new(Code::RaggedRow, first.span.to(last.span), message);
        let diagnostic = diagnostic.hint("one cell for each column; `null` where the source gives no figure");
        desk.add(if row.len() > columns.len() {
            diagnostic.hint("a comma ends a cell: write decimals with a point, as in 2.5, and put words that hold a comma in quotes")
        } else {
            diagnostic
        });
    }
    let cells = row.iter().zip(columns).map(|(cell, column)| match (cell.value, column.text) {
        (CellValue::Empty, _) => Cell::Empty,
        (CellValue::Number(value), false) => Cell::Number { value, written: cell.inset.text.trim().to_owned() },
        (_, true) => Cell::Text(cell.inset.text.clone()),
        (_, false) if no_row_fits => Cell::Empty,
        (_, false) => {
            let message = format!("expected a number, found `{}`", cell.inset.text);
            let diagnostic = Diagnostic::new(Code::WrongType, cell.span, message);
            desk.add(diagnostic.hint(cell_hint(&cell.inset.text, &column.id)));
            Cell::Empty
        }
    });
    let mut cells: Vec<Cell> = cells.collect();
    cells.resize(columns.len(), Cell::Empty);
    cells
}

/// The rows must rise strictly in the order column, without an empty cell.
fn rising(written: &manuscript::Table, order: usize, key: &[usize], columns: &[Column], desk: &mut Desk) {
    let numbers: Vec<(f64, Span)> = written
        .rows
        .iter()
        .filter_map(|row| match row.get(order)? {
            cell if let CellValue::Number(value) = cell.value => Some((value, cell.span)),
            _ => None,
        })
        .collect();
    if let [(first, place), (_, second), _, ..] = numbers.as_slice()
        && numbers.is_sorted_by(|(before, _), (after, _)| before > after)
    {
        let message = format!("expected rows that rise in the order column `{}`, found rows that fall from {first}", columns[order].id);
        desk.add(Diagnostic::new(Code::UnsortedTable, *second, message).also(*place, "the row before").hint("turn the rows round"));
        return;
    }
    // What is neither a number nor empty was told of with its row.
    for cell in written.rows.iter().filter_map(|row| row.get(order)).filter(|cell| cell.value == CellValue::Empty) {
        let message = format!("expected a number in the order column `{}`, found no figure", columns[order].id);
        desk.add(Diagnostic::new(Code::UnsortedTable, cell.span, message));
    }
    let mut told = None;
    for at in 1..numbers.len() {
        let ((last, place), (value, span)) = (numbers[at - 1], numbers[at]);
        // Two rows with one key are told of by their key.
        let twins = value == last && key == [order];
        if value > last || twins || told == Some(at - 1) {
            continue;
        }
        let hint = "put the row where its figure belongs, or mend the figure";
        let follows = at + 1 == numbers.len() || numbers[at + 1].0 > last;
        let fits_without = at == 1 || value > numbers[at - 2].0;
        // The figure that stands out is the one without which the others rise.
        let problem = if !follows && fits_without {
            let message = format!("expected less than {value} in the order column `{}`, found {last}", columns[order].id);
            Diagnostic::new(Code::UnsortedTable, place, message).also(span, "the row after")
        } else {
            told = Some(at);
            let message = format!("expected more than {last} in the order column `{}`, found {value}", columns[order].id);
            Diagnostic::new(Code::UnsortedTable, span, message).also(place, "the row before")
        };
        desk.add(problem.hint(hint));
    }
}

/// No two rows may have the same key.
fn distinct(written: &manuscript::Table, key: &[usize], desk: &mut Desk) {
    if key.is_empty() {
        return;
    }
    let mut seen: BTreeMap<Vec<String>, Span> = BTreeMap::new();
    for row in written.rows.iter() {
        let cells: Vec<&manuscript::Cell> = key.iter().filter_map(|at| row.get(*at)).collect();
        let Some(first) = cells.first() else { continue };
        let words: Vec<String> = cells
            .iter()
            .map(|cell| match cell.value {
                CellValue::Number(value) => value.to_string(),
                _ => cell.inset.text.clone(),
            })
            .collect();
        let message = format!("two rows have the key {}", words.join(", "));
        if let Some(other) = seen.insert(words, first.span) {
            desk.add(Diagnostic::new(Code::DuplicateRow, first.span, message).also(other, "the other row"));
        }
    }
}

fn for_formulas(table: &Table) -> formula::Table {
    formula::Table {
        id: table.common.id.clone(),
        title: table.common.title.clone(),
        columns: table
            .columns
            .iter()
            .map(|column| formula::Column {
                name: column.id.clone(),
                title: column.title.clone(),
                kind: match (&column.unit, column.text) {
                    (_, true) => formula::ColumnKind::Text,
                    (Some(unit), false) => formula::ColumnKind::Number(unit.clone()),
                    (None, false) => formula::ColumnKind::Number(formula::Unit::one()),
                },
            })
            .collect(),
        rows: table
            .rows
            .iter()
            .map(|row| {
                let cell = |cell: &Cell| match cell {
                    Cell::Number { value, .. } => formula::Cell::Number(*value),
                    Cell::Text(text) => formula::Cell::Text(text.clone()),
                    Cell::Empty => formula::Cell::Empty,
                };
                row.iter().map(cell).collect()
            })
            .collect(),
        order: table.order,
    }
}
