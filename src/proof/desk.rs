//! What every kind's check needs at hand: the names, the places, and where problems go.

use rayon::prelude::*;

use super::kind;
use super::names::{Known, Names};
use super::places::{EntryPlaces, Places};
use super::prose;
use crate::diagnostic::{Diagnostic, Problems};
use crate::handbook::{self, Citation, Common, Name, Severity, State, Touches};
use crate::manuscript::{self, Entry, Manuscript, RefText, Target};
use crate::source::{Placed, Span};

/// The guide's page that is made from the table of codes.
pub const PROBLEMS_PAGE: &str = "problems";

pub struct Desk {
    problems: Problems,
    names: Names,
    places: Places,
    has_guide: bool,
}

impl Desk {
    /// A desk that knows every entry's name, also of entries that could not be read in full.
    pub fn new(manuscript: &Manuscript, problems: Problems) -> Self {
        let mut names = Known::default();
        let mut add = |kind, id: &Placed<String>| names.add(kind, id);
        use crate::handbook::Kind;
        manuscript.symptoms.iter().for_each(|entry| add(Kind::Symptom, &entry.id));
        manuscript.faults.iter().for_each(|entry| add(Kind::Fault, &entry.id));
        manuscript.checks.iter().for_each(|entry| add(Kind::Check, &entry.id));
        manuscript.measurements.iter().for_each(|entry| add(Kind::Measurement, &entry.id));
        manuscript.safety.iter().for_each(|entry| add(Kind::Safety, &entry.id));
        manuscript.tasks.iter().for_each(|entry| add(Kind::Task, &entry.id));
        manuscript.tables.iter().for_each(|entry| add(Kind::Table, &entry.id));
        manuscript.calculators.iter().for_each(|entry| add(Kind::Calculator, &entry.id));
        manuscript.terms.iter().for_each(|entry| add(Kind::Term, &entry.id));
        manuscript.source_entries.iter().for_each(|entry| add(Kind::Source, &entry.id));
        manuscript.courses.iter().for_each(|entry| add(Kind::Course, &entry.id));
        manuscript.guide.iter().for_each(|page| add(Kind::Guide, &page.id));
        for (unread, id) in &manuscript.unread {
            names.add(kind(*unread), id);
        }
        let has_guide = !manuscript.guide.is_empty();
        if has_guide {
            names.add(Kind::Guide, PROBLEMS_PAGE);
        }
        Self { problems, names: Names::new(names), places: Places::default(), has_guide }
    }

    pub fn into_parts(self) -> (Names, Places, Problems) {
        (self.names, self.places, self.problems)
    }

    /// Gives each entry of a kind to `take`, on all cores, and keeps what it gives in the order of the entries.
    pub fn each<E: Sync, T: Send>(&mut self, entries: &[E], take: impl Fn(&E, &mut Desk) -> Option<T> + Sync) -> Vec<T> {
        /// Entries taken in a row at one desk.
        const ROW: usize = 128;
        let at_own_desk = |entries: &[E]| {
            let mut desk =
                Desk { problems: Problems::default(), names: self.names.unused(), places: Places::default(), has_guide: self.has_guide };
            let taken: Vec<T> = entries.iter().filter_map(|entry| take(entry, &mut desk)).collect();
            (taken, desk)
        };
        let rows: Vec<(Vec<T>, Desk)> = entries.par_chunks(ROW).map(at_own_desk).collect();
        let mut all = Vec::with_capacity(entries.len());
        for (taken, desk) in rows {
            all.extend(taken);
            self.problems.append(desk.problems);
            self.names.append(desk.names);
            self.places.append(desk.places);
        }
        all
    }

    /// Whether the guide's page of problems is to be added: there is a guide for it to be part of.
    pub fn guide_wants_problems(&self) -> bool {
        self.has_guide
    }

    /// How many problems were told of so far.
    pub fn n_problems(&self) -> usize {
        self.problems.len()
    }

    pub fn add(&mut self, diagnostic: Diagnostic) {
        self.problems.add(diagnostic);
    }

    pub fn prose(&mut self, prose: &manuscript::Prose) -> handbook::Prose {
        prose::prose(&prose.0, &mut self.names, &mut self.problems)
    }

    pub fn markdown(&mut self, inset: &crate::source::Inset) -> handbook::Prose {
        prose::prose(inset, &mut self.names, &mut self.problems)
    }

    pub fn link<T: Target>(&mut self, reference: &RefText<T>) -> Option<Name> {
        let kinds: Vec<_> = reference.kinds().iter().map(|written| kind(*written)).collect();
        self.names.resolve(reference, reference.span, &kinds, &mut self.problems)
    }

    pub fn links<T: Target>(&mut self, references: &[RefText<T>]) -> Vec<Name> {
        let Some(first) = references.first() else { return Vec::new() };
        let kinds: Vec<_> = first.kinds().iter().map(|written| kind(*written)).collect();
        self.names.resolve_all(references.iter().map(|reference| (reference.as_str(), reference.span)), &kinds, &mut self.problems)
    }

    pub fn citation(&mut self, citation: &manuscript::Citation) -> Option<Citation> {
        Some(Citation {
            source: self.link(&citation.from)?,
            at: citation.at.as_ref().map(|at| at.value.clone()),
            figure: citation.r#for.as_ref().map(|figure| figure.value.clone()),
        })
    }

    /// The common fields; the entry's place is noted.
    pub fn common<T>(&mut self, entry: &Entry<T>) -> Common {
        let common = &entry.common;
        Common {
            id: entry.id.value.clone(),
            title: common.title.value.clone(),
            summary: common.summary.value.clone(),
            also: texts(&common.also),
            body: common.body.as_ref().map(|body| self.prose(body)),
            see: self.links(&common.see),
            sources: common.sources.iter().filter_map(|citation| self.citation(citation)).collect(),
        }
    }

    pub fn note(&mut self, name: Name, places: EntryPlaces) {
        self.names.read_by(Some(name.clone()));
        self.places.add(name, places);
    }

    /// References from here on stand in a page, not in an entry.
    pub fn begin_page(&mut self) {
        self.names.read_by(None);
    }
}

pub fn texts(texts: &[Placed<String>]) -> Vec<String> {
    texts.iter().map(|text| text.value.clone()).collect()
}

/// The texts of a list of references with their places.
pub fn placed<T: Target>(references: &[RefText<T>]) -> impl Iterator<Item = (&str, Span)> {
    references.iter().map(|reference| (reference.as_str(), reference.span))
}

pub fn state(state: manuscript::State) -> State {
    match state {
        manuscript::State::Isolated => State::Isolated,
        manuscript::State::Powered => State::Powered,
        manuscript::State::GasOn => State::GasOn,
        manuscript::State::Firing => State::Firing,
    }
}

pub fn touches(touches: manuscript::Touches) -> Touches {
    match touches {
        manuscript::Touches::LineVoltage => Touches::LineVoltage,
        manuscript::Touches::GasTrain => Touches::GasTrain,
        manuscript::Touches::Combustion => Touches::Combustion,
        manuscript::Touches::HotSurface => Touches::HotSurface,
    }
}

pub fn severity(severity: manuscript::Severity) -> Severity {
    match severity {
        manuscript::Severity::Good => Severity::Good,
        manuscript::Severity::Watch => Severity::Watch,
        manuscript::Severity::Act => Severity::Act,
        manuscript::Severity::Stop => Severity::Stop,
    }
}
