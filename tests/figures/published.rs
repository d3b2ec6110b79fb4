//! Calculators of the demo handbook, its tables, and sums of our own, each against published figures.

use std::collections::BTreeMap;
use std::fs;

use serde::Deserialize;

use bluecone::formula::{Given, Program, Unit, Value};
use bluecone::handbook::{Cell, Handbook, Table};

use super::Report;
use super::report::Within;
use crate::proof::folder::{package, proved, shown, texts};

/// One published figure, or several from one place.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Figure {
    what: String,
    source: String,
    /// A calculator of the demo handbook.
    calculator: Option<String>,
    /// A table of the demo handbook.
    table: Option<String>,
    /// A calculator in `sums/`.
    sum: Option<String>,
    #[serde(default)]
    given: BTreeMap<String, String>,
    /// The row's key.
    #[serde(default)]
    row: BTreeMap<String, String>,
    expect: BTreeMap<String, String>,
    within: Tolerance,
}

#[derive(Debug, Deserialize)]
#[serde(untagged)]
pub enum Tolerance {
    /// `exact`.
    Word(String),
    Number {
        rel: Option<f64>,
        abs: Option<f64>,
    },
}

impl Tolerance {
    pub fn within(&self) -> Within {
        match self {
            Tolerance::Word(word) if word == "exact" => Within::Exact,
            Tolerance::Number { rel: Some(part), abs: None } => Within::Part(*part),
            Tolerance::Number { rel: None, abs: Some(amount) } => Within::Amount(*amount),
            other => panic!("{other:?} is not a tolerance"),
        }
    }
}

const FILES: &[&str] = &["ampacity", "circuits", "flame", "gas-units", "purge", "tabs", "wire"];

#[test]
fn published_figures_come_out() {
    let (demo, problems, sources) = proved(&texts("content"));
    let demo = demo.unwrap_or_else(|| panic!("{}", shown(&problems, &sources)));
    let sums = sums();
    let mut report = Report::default();
    let mut count = 0;
    for file in FILES {
        let text = fs::read_to_string(package("tests/figures").join(file).with_extension("yaml")).unwrap();
        let figures: Vec<Figure> = serde_yaml::from_str(&text).unwrap_or_else(|error| panic!("{file}: {error}"));
        count += figures.len();
        for figure in &figures {
            match (&figure.calculator, &figure.table, &figure.sum) {
                (Some(id), None, None) => work(&program(&demo, id), &format!("calculator {id}"), figure, &mut report),
                (None, Some(id), None) => look_up(&demo, id, figure, &mut report),
                (None, None, Some(id)) => work(&program(&sums, id), &format!("sum {id}"), figure, &mut report),
                _ => panic!("{}: one of `calculator`, `table`, `sum`", figure.what),
            }
        }
    }
    assert!(count > 200, "only {count} figures");
    let table = report.table();
    println!("{table}");
    assert_eq!(report.disagreements(), "");
    let kept = package("tests/figures/deviations.tsv");
    if std::env::var_os("RENEW_CASES").is_some() {
        fs::write(&kept, &table).unwrap();
    }
    let known = fs::read_to_string(&kept).unwrap_or_default();
    assert!(table == known, "the deviations have changed; RENEW_CASES=1 writes them anew\n{table}");
}

/// The calculators in `sums/`, proved in the small handbook of the proof tests.
fn sums() -> Handbook {
    let mut files = texts("tests/proof/base");
    for (path, text) in texts("tests/figures/sums") {
        files.insert(format!("calculators/{path}"), text);
    }
    let (handbook, problems, sources) = proved(&files);
    handbook.unwrap_or_else(|| panic!("{}", shown(&problems, &sources)))
}

fn program(handbook: &Handbook, id: &str) -> Program {
    let found = handbook.calculators.iter().find(|calculator| calculator.common.id == id);
    found.unwrap_or_else(|| panic!("there is no calculator `{id}`")).program.clone()
}

