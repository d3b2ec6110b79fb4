//! Calculators: the written fields become a draft for the formula compiler, which types it and works its examples.

use std::collections::BTreeMap;

use super::desk::{Desk, severity};
use super::places::EntryPlaces;
use crate::diagnostic::{Code, Diagnostic, Problems};
use crate::formula::{
    BandDraft, ByDraft, ChoiceDraft, Draft, DrawingDraft, ExampleDraft, HowDraft, InputDraft, InputKindDraft, IsDraft, LaneDraft, Nearest,
    PartDraft, PartKind, PhaseDraft, PickDraft, Program, StepDraft, Table, TimelineDraft, Unit, VerdictDraft,
};
use crate::handbook::{BandWords, Calculator, Disagreement, InputWords, Kind, Name, StepWords, WorkedExample};
use crate::manuscript::{self as written, CellValue, Entry};
use crate::source::{Inset, Placed, Span};

pub fn calculator(entry: &Entry<written::Calculator>, tables: &BTreeMap<String, Table>, desk: &mut Desk) -> Option<Calculator> {
    desk.note(Name::new(Kind::Calculator, entry.id.value.clone()), EntryPlaces::new(entry.place()));
    let sum = &entry.written;
    if sum.examples.is_empty() {
        let diagnostic = Diagnostic::new(Code::TooFewExamples, entry.place(), "expected at least one worked example, found none");
        desk.add(diagnostic.hint("take one from a published source and give its figures under `examples`"));
    }
    let common = desk.common(entry);
    let inputs = sum.inputs.iter().map(|input| input_words(input, desk)).collect();
    let steps = sum.steps.iter().map(|step| step_words(step, desk)).collect();
    let verdicts = sum.verdicts.iter().map(|verdict| verdict.bands.iter().map(|band| band_words(band, desk)).collect()).collect();
    let examples = sum.examples.iter().filter_map(|example| example_words(example, desk)).collect();
    let disagree = sum.disagree.iter().filter_map(|figure| disagreement(figure, desk)).collect();
    let next = desk.links(&sum.next);
    let mut problems = Problems::default();
    let program = Program::build(&draft(sum), tables, &mut problems);
    // Tables that do not exist were told of with their references; one that exists but has problems of its own is no
    // fault of the calculator's.
    // So was a pick without a column to go by.
    let told = |problem: &&Diagnostic| {
        let no_column =
            |step: &written::Step| matches!(step, written::Step::Along(step) if step.at.is_empty() && step.pick.span == problem.span);
        problem.code == Code::BrokenLink || (problem.code == Code::MissingField && sum.steps.iter().any(no_column))
    };
    problems.iter().filter(|problem| !told(problem)).for_each(|problem| desk.add(problem.clone()));
    let program = program?;
    Some(Calculator { common, program, inputs, steps, verdicts, examples, disagree, next })
}

fn input_words(input: &written::Input, desk: &mut Desk) -> InputWords {
    let (help, source) = match input {
        written::Input::Number(input) => (&input.help, &input.source),
        written::Input::Choice(input) => (&input.help, &input.source),
    };
    InputWords { help: help.as_ref().map(|help| help.value.clone()), source: source.as_ref().and_then(|source| desk.citation(source)) }
}

fn step_words(step: &written::Step, desk: &mut Desk) -> StepWords {
    let (why, source, pick) = match step {
        written::Step::Formula(step) => (&step.why, &step.source, None),
        written::Step::First(step) => (&step.why, &step.source, Some(&step.pick)),
        written::Step::Exact(step) => (&step.why, &step.source, Some(&step.pick)),
        written::Step::Along(step) => (&step.why, &step.source, Some(&step.pick)),
    };
    if let Some(table) = pick {
        desk.link(table);
    }
    if let written::Step::Along(step) = step
        && step.at.len() != 1
    {
        let place = step.at.get(1).map_or(step.pick.span, |(name, _)| name.span);
        desk.add(Diagnostic::new(Code::WrongValue, place, format!("expected one column under `at`, found {}", step.at.len())));
    }
    StepWords { why: why.as_ref().map(|why| why.value.clone()), source: source.as_ref().and_then(|source| desk.citation(source)) }
}

