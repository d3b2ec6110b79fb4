//! Check and link: from entries as written to a handbook, or to what is wrong with them.
//!
//! Everything is looked at in one run. An entry with a problem still takes part, as far as it goes, so that its neighbours'
//! problems are told too; a handbook is given only if no error stands.

mod book;
mod calculator;
mod calls;
mod check;
mod course;
mod desk;
mod draft;
mod fault;
mod graph;
mod guide;
mod lesson;
mod measurement;
mod names;
mod order;
mod other_unit;
mod parting;
mod places;
mod prose;
mod rules;
mod safety;
mod source_entry;
mod symptom;
mod table;
mod task;
mod term;

pub use calls::calls;

use std::collections::BTreeSet;

use rayon::prelude::*;

use crate::diagnostic::{Code, Diagnostic, Problems};
use crate::handbook::{Entry, Handbook, Kind, Name, Record, USUAL_STRENGTH};
use crate::manuscript::Manuscript;
use crate::source::Span;

use desk::Desk;
use names::Names;
use places::Places;

/// Checks a whole manuscript. The handbook is `None` if an error stands in `problems`, be it from reading or from here.
pub fn proof(manuscript: &Manuscript, problems: Problems) -> (Option<Handbook>, Problems) {
    let mut desk = Desk::new(manuscript, problems);
    let mut handbook = resolve(manuscript, &mut desk);
    let (names, places, mut problems) = desk.into_parts();
    let in_doubt = in_doubt(manuscript, &handbook, &names);
    handbook.record = record(manuscript, &handbook, &in_doubt, &mut problems);
    let whole: [Look; 8] = [
        rules::rules,
        graph::circles,
        order::read_after_erased,
        order::erased_as_written,
        order::out_of_order,
        parting::contradictions,
        graph::unreachable_faults,
        graph::twin_titles,
    ];
    look(&whole, &handbook, &places, &mut problems);
    if problems.has_errors() {
        return (None, problems);
    }
    // Only a whole handbook knows who refers to whom.
    graph::orphans(&handbook, &names, &places, &mut problems);
    parting::parting(&handbook, &places, &mut problems);
    (Some(handbook), problems)
}

/// Looks for one kind of problem of the whole.
type Look = fn(&Handbook, &Places, &mut Problems);

/// Takes all looks, on all cores.
fn look(looks: &[Look], handbook: &Handbook, places: &Places, problems: &mut Problems) {
    let found = |look: &Look| {
        let mut problems = Problems::default();
        look(handbook, places, &mut problems);
        problems
    };
    let found: Vec<Problems> = looks.par_iter().map(found).collect();
    found.into_iter().for_each(|found| problems.append(found));
}

/// Symptoms and faults that have problems of their own: those that could not be read, and symptoms with a fault that leads nowhere
/// or stands twice in place of another.
fn in_doubt(manuscript: &Manuscript, handbook: &Handbook, names: &Names) -> BTreeSet<Name> {
    let unread = names.known_of(Kind::Symptom).chain(names.known_of(Kind::Fault)).filter(|name| handbook.entry(name).is_none());
    let symptoms = manuscript.symptoms.iter().filter_map(|written| {
        let name = Name::new(Kind::Symptom, written.id.value.clone());
        let Some(Entry::Symptom(symptom)) = handbook.entry(&name) else { return None };
        let faults: BTreeSet<&Name> = symptom.suspects.iter().map(|suspect| &suspect.fault).collect();
        (faults.len() < written.written.faults.len()).then_some(name)
    });
    unread.chain(symptoms).collect()
}

