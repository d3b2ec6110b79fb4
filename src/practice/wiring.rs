//! Look-ups in the tables of wires, tabs, crimps and sleeves.

use std::collections::BTreeSet;

use super::build::{choice, item, ranked};
use super::item::{Answer, Choice, Item, Proof, Variant};
use super::random::Random;
use super::text::{number, quoted, with_unit};
use crate::handbook::{Cell, Column, Handbook, Kind, Name, Table};

/// Columns by which a table is known to be about wires or terminals.
const WIRE: [&str; 5] = ["awg", "mm2", "area_cmil", "area_mm2", "tab"];
/// Rows asked of one column.
const ROWS: usize = 3;

pub(super) fn items(handbook: &Handbook) -> Vec<Item> {
    let about_wire = |table: &Table| table.columns.iter().any(|column| WIRE.contains(&column.id.as_str()));
    let named: BTreeSet<&Name> = handbook.tables.iter().filter(|table| about_wire(table)).flat_map(|table| &table.common.see).collect();
    let mut items = Vec::new();
    for table in &handbook.tables {
        let name = Name::new(Kind::Table, &table.common.id);
        if !about_wire(table) && !named.contains(&name) {
            continue;
        }
        for column in 0..table.columns.len() {
            // The area only keeps the rows in order; nobody looks it up. And between two figures there is nothing to know.
            let order = WIRE.contains(&table.columns[column].id.as_str()) || table.order == Some(column);
            let figures: BTreeSet<String> =
                table.rows.iter().map(|row| shown(&table.columns[column], &row[column])).filter(|text| !text.is_empty()).collect();
            if table.key.contains(&column) || order || figures.len() < 3 {
                continue;
            }
            items.extend(value(handbook, table, column));
            items.extend(typed(handbook, table, column));
            items.extend(next_up(handbook, table, column));
        }
    }
    items
}

/// What does the row give? The options are other figures of the same column, or of the same row in the same unit.
fn value(handbook: &Handbook, table: &Table, column: usize) -> Option<Item> {
    let id = format!("wiring/{}/{}", table.common.id, table.columns[column].id);
    let mut random = Random::of(&id);
    let full = (0..table.rows.len()).filter(|row| table.rows[*row][column] != Cell::Empty && !in_key(table, *row, column)).collect();
    let picked = random.some(full, ROWS * 2);
    let variants: Vec<Option<Variant>> = picked
        .into_iter()
        .map(|row| {
            let right = &table.rows[row][column];
            let mut wrong: Vec<(usize, Choice)> = Vec::new();
            for other in 0..table.columns.len() {
                let same =
                    table.columns[other].text == table.columns[column].text && unit(&table.columns[other]) == unit(&table.columns[column]);
                let taken = table.key.contains(&other) || table.order == Some(other) || WIRE.contains(&table.columns[other].id.as_str());
                let beside = other != column && same && !taken && !table.columns[column].text;
                for at in 0..table.rows.len() {
                    if (other == column || (beside && at == row)) && table.rows[at][other] != Cell::Empty {
                        wrong.push((
                            at.abs_diff(row),
                            Choice::new(shown(&table.columns[other], &table.rows[at][other]), proof(&table.rows[at][other], right)),
                        ));
                    }
                }
            }
            random.shuffle(&mut wrong);
            wrong.sort_by_key(|(distance, _)| *distance);
            let text = shown(&table.columns[column], right);
            let option = Choice::new(&text, proof(right, right));
            let because =
                format!("{}: the row {} gives {text} under {}.", table.common.title, key(table, row), quoted(&table.columns[column].title));
            choice(&mut random, question(table, row, column), option, wrong.into_iter().map(|(_, option)| option), because)
        })
        .collect();
    item(handbook, id, Name::new(Kind::Table, &table.common.id), variants.into_iter().flatten().take(ROWS).map(Some))
}

/// The same with a typed number, for figures with a unit.
fn typed(handbook: &Handbook, table: &Table, column: usize) -> Option<Item> {
    unit(&table.columns[column])?;
    let id = format!("wiring/{}/{}/typed", table.common.id, table.columns[column].id);
    let mut random = Random::of(&id);
    let rows = random.some((0..table.rows.len()).filter(|row| !in_key(table, *row, column)).collect(), ROWS);
    let variants: Vec<Option<Variant>> = rows
        .into_iter()
        .map(|row| {
            let Cell::Number { value, written } = &table.rows[row][column] else { return None };
            let unit = table.columns[column].unit.as_ref().map(|unit| unit.shown().to_owned()).unwrap_or_default();
            let text = shown(&table.columns[column], &table.rows[row][column]);
            let explanation =
                format!("{}: the row {} gives {text} under {}.", table.common.title, key(table, row), quoted(&table.columns[column].title));
            let answer = Answer::Number { unit, value: *value, tolerance: 0.0, worked: written.clone() };
            Some(Variant { question: format!("{} Look it up and type it.", question(table, row, column)), answer, explanation })
        })
        .collect();
    item(handbook, id, Name::new(Kind::Table, &table.common.id), variants)
}