fn band_words(band: &written::VerdictBand, desk: &mut Desk) -> BandWords {
    BandWords { severity: severity(band.severity.value), says: desk.prose(&band.says), next: desk.links(&band.next) }
}

fn example_words(example: &written::Example, desk: &mut Desk) -> Option<WorkedExample> {
    let words =
        |pairs: &[(written::Name, written::Cell)]| pairs.iter().map(|(name, cell)| (name.value.clone(), cell.inset.text.clone())).collect();
    Some(WorkedExample {
        title: example.title.value.clone(),
        given: words(&example.given),
        expect: words(&example.expect),
        within: example.within.as_ref().map(|within| within.inset.text.clone()).unwrap_or_default(),
        source: desk.citation(&example.source)?,
    })
}

fn disagreement(figure: &written::Disagreement, desk: &mut Desk) -> Option<Disagreement> {
    Some(Disagreement {
        figure: figure.figure.value.clone(),
        value: with_unit_shown(&figure.value.inset.text),
        rule: figure.rule.value.clone(),
        source: desk.citation(&figure.source)?,
    })
}

/// A figure as an author wrote it, such as `918 to 1069 Btu/ft3`, with its unit as readers see it.
fn with_unit_shown(text: &str) -> String {
    let spaces = text.match_indices(' ').map(|(at, _)| at);
    let unit = spaces.filter_map(|at| Some((&text[..at], Unit::parse(&text[at + 1..]).ok()?))).next();
    unit.map_or_else(|| text.to_owned(), |(number, unit)| unit.with(number))
}

fn draft(sum: &written::Calculator) -> Draft {
    Draft {
        inputs: sum.inputs.iter().map(input).collect(),
        steps: sum.steps.iter().map(step).collect(),
        verdicts: sum.verdicts.iter().map(verdict).collect(),
        timeline: sum.timeline.as_ref().map(timeline),
        drawing: sum.drawing.as_ref().map(drawing),
        examples: sum.examples.iter().map(example).collect(),
    }
}

fn input(input: &written::Input) -> InputDraft {
    match input {
        written::Input::Number(input) => InputDraft {
            id: input.id.0.clone(),
            title: input.title.clone(),
            kind: InputKindDraft::Number {
                unit: input.unit.clone(),
                from: input.from.clone(),
                to: input.to.clone(),
                start: input.start.clone(),
                units: input.units.clone(),
                whole: input.whole.as_ref().is_some_and(|whole| whole.value),
            },
            when: input.when.as_ref().map(formula),
        },
        written::Input::Choice(input) => InputDraft {
            id: input.id.0.clone(),
            title: input.title.clone(),
            kind: InputKindDraft::Text {
                choices: input.choices.iter().map(|choice| ChoiceDraft { id: choice.id.clone(), title: choice.title.clone() }).collect(),
                start: input.start.clone(),
            },
            when: input.when.as_ref().map(formula),
        },
    }
}

fn formula(text: &written::FormulaText) -> Inset {
    text.0.clone()
}

