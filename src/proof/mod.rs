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

use crate::diagnostic::{Code, Diagnostic, Problems};
use crate::handbook::{Handbook, Kind, Record, USUAL_STRENGTH};
use crate::manuscript::Manuscript;
use crate::source::Span;

use desk::Desk;

/// Checks a whole manuscript. The handbook is `None` if an error stands in `problems`, be it from reading or from here.
pub fn proof(manuscript: &Manuscript, mut problems: Problems) -> (Option<Handbook>, Problems) {
    let mut desk = Desk::new(manuscript, &mut problems);
    let mut handbook = resolve(manuscript, &mut desk);
    let (names, places) = desk.into_parts();
    handbook.record = record(manuscript, &handbook, &mut problems);
    rules::rules(&handbook, &places, &mut problems);
    graph::circles(&handbook, &places, &mut problems);
    order::read_after_erased(&handbook, &places, &mut problems);
    order::erased_as_written(&handbook, &places, &mut problems);
    order::out_of_order(&handbook, &places, &mut problems);
    parting::contradictions(&handbook, &places, &mut problems);
    graph::unreachable_faults(&handbook, &places, &mut problems);
    graph::twin_titles(&handbook, &places, &mut problems);
    if problems.has_errors() {
        return (None, problems);
    }
    parting::parting(&handbook, &places, &mut problems);
    // Only a whole handbook knows who refers to whom.
    graph::orphans(&handbook, &names, &places, &mut problems);
    (Some(handbook), problems)
}

/// The record that `handbook.yaml` names; others beside it are told of.
fn record(manuscript: &Manuscript, handbook: &Handbook, problems: &mut Problems) -> Option<Record> {
    // With a mistake in handbook.yaml nobody knows what it names.
    let named = manuscript.handbook.as_ref()?.record.as_ref();
    let path = |id| manuscript.sources.get(id).map_or("", |source| source.path.as_str());
    for stray in manuscript.records.iter().filter(|id| named.is_none_or(|named| named.file.value != path(**id))) {
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
    Some(Record { calls: calls(id, text, handbook, problems), strength })
}

fn resolve(manuscript: &Manuscript, desk: &mut Desk) -> Handbook {
    let mut handbook = Handbook { book: book::book(manuscript, desk), ..Handbook::default() };
    handbook.measurements = manuscript.measurements.iter().filter_map(|entry| measurement::measurement(entry, desk)).collect();
    handbook.checks = manuscript.checks.iter().filter_map(|entry| check::check(entry, manuscript, desk)).collect();
    handbook.symptoms = manuscript.symptoms.iter().filter_map(|entry| symptom::symptom(entry, manuscript, desk)).collect();
    handbook.faults = manuscript.faults.iter().filter_map(|entry| fault::fault(entry, desk)).collect();
    handbook.safety = manuscript.safety.iter().map(|entry| safety::safety(entry, desk)).collect();
    handbook.terms = manuscript.terms.iter().map(|entry| term::term(entry, desk)).collect();
    handbook.sources = manuscript.source_entries.iter().map(|entry| source_entry::source(entry, desk)).collect();
    handbook.tasks = manuscript.tasks.iter().map(|entry| task::task(entry, desk)).collect();
    handbook.courses = manuscript.courses.iter().map(|entry| course::course(entry, desk)).collect();
    let tables = table::tables(manuscript, desk);
    let programs = calculator::programs(&manuscript.calculators, &tables.for_formulas);
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
