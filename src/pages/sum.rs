//! The sum on a calculator's page: its fields, its result, its working.
//!
//! The page is drawn with the sum worked at its starting values, so that it reads well without a script; with one, the
//! same elements take the new values.

use serde::Serialize;

use super::pen::{Cited, Link, Pen};
use super::{lanes, plot, rows, terminal};
use crate::formula::{
    Digits, Given, Input, InputKind, InputLabels, MeasureLabels, Outcome, Piece, Program, ResultLabels, ResultPart, ShownRow, Unit,
    UnitLabels, Worked, ended, escape, format, number, says,
};
use crate::handbook::{BandWords, Calculator};

/// A longer working shows each step's result, and the rest when it is asked for.
const MOST_OPEN_STEPS: usize = 8;

/// `sum` in the template.
#[derive(Serialize)]
pub(super) struct SumView {
    id: String,
    inputs: Vec<InputView>,
    lists: Vec<rows::ListView>,
    /// What stands before the working; empty where the author singled nothing out.
    result: Vec<PartView>,
    verdicts: Vec<VerdictView>,
    /// Whether any verdict outside the result counts at the start.
    means: bool,
    steps: Vec<StepView>,
    /// So many steps that each is folded.
    long: bool,
    /// Whether there is something to switch between customary and metric units.
    switches: bool,
    plot: Option<plot::PlotView>,
    chart: Option<lanes::ChartView>,
    /// The drawing to scale, as SVG.
    drawing_svg: Option<String>,
    measures: Vec<MeasureLabels>,
}

#[derive(Serialize)]
pub(super) struct InputView {
    pub(super) id: String,
    pub(super) title: String,
    pub(super) help: Option<String>,
    /// The range in words; empty for a choice.
    pub(super) range: String,
    pub(super) start: String,
    /// In the main unit, for the script.
    pub(super) from: String,
    pub(super) to: String,
    pub(super) units: Vec<UnitView>,
    pub(super) choices: Vec<ChoiceView>,
    pub(super) whole: bool,
    /// Whether the input counts with the starting values.
    pub(super) counts: bool,
    pub(super) cited: Option<Cited>,
}

#[derive(Serialize)]
pub(super) struct UnitView {
    code: String,
    shown: String,
    /// Offset, numerator, denominator.
    scale: String,
    customary: bool,
    /// What the input takes in this unit, in words; empty for a step.
    limits: String,
}

#[derive(Serialize)]
pub(super) struct ChoiceView {
    id: String,
    title: String,
    start: bool,
}

#[derive(Serialize)]
struct VerdictView {
    /// What the script calls it.
    key: String,
    title: String,
    /// What is judged: the step's title and its value at the start.
    step: String,
    shown: String,
    /// Whether there is something to judge at the start.
    counts: bool,
    /// Whether it is a warning at the start, which stands at the head of the result.
    grave: bool,
    /// Why no band holds at the start; empty if one does.
    says: String,
    bands: Vec<BandView>,
}

#[derive(Serialize)]
struct BandView {
    /// The value that it is for; none where bands have edges.
    is: Option<String>,
    severity: &'static str,
    /// Whether it warns.
    grave: bool,
    word: &'static str,
    says_html: String,
    next: Vec<Link>,
    /// Whether this band holds with the starting values.
    here: bool,
}

/// A part of the result: a step, or rows.
#[derive(Serialize)]
struct PartView {
    title: String,
    /// The step; empty for rows.
    step: String,
    tally: bool,
    /// The list of the rows, and the truth that singles them out, if one does.
    list: String,
    only: String,
    holds: bool,
    shows: Vec<LeadView>,
    /// What is said when there is no such row.
    none: Option<String>,
    found: Vec<String>,
    rows: Vec<ShownRowView>,
    says: String,
    /// Whether the part has something to show at the start.
    here: bool,
}

/// A step of a row, and whether its title stands before its result.
#[derive(Serialize)]
struct LeadView {
    id: String,
    title: String,
    leads: bool,
}

#[derive(Serialize)]
struct ShownRowView {
    title: String,
    results: Vec<String>,
    lacks: bool,
}