fn step(step: &written::Step) -> StepDraft {
    match step {
        written::Step::Formula(step) => StepDraft {
            id: step.id.0.clone(),
            title: step.title.clone(),
            unit: step.unit.clone(),
            digits: digits(&step.digits),
            how: HowDraft::Formula(formula(&step.formula)),
        },
        written::Step::First(step) => StepDraft {
            id: step.id.0.clone(),
            title: step.title.clone(),
            unit: step.unit.clone(),
            digits: digits(&step.digits),
            how: pick(&step.pick, &step.column, ByDraft::First(formula(&step.first)), &step.none),
        },
        written::Step::Exact(step) => StepDraft {
            id: step.id.0.clone(),
            title: step.title.clone(),
            unit: step.unit.clone(),
            digits: digits(&step.digits),
            how: pick(&step.pick, &step.column, ByDraft::Where(pairs(&step.r#where)), &step.none),
        },
        written::Step::Along(step) => {
            let how = match step.how.value {
                written::How::NextUp => Nearest::NextUp,
                written::How::Between => Nearest::Between,
            };
            let by = match pairs(&step.at).into_iter().next() {
                Some((column, value)) => ByDraft::At { column, value, how },
                None => ByDraft::Where(Vec::new()),
            };
            StepDraft {
                id: step.id.0.clone(),
                title: step.title.clone(),
                unit: step.unit.clone(),
                digits: digits(&step.digits),
                how: pick(&step.pick, &step.column, by, &step.none),
            }
        }
    }
}

fn digits(digits: &Option<Placed<u32>>) -> Option<Placed<u8>> {
    digits.as_ref().map(|digits| Placed::new(digits.value.min(255) as u8, digits.span))
}

fn pairs(pairs: &[(written::Name, written::FormulaText)]) -> Vec<(Placed<String>, Inset)> {
    pairs.iter().map(|(name, value)| (name.0.clone(), formula(value))).collect()
}

fn pick(table: &written::RefText<written::ToTable>, column: &written::Name, by: ByDraft, none: &Placed<String>) -> HowDraft {
    let id = table.strip_prefix("table:").unwrap_or(table).to_owned();
    HowDraft::Pick(PickDraft { table: Placed::new(id, table.span), column: column.0.clone(), by, none: Some(none.clone()) })
}

fn verdict(verdict: &written::Verdict) -> VerdictDraft {
    let bands: Vec<BandDraft> = verdict
        .bands
        .iter()
        .map(|band| BandDraft {
            from: band.from.as_ref().map(formula),
            to: band.to.as_ref().map(formula),
            is: band.is.as_ref().map(|cell| {
                let is = match cell.value {
                    CellValue::Truth(truth) => IsDraft::Truth(truth),
                    _ => IsDraft::Text(cell.inset.text.clone()),
                };
                Placed::new(is, cell.span)
            }),
            span: band_place(band),
        })
        .collect();
    VerdictDraft { on: verdict.on.0.clone(), title: verdict.title.clone(), bands, span: verdict.title.span }
}

/// A band has no text of its own to point at: its edge, its word or its severity.
fn band_place(band: &written::VerdictBand) -> Span {
    let edge = band.from.as_ref().or(band.to.as_ref()).map(|edge| edge.0.whole());
    edge.or(band.is.as_ref().map(|is| is.span)).unwrap_or(band.severity.span)
}

fn timeline(timeline: &written::Timeline) -> TimelineDraft {
    TimelineDraft {
        title: timeline.title.clone(),
        lanes: timeline.lanes.iter().map(|lane| LaneDraft { id: lane.id.0.clone(), title: lane.title.clone() }).collect(),
        phases: timeline.phases.iter().map(phase).collect(),
    }
}

fn phase(phase: &written::Phase) -> PhaseDraft {
    match phase {
        written::Phase::Single(single) => PhaseDraft::Lasts {
            title: single.title.clone(),
            lasts: formula(&single.lasts),
            on: single.on.iter().map(|lane| lane.0.clone()).collect(),
            between: single.between.clone(),
        },
        written::Phase::Repeat(repeat) => {
            PhaseDraft::Repeat { times: formula(&repeat.repeat), phases: repeat.phases.iter().map(self::phase).collect() }
        }
    }
}

fn drawing(drawing: &written::Drawing) -> DrawingDraft {
    let part = |name: &str, text: &written::FormulaText, wants| PartDraft {
        name: Placed::new(name.to_owned(), drawing.kind.span),
        formula: formula(text),
        wants,
    };
    DrawingDraft {
        kind: Placed::new(drawing.kind.value.name().to_owned(), drawing.kind.span),
        parts: vec![
            part("tab-width", &drawing.tab_width, PartKind::Length),
            part("tab-thickness", &drawing.tab_thickness, PartKind::Length),
            part("conductor-diameter", &drawing.conductor_diameter, PartKind::Length),
            part("strip", &drawing.strip, PartKind::Length),
            part("sleeve", &drawing.sleeve, PartKind::Text),
        ],
    }
}

fn example(example: &written::Example) -> ExampleDraft {
    let pairs = |pairs: &[(written::Name, written::Cell)]| {
        let placed = |cell: &written::Cell| Placed::new(cell.inset.text.clone(), cell.span);
        pairs.iter().map(|(name, cell)| (name.0.clone(), placed(cell))).collect()
    };
    ExampleDraft {
        title: example.title.clone(),
        given: pairs(&example.given),
        expect: pairs(&example.expect),
        within: example.within.as_ref().map(|within| Placed::new(within.inset.text.clone(), within.span)),
        span: example.title.span,
    }
}