/// The record that `handbook.yaml` names; others beside it are told of.
fn record(manuscript: &Manuscript, handbook: &Handbook, in_doubt: &BTreeSet<Name>, problems: &mut Problems) -> Option<Record> {
    // With a mistake in handbook.yaml nobody knows what it names.
    let named = manuscript.handbook.as_ref()?.record.as_ref();
    let path = |id| manuscript.sources.get(id).map_or("", |source| source.path.as_str());
    // With its name misspelt there, the record beside it is no further mistake.
    let found = named.is_none_or(|named| manuscript.records.iter().any(|id| path(*id) == named.file.value));
    for stray in manuscript.records.iter().filter(|id| found && named.is_none_or(|named| named.file.value != path(**id))) {
        let diagnostic = Diagnostic::new(Code::StrayFile, Span::new(*stray, 0, 0), "a record of calls that `handbook.yaml` does not name");
        problems.add(diagnostic.hint(format!("name it there under `record`: {{file: {}}}", path(*stray))));
    }
    let named = named?;
    let Some(id) = manuscript.records.iter().copied().find(|id| path(*id) == named.file.value) else {
        let message = format!("there is no record `{}` beside handbook.yaml", named.file.value);
        let diagnostic = Diagnostic::new(Code::BrokenLink, named.file.span, message);
        problems.add(diagnostic.nearest(&named.file.value, manuscript.records.iter().map(|id| path(*id))).hint("its name ends in `.csv`"));
        return None;
    };
    let text = manuscript.sources.get(id).map_or("", |source| source.text.as_str());
    let strength = named.strength.as_ref().map_or(USUAL_STRENGTH, |strength| strength.value);
    Some(Record { calls: calls(id, text, handbook, in_doubt, problems), strength })
}

fn resolve(manuscript: &Manuscript, desk: &mut Desk) -> Handbook {
    let mut handbook = Handbook { book: book::book(manuscript, desk), ..Handbook::default() };
    handbook.measurements = desk.each(&manuscript.measurements, measurement::measurement);
    let measurements = manuscript.measurements.iter().rev().map(|entry| (entry.id.as_str(), entry)).collect();
    handbook.checks = desk.each(&manuscript.checks, |entry, desk| check::check(entry, &measurements, desk));
    handbook.symptoms = desk.each(&manuscript.symptoms, |entry, desk| symptom::symptom(entry, manuscript, desk));
    handbook.faults = desk.each(&manuscript.faults, fault::fault);
    handbook.safety = desk.each(&manuscript.safety, |entry, desk| Some(safety::safety(entry, desk)));
    handbook.terms = desk.each(&manuscript.terms, |entry, desk| Some(term::term(entry, desk)));
    handbook.sources = desk.each(&manuscript.source_entries, |entry, desk| Some(source_entry::source(entry, desk)));
    handbook.tasks = desk.each(&manuscript.tasks, |entry, desk| Some(task::task(entry, desk)));
    handbook.courses = desk.each(&manuscript.courses, |entry, desk| Some(course::course(entry, desk)));
    let tables = table::tables(manuscript, desk);
    let mut programs = calculator::programs(&manuscript.calculators, &tables.for_formulas);
    other_unit::columns(manuscript, &tables.for_formulas, &mut programs, desk);
    let sums = manuscript.calculators.iter().zip(programs);
    handbook.calculators = sums.filter_map(|(entry, built)| calculator::calculator(entry, built, desk)).collect();
    handbook.tables = tables.for_pages;
    handbook.guide = manuscript.guide.iter().map(|page| guide::guide(page, desk)).collect();
    if desk.guide_wants_problems() {
        handbook.guide.push(lesson::page(desk));
    }
    handbook
}

/// The reader's kind as the model's.
fn kind(kind: crate::manuscript::Kind) -> Kind {
    use crate::manuscript::Kind as Written;
    match kind {
        Written::Symptom => Kind::Symptom,
        Written::Fault => Kind::Fault,
        Written::Check => Kind::Check,
        Written::Measurement => Kind::Measurement,
        Written::Safety => Kind::Safety,
        Written::Task => Kind::Task,
        Written::Table => Kind::Table,
        Written::Calculator => Kind::Calculator,
        Written::Term => Kind::Term,
        Written::Source => Kind::Source,
        Written::Course => Kind::Course,
        Written::Guide => Kind::Guide,
    }
}