#[derive(Serialize)]
struct StepView {
    id: String,
    title: String,
    shown: String,
    /// The formula in titles, as MathML; a table pick has words only.
    formula_math: Option<String>,
    formula: String,
    unit: Option<UnitView>,
    metric: Option<UnitView>,
    digits: Option<u8>,
    /// Names of the inputs or fields whose choices the step hands on.
    titles: String,
    /// The sentence for when a pick finds nothing.
    none: Option<String>,
    /// The working, a line for each branch.
    lines: Vec<LineView>,
    /// Whether the step has a part in the sum at the start.
    counts: bool,
    /// Why there is no value with the starting values; empty if there is one.
    says: String,
    why: Option<String>,
    cited: Option<Cited>,
}

#[derive(Serialize)]
struct LineView {
    /// Whether this is the branch that is taken with the starting values.
    here: bool,
    pieces: Vec<PieceView>,
}

/// Words, or the name of an input or step with its value at the start.
#[derive(Serialize)]
struct PieceView {
    words: String,
    of: String,
    /// What goes over rows, by its key in the script.
    made: Option<MadeView>,
}

/// How the script shows what goes over rows.
#[derive(Serialize)]
struct MadeView {
    key: String,
    unit: UnitView,
    metric: Option<UnitView>,
    digits: Option<u8>,
    figures: u8,
}

pub(super) fn view(calculator: &Calculator, pen: &Pen) -> SumView {
    let program = &calculator.program;
    let worked = program.work(&Given::new());
    let labels = program.labels();
    let shown: Vec<&str> = worked.inputs.iter().map(|input| &*input.shown).chain(worked.steps.iter().map(|step| &*step.shown)).collect();
    let inputs = program.inputs.iter().zip(&labels.inputs).zip(&calculator.inputs).zip(&worked.inputs);
    let inputs = inputs.map(|(((input, labels), words), worked)| InputView {
        id: input.id.clone(),
        title: input.title.clone(),
        help: words.help.clone(),
        counts: worked.counts,
        cited: words.source.as_ref().and_then(|source| pen.cited(source)),
        ..input_view(input, labels)
    });
    let (worked_inputs, steps_worked) = (&worked.inputs, &worked.steps);
    let verdicts = program.verdicts.iter().zip(&labels.verdicts).zip(&calculator.verdicts).zip(&worked.verdicts);
    let verdicts = verdicts.map(|(((verdict, labels), words), worked)| {
        let here = worked.band.as_ref().ok().copied();
        let bands = words.iter().enumerate().map(|(at, band)| band_view(band, labels.is.get(at), here == Some(at), pen));
        VerdictView {
            key: labels.key.clone(),
            title: verdict.title.clone(),
            step: program.steps.get(verdict.step).map_or_else(String::new, |step| step.title.clone()),
            shown: match program.steps.get(verdict.step).and_then(|step| step.solves) {
                Some(input) => worked_inputs[input].shown.clone(),
                None => steps_worked.get(verdict.step).map_or_else(String::new, |step| step.shown.clone()),
            },
            counts: worked.counts(),
            grave: !program.result.is_empty() && here.and_then(|at| words.get(at)).is_some_and(|band| band.severity.warns()),
            says: says(&worked.band),
            bands: bands.collect(),
        }
    });
    let steps = program.steps.iter().zip(&labels.steps).zip(&calculator.steps).zip(&worked.steps);
    let steps = steps.map(|(((step, labels), words), worked)| StepView {
        id: step.id.clone(),
        title: step.title.clone(),
        shown: worked.shown.clone(),
        formula_math: program.mathml(step),
        formula: worked.names.clone(),
        unit: labels.unit.as_ref().map(unit_view),
        metric: labels.metric.as_ref().map(unit_view),
        digits: labels.digits,
        titles: labels.titles_of.join(" "),
        none: labels.none.clone(),
        lines: labels
            .lines
            .iter()
            .enumerate()
            .map(|(at, line)| {
                let here = worked.value.is_ok() && at == worked.branch;
                let mut made = worked.made.iter().filter(|_| here);
                LineView { here, pieces: line.iter().map(|piece| piece_view(piece, program, &shown, &mut made)).collect() }
            })
            .collect(),
        counts: worked.counts(),
        says: says(&worked.value),
        why: words.why.clone(),
        cited: words.source.as_ref().and_then(|source| pen.cited(source)),
    });
    let verdicts: Vec<VerdictView> = verdicts.collect();
    SumView {
        id: calculator.common.id.clone(),
        inputs: inputs.collect(),
        lists: rows::views(calculator, &worked.lists, &labels.lists, pen),
        result: parts(program, &worked),
        means: verdicts.iter().any(|verdict| verdict.counts && !verdict.grave),
        verdicts,
        long: program.steps.len() > MOST_OPEN_STEPS,
        switches: labels.steps.iter().chain(labels.lists.iter().flat_map(|list| &list.steps)).any(|step| step.metric.is_some())
            || labels.inputs.iter().chain(labels.lists.iter().flat_map(|list| &list.inputs)).any(|input| {
                let customary = input.units.iter().filter(|unit| unit.customary).count();
                customary > 0 && customary < input.units.len()
            }),
        steps: steps.collect(),
        plot: plot::view(calculator),
        chart: program
            .timeline
            .as_ref()
            .zip(worked.timeline.as_ref())
            .map(|(timeline, segments)| lanes::view(timeline, &labels.phases, segments)),
        drawing_svg: drawing(&worked),
        measures: labels.drawing,
    }
}

