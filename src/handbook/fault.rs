//! What is broken.

use super::{Common, Name, Prose};

#[derive(Debug, Clone)]
pub struct Fault {
    pub common: Common,
    /// The part or the place.
    pub part: String,
    pub cause: Prose,
    pub signs: Prose,
    pub mend: Mend,
    /// The check that proves the fault or its repair.
    pub proved_by: Name,
}

/// How a fault is mended: by a task, by words, or by a task with words of its own.
#[derive(Debug, Clone, Default)]
pub struct Mend {
    pub task: Option<Name>,
    pub remedy: Option<Prose>,
}
