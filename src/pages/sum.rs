//! The sum on a calculator's page: its fields, its result, its working.
//!
//! The page is drawn with the sum worked at its starting values, so that it reads well without a script; with one, the
//! same elements take the new values.

use serde::Serialize;

use super::pen::{Cited, Link, Pen};
use super::{lanes, terminal};
use crate::formula::{Digits, Given, Input, InputKind, Unit, Worked, escape, format};
use crate::handbook::{BandWords, Calculator};

/// `sum` in the template.
#[derive(Serialize)]
pub(super) struct SumView {
    id: String,
    inputs: Vec<InputView>,
    verdicts: Vec<VerdictView>,
    steps: Vec<StepView>,
    chart: Option<lanes::ChartView>,
    /// The drawing to scale, as SVG.
    drawing_svg: Option<String>,
}

#[derive(Serialize)]
struct InputView {
    id: String,
    title: String,
    help: Option<String>,
    /// The range in words; empty for a choice.
    range: String,
    start: String,
    units: Vec<UnitView>,
    choices: Vec<ChoiceView>,
    whole: bool,
    /// Whether the input counts with the starting values.
    counts: bool,
    cited: Option<Cited>,
}

#[derive(Serialize)]
struct UnitView {
    code: String,
    shown: String,
}

#[derive(Serialize)]
struct ChoiceView {
    id: String,
    title: String,
    start: bool,
}

#[derive(Serialize)]
struct VerdictView {
    title: String,
    /// What is judged: the step's title and its value at the start.
    step: String,
    shown: String,
    /// Whether there is something to judge at the start.
    counts: bool,
    /// Why no band holds at the start; empty if one does.
    says: String,
    bands: Vec<BandView>,
}

#[derive(Serialize)]
struct BandView {
    severity: &'static str,
    word: &'static str,
    says_html: String,
    next: Vec<Link>,
    /// Whether this band holds with the starting values.
    here: bool,
}

#[derive(Serialize)]
struct StepView {
    id: String,
    title: String,
    shown: String,
    /// The formula in titles, as MathML; a table pick has words only.
    formula_math: Option<String>,
    formula: String,
    numbers: String,
    /// Whether the step has a part in the sum at the start.
    counts: bool,
    /// Why there is no value with the starting values; empty if there is one.
    says: String,
    why: Option<String>,
    cited: Option<Cited>,
}

pub(super) fn view(calculator: &Calculator, pen: &Pen) -> SumView {
    let program = &calculator.program;
    let worked = program.work(&Given::new());
    let inputs = program.inputs.iter().zip(&calculator.inputs).zip(&worked.inputs).map(|((input, words), worked)| InputView {
        id: input.id.clone(),
        title: input.title.clone(),
        help: words.help.clone(),
        counts: worked.counts,
        cited: words.source.as_ref().and_then(|source| pen.cited(source)),
        ..input_view(input)
    });
    let steps_worked = &worked.steps;
    let verdicts = program.verdicts.iter().zip(&calculator.verdicts).zip(&worked.verdicts).map(|((verdict, bands), worked)| {
        let here = worked.band.as_ref().ok().copied();
        let bands = bands.iter().enumerate().map(|(at, band)| band_view(band, here == Some(at), pen));
        VerdictView {
            title: verdict.title.clone(),
            step: program.steps.get(verdict.step).map_or_else(String::new, |step| step.title.clone()),
            shown: steps_worked.get(verdict.step).map_or_else(String::new, |step| step.shown.clone()),
            counts: worked.counts(),
            says: worked.band.as_ref().err().cloned().unwrap_or_default(),
            bands: bands.collect(),
        }
    });
    let steps = program.steps.iter().zip(&calculator.steps).zip(&worked.steps).map(|((step, words), worked)| StepView {
        id: step.id.clone(),
        title: step.title.clone(),
        shown: worked.shown.clone(),
        formula_math: program.mathml(step),
        formula: worked.names.clone(),
        numbers: worked.numbers.clone(),
        counts: worked.counts(),
        says: worked.value.as_ref().err().cloned().unwrap_or_default(),
        why: words.why.clone(),
        cited: words.source.as_ref().and_then(|source| pen.cited(source)),
    });
    SumView {
        id: calculator.common.id.clone(),
        inputs: inputs.collect(),
        verdicts: verdicts.collect(),
        steps: steps.collect(),
        chart: program.timeline.as_ref().zip(worked.timeline.as_ref()).map(|(timeline, segments)| lanes::view(timeline, segments)),
        drawing_svg: drawing(&worked),
    }
}

fn input_view(input: &Input) -> InputView {
    let empty = InputView {
        id: String::new(),
        title: String::new(),
        help: None,
        range: String::new(),
        start: String::new(),
        units: Vec::new(),
        choices: Vec::new(),
        whole: false,
        counts: true,
        cited: None,
    };
    match &input.kind {
        InputKind::Number { units, from, to, start, whole } => {
            let main = units.first().cloned().unwrap_or_else(Unit::one);
            let with_unit = |number: f64| main.with(&format(number, Digits::Significant(9)));
            let kind = if *whole { "Whole number from" } else { "From" };
            InputView {
                range: std::format!("{kind} {} to {}.", with_unit(*from), with_unit(*to)),
                start: start.to_string(),
                units: units.iter().map(|unit| UnitView { code: unit.ucum().to_owned(), shown: unit.shown().to_owned() }).collect(),
                whole: *whole,
                ..empty
            }
        }
        InputKind::Text { choices, start } => InputView {
            choices: choices
                .iter()
                .enumerate()
                .map(|(at, choice)| ChoiceView { id: choice.id.clone(), title: choice.title.clone(), start: at == *start })
                .collect(),
            ..empty
        },
    }
}

fn band_view(band: &BandWords, here: bool, pen: &Pen) -> BandView {
    BandView {
        severity: band.severity.name(),
        word: band.severity.words(),
        says_html: pen.short("verdict", &band.says),
        next: pen.links(&band.next),
        here,
    }
}

/// The drawing at the starting values; empty where a measure has no value.
fn drawing(worked: &Worked) -> Option<String> {
    (!worked.drawing.is_empty()).then(|| terminal::svg(&terminal::Measures::of(&worked.drawing)))
}

/// A length for a drawing's caption, in millimetres with two decimals at most.
pub(super) fn millimetres(metres: f64) -> String {
    escape(&format(metres * 1000.0, Digits::Significant(3)))
}
