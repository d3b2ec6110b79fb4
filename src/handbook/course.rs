//! Modules of lessons, each with its quiz and its hands-on sign-off.

use super::{Common, Name, Prose};

#[derive(Debug, Clone)]
pub struct Course {
    pub common: Common,
    pub modules: Vec<Module>,
}

#[derive(Debug, Clone)]
pub struct Module {
    pub title: String,
    /// What the apprentice can do afterwards.
    pub goal: Prose,
    pub lessons: Vec<Name>,
    pub quiz: Option<Quiz>,
    /// What the lead watches the apprentice do.
    pub sign_off: Vec<String>,
}

#[derive(Debug, Clone)]
pub struct Quiz {
    /// How many items, above 0.
    pub items: usize,
    /// Topics of the derived quizzes, such as `bands`.
    pub topics: Vec<String>,
}
