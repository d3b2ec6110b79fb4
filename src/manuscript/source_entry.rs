//! A source as written.

use super::prose::Prose;
use super::record::record;
use super::value::Text;
use super::words::SourceKind;
use crate::source::Placed;

record! {
    /// Where figures come from.
    pub struct SourceEntry {
        /// What sort of source it is.
        pub kind: Placed<SourceKind>,
        /// The standards body or agency.
        pub publisher: Option<Text>,
        /// The edition, in quotes if it is a year.
        pub edition: Option<Text>,
        /// What was checked and how sure we are, in Markdown.
        pub note: Option<Prose>,
    }
}
