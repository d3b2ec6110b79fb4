//! A safety note as written.

use super::list::List;
use super::prose::Prose;
use super::record::record;
use super::words::Signal;
use crate::source::Placed;

record! {
    /// A hazard, its signal word, and what controls it.
    pub struct Safety {
        /// The signal word of ANSI Z535.
        pub signal: Placed<Signal>,
        /// What can happen, in Markdown.
        pub hazard: Prose,
        /// What to do about it, in Markdown.
        pub controls: List<Prose, 1>,
        /// When it must be shown, in Markdown.
        pub when: Prose,
    }
}
