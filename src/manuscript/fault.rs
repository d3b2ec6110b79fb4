//! A fault as written.

use super::prose::Prose;
use super::record::record;
use super::reference::{RefText, ToCheck, ToTask};
use super::value::Text;

record! {
    /// What is broken: the thing that a diagnosis ends on.
    pub struct Fault {
        /// The part or place.
        pub part: Text,
        /// Why it fails, in Markdown.
        pub cause: Prose,
        /// What gives it away, in Markdown.
        pub signs: Prose,
        /// The task that mends it; may be left out if there is a remedy.
        pub mend: Option<RefText<ToTask>>,
        /// What to do when there is no task, in Markdown.
        pub remedy: Option<Prose>,
        /// The check that proves the fault or its repair.
        pub proved_by: RefText<ToCheck>,
    }
}
