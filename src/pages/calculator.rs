//! What a calculator's page shows besides its form: worked examples, published figures that differ, where to go next.

use serde::Serialize;

use super::pen::{Cited, Link, Pen};
use super::sum::{self, SumView};
use crate::formula::{ShownGivenRow, ShownPart};
use crate::handbook::Calculator;

/// `calculator` in the template.
#[derive(Serialize)]
pub(super) struct CalculatorView {
    sum: SumView,
    examples: Vec<ExampleView>,
    disagree: Vec<FigureView>,
    next: Vec<Link>,
}

#[derive(Serialize)]
struct ExampleView {
    title: String,
    given: Vec<PartView>,
    expect: Vec<PartView>,
    /// Empty if the values are equal as shown.
    within: String,
    cited: Option<Cited>,
}

#[derive(Serialize)]
struct PartView {
    title: String,
    /// Empty where there are rows.
    value: String,
    rows: Vec<RowView>,
}

#[derive(Serialize)]
struct RowView {
    title: String,
    fields: Vec<String>,
}

/// One figure, with all that is published for it.
#[derive(Serialize)]
struct FigureView {
    figure: String,
    values: Vec<ValueView>,
}

#[derive(Serialize)]
struct ValueView {
    value: String,
    rule: String,
    cited: Option<Cited>,
}

pub(super) fn view(calculator: &Calculator, pen: &Pen) -> CalculatorView {
    let row = |row: &ShownGivenRow| RowView { title: row.title.clone(), fields: row.fields.clone() };
    let part =
        |part: &ShownPart| PartView { title: part.title.clone(), value: part.value.clone(), rows: part.rows.iter().map(row).collect() };
    CalculatorView {
        sum: sum::view(calculator, pen),
        examples: calculator
            .examples
            .iter()
            .map(|example| ExampleView {
                title: example.title.clone(),
                given: example.shown.given.iter().map(part).collect(),
                expect: example.shown.expect.iter().map(part).collect(),
                within: example.shown.within.clone(),
                cited: pen.cited(&example.source),
            })
            .collect(),
        disagree: figures(calculator, pen),
        next: pen.links(&calculator.next),
    }
}

/// The published figures that differ, side by side under what they are figures of.
fn figures(calculator: &Calculator, pen: &Pen) -> Vec<FigureView> {
    let mut figures: Vec<FigureView> = Vec::new();
    for row in &calculator.disagree {
        let value = ValueView { value: row.value.clone(), rule: row.rule.clone(), cited: pen.cited(&row.source) };
        match figures.iter_mut().find(|figure| figure.figure == row.figure) {
            Some(figure) => figure.values.push(value),
            None => figures.push(FigureView { figure: row.figure.clone(), values: vec![value] }),
        }
    }
    figures
}