pub(super) fn unit_view(unit: &UnitLabels) -> UnitView {
    UnitView {
        code: unit.code.clone(),
        shown: unit.shown.clone(),
        scale: unit.scale.map(number).join(" "),
        customary: unit.customary,
        limits: unit.limits.clone(),
    }
}

/// `made`: what those pieces of the line came to that go over rows, one after the other.
fn piece_view<'a>(piece: &Piece, program: &Program, shown: &[&str], made: &mut impl Iterator<Item = &'a String>) -> PieceView {
    let words = |words: &str| PieceView { words: words.to_owned(), of: String::new(), made: None };
    match piece {
        Piece::Words(text) => words(text),
        // Only the steps of rows have them, and what these give stands in a table.
        Piece::Field { .. } => words(""),
        Piece::Name(place) => PieceView { of: program.name(*place).to_owned(), ..words(shown.get(*place).copied().unwrap_or_default()) },
        Piece::Made { made: label } => PieceView {
            made: Some(MadeView {
                key: label.key.clone(),
                unit: unit_view(&label.unit),
                metric: label.metric.as_ref().map(unit_view),
                digits: label.digits,
                figures: label.figures,
            }),
            ..words(made.next().map_or("", String::as_str))
        },
    }
}

pub(super) fn input_view(input: &Input, labels: &InputLabels) -> InputView {
    let empty = InputView {
        id: String::new(),
        title: String::new(),
        help: None,
        range: String::new(),
        start: String::new(),
        from: number(labels.from),
        to: number(labels.to),
        units: Vec::new(),
        choices: Vec::new(),
        whole: false,
        counts: true,
        cited: None,
    };
    match &input.kind {
        InputKind::Number { units, start, whole, .. } => {
            let main = units.first().cloned().unwrap_or_else(Unit::one);
            let kind = if *whole { "Whole number from" } else { "From" };
            InputView {
                range: ended(&std::format!("{kind} {}", input.limits(&main))),
                start: start.to_string(),
                units: labels.units.iter().map(unit_view).collect(),
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

fn parts(program: &Program, worked: &Worked) -> Vec<PartView> {
    let parts = program.result.iter().zip(program.result_labels()).zip(program.outcomes(worked));
    let part = |((part, labels), outcome): ((&ResultPart, ResultLabels), Outcome)| {
        let mut view = PartView {
            title: program.part_title(part).to_owned(),
            step: String::new(),
            tally: false,
            list: String::new(),
            only: String::new(),
            holds: true,
            shows: Vec::new(),
            none: match part {
                ResultPart::Rows(rows) => rows.none.clone(),
                ResultPart::Step(_) => None,
            },
            found: Vec::new(),
            rows: Vec::new(),
            says: String::new(),
            here: outcome != Outcome::Idle,
        };
        match labels {
            ResultLabels::Step { id, tally } => (view.step, view.tally) = (id, tally),
            ResultLabels::Rows { list, only, holds, shows } => {
                (view.list, view.only, view.holds) = (list, only, holds);
                view.shows = shows.into_iter().map(|(id, title, leads)| LeadView { id, title, leads }).collect();
            }
        }
        match outcome {
            Outcome::Idle => {}
            Outcome::Found(found) => view.found = found,
            Outcome::None(says) => view.says = says,
            Outcome::Rows(rows) => {
                let row = |row: ShownRow| ShownRowView { title: row.title, results: row.results, lacks: row.lacks };
                view.rows = rows.into_iter().map(row).collect();
            }
        }
        view
    };
    parts.map(part).collect()
}

fn band_view(band: &BandWords, is: Option<&String>, here: bool, pen: &Pen) -> BandView {
    BandView {
        is: is.cloned(),
        severity: band.severity.name(),
        grave: band.severity.warns(),
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
