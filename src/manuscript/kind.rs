//! The kinds of entries, their folders and the prefixes of references to them.

use super::record::names;

names! {
    /// A kind of page that a reference can lead to; its name is the reference's prefix.
    pub enum Kind {
        /// What can be seen or heard, and the stage at which the sequence stops.
        Symptom = "symptom",
        /// What is broken.
        Fault = "fault",
        /// One thing to do that tells faults apart.
        Check = "check",
        /// One quantity and what its readings mean.
        Measurement = "measurement",
        /// A hazard and what controls it.
        Safety = "safety",
        /// A repair or replacement, step by step.
        Task = "task",
        /// Published figures.
        Table = "table",
        /// A worked sum.
        Calculator = "calculator",
        /// A word of the glossary.
        Term = "term",
        /// Where figures come from.
        Source = "source",
        /// Modules of lessons with sign-off.
        Course = "course",
        /// A page of plain Markdown.
        Guide = "guide",
    }
}

impl Kind {
    /// The kinds that are written in YAML, one file an entry: all but the guide's pages.
    pub fn entries() -> impl Iterator<Item = Kind> {
        Self::ALL.iter().copied().filter(|kind| *kind != Kind::Guide)
    }

    /// The folder of the handbook in which the kind's files stand.
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

    /// The kind whose files stand in a folder of this name.
    pub fn of_folder(folder: &str) -> Option<Kind> {
        Self::ALL.iter().copied().find(|kind| kind.folder() == folder)
    }

    /// Whether entries of the kind hold figures and must name a source for them.
    pub fn needs_sources(self) -> bool {
        matches!(self, Kind::Measurement | Kind::Table | Kind::Calculator | Kind::Safety)
    }
}
