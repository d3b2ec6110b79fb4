//! A table of figures as written.

use super::list::{List, OneOrMore};
use super::prose::{Cell, Prose};
use super::record::record;
use super::value::{Name, Text};
use super::words::ColumnKind;
use crate::source::Placed;

record! {
    /// Published figures with their source.
    pub struct Table {
        /// The column, or columns, that tell rows apart.
        pub key: OneOrMore<Name>,
        /// The columns from left to right.
        pub columns: List<Column, 1>,
        /// A column of which rows stand in strictly rising order; needed for the next size up and for interpolation.
        pub order: Option<Name>,
        /// The rows, each as long as there are columns; `null` where there is no figure.
        pub rows: List<List<Cell, 1>, 1>,
        /// Notes under the table, in Markdown.
        pub notes: Option<Prose>,
    }
}

record! {
    /// One column of a table.
    pub struct Column {
        /// The name that formulas use.
        pub id: Name,
        /// Its heading.
        pub title: Text,
        /// The unit of its numbers: a UCUM code or the trade's spelling; none for plain numbers.
        pub unit: Option<Text>,
        /// `text` for a column of words; numbers otherwise.
        pub kind: Option<Placed<ColumnKind>>,
    }
}
