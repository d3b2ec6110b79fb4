//! What a calculator's page shows besides its form: worked examples, published figures that differ, where to go next.

use serde::Serialize;

use super::pen::{Cited, Link, Pen};
use super::sum::{self, SumView};
use crate::handbook::Calculator;

/// `calculator` in the template.
#[derive(Serialize)]
pub(super) struct CalculatorView {
    sum: SumView,
    examples: Vec<ExampleView>,
    disagree: Vec<DisagreeView>,
    next: Vec<Link>,
}

#[derive(Serialize)]
struct ExampleView {
    title: String,
    given: Vec<PairView>,
    expect: Vec<PairView>,
    within: String,
    cited: Option<Cited>,
}

#[derive(Serialize)]
struct PairView {
    name: String,
    value: String,
}

#[derive(Serialize)]
struct DisagreeView {
    figure: String,
    value: String,
    rule: String,
    cited: Option<Cited>,
}

pub(super) fn view(calculator: &Calculator, pen: &Pen) -> CalculatorView {
    // Names stand in formulas with underscores; readers get words.
    let pairs = |list: &[(String, String)]| {
        list.iter().map(|(name, value)| PairView { name: name.replace('_', " "), value: value.clone() }).collect()
    };
    CalculatorView {
        sum: sum::view(calculator, pen),
        examples: calculator
            .examples
            .iter()
            .map(|example| ExampleView {
                title: example.title.clone(),
                given: pairs(&example.given),
                expect: pairs(&example.expect),
                within: example.within.clone(),
                cited: pen.cited(&example.source),
            })
            .collect(),
        disagree: calculator
            .disagree
            .iter()
            .map(|row| DisagreeView {
                figure: row.figure.clone(),
                value: row.value.clone(),
                rule: row.rule.clone(),
                cited: pen.cited(&row.source),
            })
            .collect(),
        next: pen.links(&calculator.next),
    }
}
