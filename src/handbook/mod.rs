//! The model: a handbook that is resolved and whole. Only the proof stage makes one out of entries, so that nothing
//! unchecked reaches a page.
//!
//! Every name in here leads to an entry that exists; every measurement's bands cover its scale; every calculator's worked
//! examples have come out.

mod anchor;
mod book;
mod calculator;
mod check;
mod common;
mod course;
mod fault;
mod measurement;
mod name;
mod odds;
mod plain;
mod record;
mod safety;
mod source_entry;
mod symptom;
mod table;
mod task;
mod term;

use std::collections::BTreeMap;

pub use anchor::{anchor, anchors, slug};
pub use book::{Book, GuidePage, SafetyRule, Stage, StateChange, UnitSystem};
pub use calculator::{BandWords, Calculator, Disagreement, InputWords, ListWords, StepWords, WorkedExample};
pub use check::{Check, Outcome, Seen};
pub use common::{Citation, Common, Prose, State, Touches};
pub use course::{Course, Module, Quiz};
pub use fault::{Fault, Mend};
pub use measurement::{Band, Measurement, Severity};
pub use name::{Kind, Name};
pub use record::{Call, Record, Share, USUAL_STRENGTH};
pub use safety::{SafetyNote, Signal};
pub use source_entry::{SourceEntry, SourceKind};
pub use symptom::{Basis, Suspect, Symptom};
pub use table::{Cell, Column, Table};
pub use task::{Step, Task};
pub use term::Term;

/// A whole handbook; each list is in the order of ids.
#[derive(Debug, Clone, Default)]
pub struct Handbook {
    pub book: Book,
    pub symptoms: Vec<Symptom>,
    pub faults: Vec<Fault>,
    pub checks: Vec<Check>,
    pub measurements: Vec<Measurement>,
    pub safety: Vec<SafetyNote>,
    pub tasks: Vec<Task>,
    pub tables: Vec<Table>,
    pub calculators: Vec<Calculator>,
    pub terms: Vec<Term>,
    pub sources: Vec<SourceEntry>,
    pub courses: Vec<Course>,
    /// In reading order.
    pub guide: Vec<GuidePage>,
    /// The shop's past calls, if the handbook has them.
    pub record: Option<Record>,
}

