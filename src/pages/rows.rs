//! Lists of rows on a calculator's page: the fields of each row, and a table with what came out row by row.

use serde::Serialize;

use super::pen::{Cited, Pen};
use super::sum::{InputView, UnitView, input_view, unit_view};
use crate::formula::{Input, InputKind, InputLabels, ListLabels, Program, RowList, Value, WorkedList, WorkedRow, WorkedStep};
use crate::handbook::{Calculator, InputWords, ListWords};

/// An item of `sum.lists` in the template.
#[derive(Serialize)]
pub(super) struct ListView {
    id: String,
    title: String,
    /// What one row is called.
    row: String,
    called: String,
    /// Names of the steps that a folded row shows.
    shows: String,
    least: usize,
    most: usize,
    /// How many rows there may be, in words.
    range: String,
    rows: Vec<RowView>,
    /// A new row.
    blank: Vec<CellView>,
    steps: Vec<RowStepView>,
}

#[derive(Serialize)]
struct RowView {
    title: String,
    /// What a folded row shows of its results.
    shows: String,
    cells: Vec<CellView>,
    /// What came out of each step.
    results: Vec<ResultView>,
}

#[derive(Serialize)]
struct ResultView {
    /// Of the step, for narrow screens.
    title: String,
    text: String,
    /// Whether the text says why there is no value.
    lacks: bool,
    /// Whether the step has no part in this row.
    idle: bool,
}

/// A field of a row.
#[derive(Serialize)]
struct CellView {
    input: InputView,
    /// The choice, or the number in the unit `code`.
    text: String,
    code: String,
}

#[derive(Serialize)]
struct RowStepView {
    id: String,
    title: String,
    unit: Option<UnitView>,
    metric: Option<UnitView>,
    digits: Option<u8>,
    /// Names of the inputs or fields whose choices the step hands on.
    titles: String,
    none: Option<String>,
    formula_math: Option<String>,
    formula: String,
    why: Option<String>,
    cited: Option<Cited>,
}

pub(super) fn views(calculator: &Calculator, worked: &[WorkedList], labels: &[ListLabels], pen: &Pen) -> Vec<ListView> {
    let program = &calculator.program;
    let lists = program.lists.iter().zip(labels).zip(&calculator.lists).zip(worked);
    lists.map(|(((list, labels), words), worked)| view(program, list, labels, words, worked, pen)).collect()
}

fn view(program: &Program, list: &RowList, labels: &ListLabels, words: &ListWords, worked: &WorkedList, pen: &Pen) -> ListView {
    let cells = |texts: &[Option<String>], row: Option<&WorkedRow>| {
        let field = |(at, text): (usize, &Option<String>)| {
            let counts = row.and_then(|row| row.inputs.get(at)).is_none_or(|input| input.counts);
            cell(&list.fields[at], &labels.inputs[at], &words.fields[at], text.as_deref(), counts, pen)
        };
        texts.iter().enumerate().map(field).collect::<Vec<_>>()
    };
    let row = |(row, texts): (&WorkedRow, &Vec<Option<String>>)| RowView {
        title: row.title.clone(),
        shows: shown(list, row),
        cells: cells(texts, Some(row)),
        results: row.steps.iter().zip(&list.steps).map(|(worked, step)| result(&step.title, worked)).collect(),
    };
    let first = worked.rows.first();
    let steps = list.steps.iter().zip(&labels.steps).zip(&words.steps).enumerate().map(|(at, ((step, labels), words))| RowStepView {
        id: step.id.clone(),
        title: step.title.clone(),
        unit: labels.unit.as_ref().map(unit_view),
        metric: labels.metric.as_ref().map(unit_view),
        digits: labels.digits,
        titles: labels.titles_of.join(" "),
        none: labels.none.clone(),
        formula_math: program.mathml_in(Some(list), step),
        formula: first.and_then(|row| row.steps.get(at)).map_or_else(String::new, |step| step.names.clone()),
        why: words.why.clone(),
        cited: words.source.as_ref().and_then(|source| pen.cited(source)),
    });
    ListView {
        id: list.id.clone(),
        title: list.title.clone(),
        row: list.row.clone(),
        called: labels.called.clone(),
        shows: list.shows.iter().map(|at| &*list.steps[*at].id).collect::<Vec<_>>().join(" "),
        least: list.least,
        most: list.most,
        range: format!("From {} to {} rows.", list.least, list.most),
        rows: worked.rows.iter().zip(&list.start).map(row).collect(),
        blank: cells(&vec![None; list.fields.len()], None),
        steps: steps.collect(),
    }
}

fn shown(list: &RowList, row: &WorkedRow) -> String {
    let steps = row.steps.iter().enumerate().filter(|(at, step)| list.shows.contains(at) && step.value.is_ok());
    steps.map(|(_, step)| &*step.shown).collect::<Vec<_>>().join(" · ")
}

/// The value; why there is none; or a dash where the step has no part in the sum.
fn result(title: &str, step: &WorkedStep) -> ResultView {
    let text = match &step.value {
        Ok(_) => step.shown.clone(),
        Err(why) if !why.idle => why.says.clone(),
        Err(_) => "–".to_owned(),
    };
    ResultView { title: title.to_owned(), text, lacks: step.value.is_err() && step.counts(), idle: !step.counts() }
}

/// `text`: what stands in the field at the start, if not the field's own start.
fn cell(field: &Input, labels: &InputLabels, words: &InputWords, text: Option<&str>, counts: bool, pen: &Pen) -> CellView {
    let input = InputView {
        id: field.id.clone(),
        title: field.title.clone(),
        help: words.help.clone(),
        counts,
        cited: words.source.as_ref().and_then(|source| pen.cited(source)),
        ..input_view(field, labels)
    };
    let text = text.map_or_else(|| field.start_text(), str::to_owned);
    let InputKind::Number { units, .. } = &field.kind else { return CellView { input, text, code: String::new() } };
    let (number, unit) = text.split_once(' ').unwrap_or((&text, ""));
    let main = units.first().map_or("", |unit| unit.ucum());
    match units.iter().find(|known| unit.is_empty() || known.ucum() == unit.trim() || known.shown() == unit.trim()) {
        Some(known) => CellView { input, text: number.to_owned(), code: known.ucum().to_owned() },
        // In another unit than those that are offered: the same in the main one.
        None => {
            let number = match (field.read(&text), units.first()) {
                (Ok((Value::Number(base), _)), Some(unit)) => unit.from_base(base).to_string(),
                _ => text.clone(),
            };
            CellView { input, text: number, code: main.to_owned() }
        }
    }
}
