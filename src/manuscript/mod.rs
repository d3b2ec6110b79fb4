//! Read: from a folder of YAML to entries as written, every value with its place.

mod calculator;
mod check;
mod course;
mod decode;
mod entry;
mod fault;
mod file;
mod folder;
mod guide;
mod handbook;
mod kind;
mod list;
mod measurement;
mod node;
mod number;
mod picture;
mod prose;
mod read;
mod record;
mod reference;
mod rows;
mod safety;
mod scalar;
mod schema;
mod source_entry;
mod symptom;
mod table;
mod task;
mod term;
mod value;
mod words;
mod yaml;
mod yaml_error;

pub use calculator::*;
pub use check::{Check, Outcome};
pub use course::{Course, Module, Quiz};
pub use entry::{Citation, Common, Entry};
pub use fault::Fault;
pub use file::LARGEST;
pub use guide::GuidePage;
pub use handbook::{HandbookFile, SafetyRule, Stage, StateChange};
pub use kind::Kind;
pub use list::{List, OneOrMore, Pairs};
pub use measurement::{Band, Measurement, Scale};
pub use node::{Node, NodeKind};
pub use number::{Chance, NotNegative, Positive, Ranged};
pub use picture::{Drawing, Lane, Phase, Plot, RepeatPhase, SinglePhase, Timeline};
pub use prose::{Cell, CellValue, FormulaText, Prose};
pub use read::{Book, read, read_texts};
pub use reference::*;
pub use rows::{Given, ResultPart, Rows, RowsResult, Solve, StepResult};
pub use safety::Safety;
pub use schema::{handbook_schema, schema};
pub use source_entry::SourceEntry;
pub use symptom::{Suspect, Symptom};
pub use table::{Column, Table};
pub use task::{Task, TaskStep};
pub use term::Term;
pub use value::{Name, Text, Word};
pub use words::{Basis, ColumnKind, DrawingKind, How, Severity, Signal, SourceKind, State, Topic, Touches, Units, Work};
pub use yaml::parse as parse_yaml;

use std::collections::BTreeSet;

use crate::source::{SourceId, Sources};

/// A handbook's entries as written, each kind in order of ids.
#[derive(Debug, Clone, Default)]
pub struct Manuscript {
    pub sources: Sources,
    pub handbook: Option<HandbookFile>,
    pub symptoms: Vec<Entry<Symptom>>,
    pub faults: Vec<Entry<Fault>>,
    pub checks: Vec<Entry<Check>>,
    pub measurements: Vec<Entry<Measurement>>,
    pub safety: Vec<Entry<Safety>>,
    pub tasks: Vec<Entry<Task>>,
    pub tables: Vec<Entry<Table>>,
    pub calculators: Vec<Entry<Calculator>>,
    pub terms: Vec<Entry<Term>>,
    pub source_entries: Vec<Entry<SourceEntry>>,
    pub courses: Vec<Entry<Course>>,
    /// In order of number, then id.
    pub guide: Vec<GuidePage>,
    /// Tables of calls beside `handbook.yaml`, whether it names them or not.
    pub records: Vec<SourceId>,
    /// Entries that have a file but could not be read in full, or stand in a folder that is not read: a link to one of them is
    /// not broken.
    pub unread: BTreeSet<(Kind, String)>,
}

impl Manuscript {
    /// Files come in order of paths, in which `a-b.yaml` stands before `a.yaml`; entries stand in order of ids.
    fn in_order_of_ids(&mut self) {
        fn sort<T>(entries: &mut [Entry<T>]) {
            entries.sort_by(|a, b| a.id.value.cmp(&b.id.value));
        }
        sort(&mut self.symptoms);
        sort(&mut self.faults);
        sort(&mut self.checks);
        sort(&mut self.measurements);
        sort(&mut self.safety);
        sort(&mut self.tasks);
        sort(&mut self.tables);
        sort(&mut self.calculators);
        sort(&mut self.terms);
        sort(&mut self.source_entries);
        sort(&mut self.courses);
    }
}