/// One entry of any kind.
#[derive(Debug, Clone, Copy)]
pub enum Entry<'a> {
    Symptom(&'a Symptom),
    Fault(&'a Fault),
    Check(&'a Check),
    Measurement(&'a Measurement),
    Safety(&'a SafetyNote),
    Task(&'a Task),
    Table(&'a Table),
    Calculator(&'a Calculator),
    Term(&'a Term),
    Source(&'a SourceEntry),
    Course(&'a Course),
}

impl Handbook {
    /// Every entry, by kind and then by id. Guide pages are not entries.
    pub fn entries(&self) -> impl Iterator<Item = Entry<'_>> {
        let symptoms = self.symptoms.iter().map(Entry::Symptom);
        let faults = self.faults.iter().map(Entry::Fault);
        let checks = self.checks.iter().map(Entry::Check);
        let measurements = self.measurements.iter().map(Entry::Measurement);
        let safety = self.safety.iter().map(Entry::Safety);
        let tasks = self.tasks.iter().map(Entry::Task);
        let tables = self.tables.iter().map(Entry::Table);
        let calculators = self.calculators.iter().map(Entry::Calculator);
        let terms = self.terms.iter().map(Entry::Term);
        let sources = self.sources.iter().map(Entry::Source);
        let courses = self.courses.iter().map(Entry::Course);
        symptoms
            .chain(faults)
            .chain(checks)
            .chain(measurements)
            .chain(safety)
            .chain(tasks)
            .chain(tables)
            .chain(calculators)
            .chain(terms)
            .chain(sources)
            .chain(courses)
    }

    /// The entry of a name; `None` for a guide page or a name that is not of this handbook.
    pub fn entry(&self, name: &Name) -> Option<Entry<'_>> {
        fn at<'a, T>(list: &'a [T], id: &str, common: impl Fn(&T) -> &Common) -> Option<&'a T> {
            list.binary_search_by(|entry| common(entry).id.as_str().cmp(id)).ok().map(|at| &list[at])
        }
        let id = name.id.as_str();
        match name.kind {
            Kind::Symptom => at(&self.symptoms, id, |entry| &entry.common).map(Entry::Symptom),
            Kind::Fault => at(&self.faults, id, |entry| &entry.common).map(Entry::Fault),
            Kind::Check => at(&self.checks, id, |entry| &entry.common).map(Entry::Check),
            Kind::Measurement => at(&self.measurements, id, |entry| &entry.common).map(Entry::Measurement),
            Kind::Safety => at(&self.safety, id, |entry| &entry.common).map(Entry::Safety),
            Kind::Task => at(&self.tasks, id, |entry| &entry.common).map(Entry::Task),
            Kind::Table => at(&self.tables, id, |entry| &entry.common).map(Entry::Table),
            Kind::Calculator => at(&self.calculators, id, |entry| &entry.common).map(Entry::Calculator),
            Kind::Term => at(&self.terms, id, |entry| &entry.common).map(Entry::Term),
            Kind::Source => at(&self.sources, id, |entry| &entry.common).map(Entry::Source),
            Kind::Course => at(&self.courses, id, |entry| &entry.common).map(Entry::Course),
            Kind::Guide => None,
        }
    }

    /// The chances of a symptom's faults, in their order; together 1. Past calls count if the handbook has any.
    pub fn chances(&self, symptom: &Symptom) -> Vec<f64> {
        let whole: f64 = symptom.suspects.iter().map(|suspect| suspect.weight).sum();
        match &self.record {
            Some(record) => record.shares(symptom).iter().map(Share::now).collect(),
            None => symptom.suspects.iter().map(|suspect| suspect.weight / whole).collect(),
        }
    }

    /// The checks that a symptom lists and all that must come before them, in the order of ids.
    pub fn checks_of(&self, symptom: &Symptom) -> Vec<&Check> {
        let mut found: BTreeMap<&str, &Check> = BTreeMap::new();
        let mut open: Vec<&Name> = symptom.checks.iter().collect();
        while let Some(name) = open.pop() {
            if let Some(Entry::Check(check)) = self.entry(name)
                && found.insert(&check.common.id, check).is_none()
            {
                open.extend(&check.after);
            }
        }
        found.into_values().collect()
    }

    /// A check and all that must come before it, in an order in which they can be done. A circle, which is a problem of its own,
    /// is cut where it closes.
    pub fn up_to(&self, last: &Name) -> Vec<&Check> {
        self.in_order([last])
    }

    /// Checks in the order given, each after those that must come before it; each once.
    pub fn in_order<'a>(&self, names: impl IntoIterator<Item = &'a Name>) -> Vec<&Check> {
        fn add<'a>(handbook: &'a Handbook, name: &Name, met: &mut Vec<&'a str>, order: &mut Vec<&'a Check>) {
            let Some(Entry::Check(check)) = handbook.entry(name) else { return };
            if met.contains(&check.common.id.as_str()) {
                return;
            }
            met.push(&check.common.id);
            for earlier in &check.after {
                add(handbook, earlier, met, order);
            }
            order.push(check);
        }
        let (mut met, mut order) = (Vec::new(), Vec::new());
        names.into_iter().for_each(|name| add(self, name, &mut met, &mut order));
        order
    }

    /// The title of an entry or a guide page.
    pub fn title(&self, name: &Name) -> Option<&str> {
        match name.kind {
            Kind::Guide => self.guide.iter().find(|page| page.id == name.id).map(|page| page.title.as_str()),
            _ => self.entry(name).map(|entry| entry.common().title.as_str()),
        }
    }
}

/// An order of checks is worked out for a symptom with up to this many faults, and as many checks.
pub const MOST_IN_ORDER: usize = 64;

impl<'a> Entry<'a> {
    pub fn common(self) -> &'a Common {
        match self {
            Entry::Symptom(entry) => &entry.common,
            Entry::Fault(entry) => &entry.common,
            Entry::Check(entry) => &entry.common,
            Entry::Measurement(entry) => &entry.common,
            Entry::Safety(entry) => &entry.common,
            Entry::Task(entry) => &entry.common,
            Entry::Table(entry) => &entry.common,
            Entry::Calculator(entry) => &entry.common,
            Entry::Term(entry) => &entry.common,
            Entry::Source(entry) => &entry.common,
            Entry::Course(entry) => &entry.common,
        }
    }

    pub fn kind(self) -> Kind {
        match self {
            Entry::Symptom(_) => Kind::Symptom,
            Entry::Fault(_) => Kind::Fault,
            Entry::Check(_) => Kind::Check,
            Entry::Measurement(_) => Kind::Measurement,
            Entry::Safety(_) => Kind::Safety,
            Entry::Task(_) => Kind::Task,
            Entry::Table(_) => Kind::Table,
            Entry::Calculator(_) => Kind::Calculator,
            Entry::Term(_) => Kind::Term,
            Entry::Source(_) => Kind::Source,
            Entry::Course(_) => Kind::Course,
        }
    }

    pub fn name(self) -> Name {
        Name { kind: self.kind(), id: self.common().id.clone() }
    }
}