/// Works a calculator and holds its steps against the figure.
fn work(program: &Program, subject: &str, figure: &Figure, report: &mut Report) {
    let mut given = Given::new();
    figure.given.iter().for_each(|(input, text)| given.set(input, text));
    let worked = program.work(&given);
    if let Some((input, sentence)) = worked.refused() {
        return report.wrong(format!("{subject}: {}: `{input}` is refused: {sentence}", figure.what));
    }
    assert!(worked.unknown.is_empty(), "{subject}: {}: no inputs {:?}", figure.what, worked.unknown);
    for (step, expected) in &figure.expect {
        let what = format!("{}, {step}", figure.what);
        let result = &worked.step(step).unwrap_or_else(|| panic!("{subject}: there is no step `{step}`")).value;
        match result {
            Ok(Value::Number(base)) => {
                let (number, unit) = quantity(expected);
                let unit = unit.unwrap_or_else(Unit::one);
                let own = &program.step(step).unwrap().unit;
                assert!(unit.fits(own), "{subject}: {what}: `{expected}` is not in a unit of the step");
                report.number(subject, &figure.source, &what, unit.from_base(*base), number, figure.within.within());
            }
            Ok(Value::Truth(truth)) => report.word(subject, &figure.source, &what, &truth.to_string(), expected),
            Ok(Value::Text(text)) => report.word(subject, &figure.source, &what, text, expected),
            Err(sentence) => report.wrong(format!("{subject}: {what} has no value: {sentence}")),
        }
    }
}

/// Finds a table's row by its key and holds its cells against the figure.
fn look_up(handbook: &Handbook, id: &str, figure: &Figure, report: &mut Report) {
    let subject = format!("table {id}");
    let table = handbook.tables.iter().find(|table| table.common.id == id).unwrap_or_else(|| panic!("there is no table `{id}`"));
    let fits = |row: &&Vec<Cell>| {
        figure.row.iter().all(|(name, wanted)| match &row[column(table, name)] {
            Cell::Number { value, .. } => wanted.parse() == Ok(*value),
            Cell::Text(text) => text == wanted,
            Cell::Empty => false,
        })
    };
    let rows: Vec<_> = table.rows.iter().filter(fits).collect();
    assert_eq!(rows.len(), 1, "{subject}: {}: {:?} finds {} rows", figure.what, figure.row, rows.len());
    for (name, expected) in &figure.expect {
        let what = format!("{}, {name}", figure.what);
        let at = column(table, name);
        match &rows[0][at] {
            Cell::Number { value, .. } => {
                let (number, unit) = quantity(expected);
                let value = match (unit, &table.columns[at].unit) {
                    (Some(unit), Some(own)) => {
                        assert!(unit.fits(own), "{subject}: {what}: `{expected}` is not in a unit of the column");
                        unit.from_base(own.to_base(*value))
                    }
                    _ => *value,
                };
                report.number(&subject, &figure.source, &what, value, number, figure.within.within());
            }
            Cell::Text(text) => report.word(&subject, &figure.source, &what, text, expected),
            Cell::Empty => report.word(&subject, &figure.source, &what, "none", expected),
        }
    }
}

fn column(table: &Table, name: &str) -> usize {
    let at = table.columns.iter().position(|column| column.id == name);
    at.unwrap_or_else(|| panic!("the table `{}` has no column `{name}`", table.common.id))
}

/// A number and, after the first space, its unit.
pub fn quantity(text: &str) -> (f64, Option<Unit>) {
    let (number, unit) = text.split_once(' ').map_or((text, None), |(number, unit)| (number, Some(unit)));
    let unit = unit.map(|unit| Unit::parse(unit).unwrap_or_else(|error| panic!("{unit}: {error:?}")));
    (number.parse().unwrap_or_else(|_| panic!("`{text}` begins with no number")), unit)
}
