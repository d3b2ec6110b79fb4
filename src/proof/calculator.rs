//! Calculators: the written fields become a draft for the formula compiler, which types it and works its examples.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::desk::{Desk, severity};
use super::draft::draft;
use super::places::EntryPlaces;
use crate::diagnostic::{Code, Diagnostic, Problems};
use crate::formula::{Program, Table, Unit};
use crate::handbook::{BandWords, Calculator, Disagreement, InputWords, Kind, ListWords, Name, StepWords, WorkedExample};
use crate::manuscript::{self as written, Entry};

/// What the compiler makes of a calculator, and what is wrong with it.
pub type Built = (Option<Program>, Problems);

/// Types and compiles all calculators and works their examples, on all cores.
pub fn programs(entries: &[Entry<written::Calculator>], tables: &BTreeMap<String, Table>) -> Vec<Built> {
    let build = |entry: &Entry<written::Calculator>| {
        let mut problems = Problems::default();
        let program = Program::build(&draft(&entry.written), tables, &mut problems);
        (program, problems)
    };
    entries.par_iter().map(build).collect()
}

/// The steps of a calculator, those of its rows too.
fn steps(sum: &written::Calculator) -> impl Iterator<Item = &written::Step> {
    sum.steps.iter().chain(sum.rows.iter().flat_map(|list| &list.steps))
}

pub fn calculator(entry: &Entry<written::Calculator>, (program, problems): Built, desk: &mut Desk) -> Option<Calculator> {
    desk.note(Name::new(Kind::Calculator, entry.id.value.clone()), EntryPlaces::new(entry.place()));
    let sum = &entry.written;
    if sum.examples.is_empty() {
        let diagnostic = Diagnostic::new(Code::TooFewExamples, entry.place(), "expected at least one worked example, found none");
        desk.add(diagnostic.hint("take one from a published source and give its figures under `examples`"));
    }
    let common = desk.common(entry);
    let mut inputs: Vec<InputWords> = sum.inputs.iter().map(|input| input_words(input, desk)).collect();
    let lists = sum.rows.iter().map(|list| list_words(list, desk)).collect();
    let mut steps: Vec<StepWords> = sum.steps.iter().map(|step| step_words(step, desk)).collect();
    let solved = sum.solve.as_ref().map(|solve| (solve.unknown.len(), words(&solve.why, &solve.source, desk)));
    let verdicts = sum.verdicts.iter().map(|verdict| verdict.bands.iter().map(|band| band_words(band, desk)).collect()).collect();
    let cited: Vec<_> = sum.examples.iter().map(|example| desk.citation(&example.source)).collect();
    let disagree = sum.disagree.iter().filter_map(|figure| disagreement(figure, desk)).collect();
    let next = desk.links(&sum.next);
    // Tables that do not exist were told of with their references; one that exists but has problems of its own is no
    // fault of the calculator's.
    // So was a pick without a column to go by.
    let told = |problem: &&Diagnostic| {
        let no_column =
            |step: &written::Step| matches!(step, written::Step::Along(step) if step.at.is_empty() && step.pick.span == problem.span);
        problem.code == Code::BrokenLink || (problem.code == Code::MissingField && self::steps(sum).any(no_column))
    };
    problems.iter().filter(|problem| !told(problem)).for_each(|problem| desk.add(problem.clone()));
    let program = program?;
    // The choice of the unknown and the steps that solve for it are the compiler's own.
    if let (Some(solve), Some((count, words))) = (&program.solve, solved) {
        inputs.insert(solve.choice, InputWords::default());
        steps.splice(0..0, std::iter::repeat_n(words, count));
    }
    let examples = program.examples.iter().zip(cited).filter_map(|(example, source)| {
        Some(WorkedExample { title: example.title.clone(), shown: program.shown_example(example), source: source? })
    });
    let examples = examples.collect();
    Some(Calculator { common, program, inputs, lists, steps, verdicts, examples, disagree, next })
}

fn list_words(list: &written::Rows, desk: &mut Desk) -> ListWords {
    ListWords {
        fields: list.fields.iter().map(|field| input_words(field, desk)).collect(),
        steps: list.steps.iter().map(|step| step_words(step, desk)).collect(),
    }
}

fn words(why: &Option<written::Text>, source: &Option<written::Citation>, desk: &mut Desk) -> StepWords {
    StepWords { why: why.as_ref().map(|why| why.value.clone()), source: source.as_ref().and_then(|source| desk.citation(source)) }
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
    words(why, source, desk)
}

fn band_words(band: &written::VerdictBand, desk: &mut Desk) -> BandWords {
    BandWords { severity: severity(band.severity.value), says: desk.prose(&band.says), next: desk.links(&band.next) }
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
    let unit = spaces.filter_map(|at| Some((&text[..at], Unit::known(&text[at + 1..])?))).next();
    unit.map_or_else(|| text.to_owned(), |(number, unit)| unit.with(number))
}