/// Next size up: the smallest row whose current is at least the load. Only for currents that rise from row to row.
fn next_up(handbook: &Handbook, table: &Table, column: usize) -> Option<Item> {
    table.order?;
    let unit = table.columns[column].unit.as_ref().filter(|unit| unit.ucum() == "A")?;
    let rows: Vec<(usize, f64)> = (0..table.rows.len())
        .filter_map(|row| match table.rows[row][column] {
            Cell::Number { value, .. } => Some((row, value)),
            _ => None,
        })
        .collect();
    if rows.len() < 4 || !rows.windows(2).all(|pair| pair[0].1 < pair[1].1) {
        return None;
    }
    let id = format!("wiring/{}/{}/next-up", table.common.id, table.columns[column].id);
    let mut random = Random::of(&id);
    let variants: Vec<Option<Variant>> = (1..rows.len())
        .map(|right| {
            let (below, above) = (rows[right - 1].1, rows[right].1);
            let whole: Vec<f64> = (below.floor() as i64 + 1..above.ceil() as i64).map(|amps| amps as f64).collect();
            let load = *whole.get(random.below(whole.len()))?;
            let load_shown = with_unit(unit, &number(load));
            let from = right.saturating_sub(2).min(rows.len().saturating_sub(4));
            let options = rows
                .iter()
                .enumerate()
                .skip(from)
                .take(4)
                .map(|(place, (row, _))| Choice::new(key(table, *row), Proof::Place { at: place, right }))
                .collect();
            let column = quoted(&table.columns[column].title);
            let question = format!(
                "{}: by the column {column} alone, which is the smallest size whose figure is at least {load_shown}?",
                table.common.title
            );
            let figure = |place: usize| format!("{} gives {}", key(table, rows[place].0), with_unit(unit, &number(rows[place].1)));
            let because = format!(
                "{}, enough for {load_shown}; {}, which is too little. Other rules may ask for more.",
                figure(right),
                figure(right - 1)
            );
            ranked(question, options, because)
        })
        .collect();
    item(handbook, id, Name::new(Kind::Table, &table.common.id), variants)
}

fn question(table: &Table, row: usize, column: usize) -> String {
    format!("{}: what stands under {} in the row {}?", table.common.title, quoted(&table.columns[column].title), key(table, row))
}

/// The row by its key, such as `18 AWG` for a column titled "Size (AWG)".
fn key(table: &Table, row: usize) -> String {
    let parts = table.key.iter().map(|column| {
        let (heading, cell) = (&table.columns[*column], &table.rows[row][*column]);
        let text = shown(heading, cell);
        match heading.title.split_once(" (").and_then(|(_, rest)| rest.strip_suffix(')')) {
            Some(inside) if heading.unit.is_none() => format!("{text} {inside}"),
            _ => text,
        }
    });
    parts.collect::<Vec<_>>().join(", ")
}

/// Whether the figure stands in the row's key already, such as a tab's width in its name.
fn in_key(table: &Table, row: usize, column: usize) -> bool {
    let words = |cell: &Cell| -> Vec<String> {
        let text = match cell {
            Cell::Number { written, .. } => written,
            Cell::Text(text) => text,
            Cell::Empty => return Vec::new(),
        };
        text.split([' ', '-', '\u{2013}', ',']).map(str::to_owned).collect()
    };
    let figure = words(&table.rows[row][column]);
    table.key.iter().any(|key| words(&table.rows[row][*key]).iter().any(|word| figure.contains(word)))
}

fn unit(column: &Column) -> Option<&str> {
    column.unit.as_ref().map(|unit| unit.ucum())
}

fn shown(column: &Column, cell: &Cell) -> String {
    match (cell, &column.unit) {
        (Cell::Number { written, .. }, Some(unit)) => with_unit(unit, written),
        (Cell::Number { written, .. }, None) => written.clone(),
        (Cell::Text(text), _) => text.clone(),
        (Cell::Empty, _) => String::new(),
    }
}

fn proof(cell: &Cell, right: &Cell) -> Proof {
    match (cell, right) {
        (Cell::Number { value, .. }, Cell::Number { value: right, .. }) => {
            Proof::Figure { value: *value, right: *right, apart: right.abs() * 1e-9 + f64::MIN_POSITIVE }
        }
        (Cell::Text(text), Cell::Text(right)) => Proof::listed(text, &[right]),
        _ => Proof::listed("", &[] as &[&str]),
    }
}
