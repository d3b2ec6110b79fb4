//! What every kind of entry has.

use crate::source::{Placed, Span};

use super::prose::Prose;
use super::record::record;
use super::reference::{RefText, ToAny, ToSource};
use super::value::Text;

/// One entry as written.
#[derive(Debug, Clone)]
pub struct Entry<T> {
    /// The file's stem; the place is the start of the file.
    pub id: Placed<String>,
    pub common: Common,
    pub written: T,
}

impl<T> Entry<T> {
    /// The place of the title: the one to point at when the entry as a whole is meant.
    pub fn place(&self) -> Span {
        self.common.title.span
    }
}

record! {
    /// The fields of every kind of entry.
    pub struct Common {
        /// Short, unique among its kind, in sentence case.
        pub title: Text,
        /// One sentence, shown in lists and search.
        pub summary: Text,
        /// Other names that people type; they feed the search.
        pub also: Vec<Text>,
        /// More prose, in Markdown.
        pub body: Option<Prose>,
        /// Related entries.
        pub see: Vec<RefText<ToAny>>,
        /// Where the figures come from.
        pub sources: Vec<Citation>,
    }
}

record! {
    /// Where a figure comes from.
    pub struct Citation {
        /// The source.
        pub from: RefText<ToSource>,
        /// The clause or table in the source.
        pub at: Option<Text>,
        /// Which figure is meant, if the entry has several.
        pub r#for: Option<Text>,
    }
}
