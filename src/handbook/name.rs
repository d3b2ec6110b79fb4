//! Kinds of entry and the names that lead to entries.

use std::fmt;

/// A kind of entry, in the order in which kinds are listed everywhere.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    Symptom,
    Fault,
    Check,
    Measurement,
    Safety,
    Task,
    Table,
    Calculator,
    Term,
    Source,
    Course,
    Guide,
}

/// What leads to an entry: its kind and its id, written `check:prove-dead`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Name {
    pub kind: Kind,
    pub id: String,
}

impl Kind {
    pub const ALL: [Kind; 12] = [
        Kind::Symptom,
        Kind::Fault,
        Kind::Check,
        Kind::Measurement,
        Kind::Safety,
        Kind::Task,
        Kind::Table,
        Kind::Calculator,
        Kind::Term,
        Kind::Source,
        Kind::Course,
        Kind::Guide,
    ];

    /// The word before the colon of a reference.
    pub fn prefix(self) -> &'static str {
        match self {
            Kind::Symptom => "symptom",
            Kind::Fault => "fault",
            Kind::Check => "check",
            Kind::Measurement => "measurement",
            Kind::Safety => "safety",
            Kind::Task => "task",
            Kind::Table => "table",
            Kind::Calculator => "calculator",
            Kind::Term => "term",
            Kind::Source => "source",
            Kind::Course => "course",
            Kind::Guide => "guide",
        }
    }

    /// The folder in the handbook and in the site.
    pub fn folder(self) -> &'static str {
        match self {
            Kind::Symptom => "symptoms",
            Kind::Fault => "faults",
            Kind::Check => "checks",
            Kind::Measurement => "measurements",
            Kind::Safety => "safety",
            Kind::Task => "tasks",
            Kind::Table => "tables",
            Kind::Calculator => "calculators",
            Kind::Term => "terms",
            Kind::Source => "sources",
            Kind::Course => "courses",
            Kind::Guide => "guide",
        }
    }

    /// The word readers see for one entry.
    pub fn word(self) -> &'static str {
        match self {
            Kind::Symptom => "Symptom",
            Kind::Fault => "Fault",
            Kind::Check => "Check",
            Kind::Measurement => "Measurement",
            Kind::Safety => "Safety note",
            Kind::Task => "Task",
            Kind::Table => "Table",
            Kind::Calculator => "Calculator",
            Kind::Term => "Term",
            Kind::Source => "Source",
            Kind::Course => "Course",
            Kind::Guide => "Authors' guide",
        }
    }

    /// The word readers see for many.
    pub fn words(self) -> &'static str {
        match self {
            Kind::Symptom => "Symptoms",
            Kind::Fault => "Faults",
            Kind::Check => "Checks",
            Kind::Measurement => "Measurements",
            Kind::Safety => "Safety notes",
            Kind::Task => "Tasks",
            Kind::Table => "Tables",
            Kind::Calculator => "Calculators",
            Kind::Term => "Terms",
            Kind::Source => "Sources",
            Kind::Course => "Courses",
            Kind::Guide => "Authors' guide",
        }
    }

    pub fn from_prefix(prefix: &str) -> Option<Kind> {
        Kind::ALL.into_iter().find(|kind| kind.prefix() == prefix)
    }
}

impl Name {
    pub fn new(kind: Kind, id: impl Into<String>) -> Self {
        Self { kind, id: id.into() }
    }

    /// Takes a reference apart; `None` if it is not of the form `kind:id`.
    pub fn parse(text: &str) -> Option<Name> {
        let (prefix, id) = text.split_once(':')?;
        let kind = Kind::from_prefix(prefix)?;
        let whole = !id.is_empty() && id.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-');
        whole.then(|| Name::new(kind, id))
    }
}

impl fmt::Display for Name {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{}:{}", self.kind.prefix(), self.id)
    }
}
