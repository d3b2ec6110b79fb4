//! The written fields of a calculator as a draft for the formula compiler.

use crate::formula::{
    BandDraft, ByDraft, ChoiceDraft, Draft, DrawingDraft, ExampleDraft, GivenDraft, HowDraft, InputDraft, InputKindDraft, IsDraft,
    LaneDraft, Nearest, PartDraft, PartKind, PhaseDraft, PickDraft, PlotDraft, ResultDraft, RowDraft, RowsDraft, RowsResultDraft,
    SolveDraft, StepDraft, TimelineDraft, VerdictDraft,
};
use crate::manuscript::{self as written, CellValue};
use crate::source::{Inset, Placed, Span};

pub(super) fn draft(sum: &written::Calculator) -> Draft {
    Draft {
        inputs: sum.inputs.iter().map(input).collect(),
        solve: sum.solve.as_ref().map(solve),
        rows: sum.rows.iter().map(rows).collect(),
        steps: sum.steps.iter().map(step).collect(),
        verdicts: sum.verdicts.iter().map(verdict).collect(),
        result: sum.result.iter().map(result).collect(),
        plot: sum.plot.as_ref().map(plot),
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
            when: step.when.as_ref().map(formula),
            how: HowDraft::Formula(formula(&step.formula)),
        },
        written::Step::First(step) => StepDraft {
            id: step.id.0.clone(),
            title: step.title.clone(),
            unit: step.unit.clone(),
            digits: digits(&step.digits),
            when: step.when.as_ref().map(formula),
            how: pick(&step.pick, &step.column, ByDraft::First(formula(&step.first)), &step.none),
        },
        written::Step::Exact(step) => StepDraft {
            id: step.id.0.clone(),
            title: step.title.clone(),
            unit: step.unit.clone(),
            digits: digits(&step.digits),
            when: step.when.as_ref().map(formula),
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
                when: step.when.as_ref().map(formula),
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

fn plot(plot: &written::Plot) -> PlotDraft {
    PlotDraft { title: plot.title.clone(), of: plot.of.0.clone(), over: plot.over.0.clone(), from: plot.from.clone(), to: plot.to.clone() }
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

fn solve(solve: &written::Solve) -> SolveDraft {
    SolveDraft {
        id: solve.id.0.clone(),
        title: solve.title.clone(),
        formula: formula(&solve.formula),
        unknown: solve.unknown.iter().map(|unknown| unknown.0.clone()).collect(),
        start: solve.start.0.clone(),
        digits: digits(&solve.digits),
    }
}

fn rows(list: &written::Rows) -> RowsDraft {
    RowsDraft {
        id: list.id.0.clone(),
        title: list.title.clone(),
        row: list.row.clone(),
        called: list.called.as_ref().map(|called| called.0.clone()),
        shows: list.shows.iter().map(|step| step.0.clone()).collect(),
        least: list.least.clone(),
        most: list.most.clone(),
        fields: list.fields.iter().map(input).collect(),
        steps: list.steps.iter().map(step).collect(),
        start: list.start.iter().map(|row| texts(row)).collect(),
    }
}

fn result(part: &written::ResultPart) -> ResultDraft {
    match part {
        written::ResultPart::Step(part) => ResultDraft::Step(part.step.0.clone()),
        written::ResultPart::Rows(part) => ResultDraft::Rows(RowsResultDraft {
            rows: part.rows.0.clone(),
            title: part.title.clone(),
            only: part.r#where.as_ref().map(|name| name.0.clone()),
            unless: part.unless.as_ref().map(|name| name.0.clone()),
            shows: part.shows.iter().map(|step| step.0.clone()).collect(),
            none: part.none.clone(),
        }),
    }
}

fn texts(row: &[(written::Name, written::Cell)]) -> RowDraft {
    row.iter().map(|(name, cell)| (name.0.clone(), text(cell))).collect()
}

fn text(cell: &written::Cell) -> Placed<String> {
    Placed::new(cell.inset.text.clone(), cell.span)
}

fn expected(cell: &written::Cell) -> Placed<Option<String>> {
    Placed::new((cell.value != written::CellValue::Empty).then(|| cell.inset.text.clone()), cell.span)
}

fn example(example: &written::Example) -> ExampleDraft {
    let given = |given: &written::Given| match given {
        written::Given::Value(cell) => GivenDraft::Text(text(cell)),
        written::Given::Rows(rows) => GivenDraft::Rows(rows.iter().map(|row| texts(row)).collect()),
    };
    ExampleDraft {
        title: example.title.clone(),
        given: example.given.iter().map(|(name, value)| (name.0.clone(), given(value))).collect(),
        expect: example.expect.iter().map(|(name, cell)| (name.0.clone(), expected(cell))).collect(),
        within: example.within.as_ref().map(text),
        span: example.title.span,
    }
}
