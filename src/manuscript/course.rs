//! A course as written.

use super::list::List;
use super::prose::Prose;
use super::record::record;
use super::reference::{RefText, ToAny};
use super::value::Text;
use super::words::Topic;
use crate::source::Placed;

record! {
    /// Modules of lessons, each with a quiz and a hands-on sign-off.
    pub struct Course {
        /// The modules in order.
        pub modules: List<Module, 1>,
    }
}

record! {
    /// One module of a course.
    pub struct Module {
        /// What it is called.
        pub title: Text,
        /// What the apprentice can do afterwards, in Markdown.
        pub goal: Prose,
        /// The entries to study, in order.
        pub lessons: List<RefText<ToAny>, 1>,
        /// The quiz at the end.
        pub quiz: Option<Quiz>,
        /// What the lead watches the apprentice do.
        pub sign_off: List<Text, 0>,
    }
}

record! {
    /// A quiz made of derived items.
    pub struct Quiz {
        /// How many items it has.
        pub items: Placed<u32>,
        /// What they are about.
        pub topics: List<Placed<Topic>, 1>,
    }
}
