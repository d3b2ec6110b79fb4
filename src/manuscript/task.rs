//! A task as written.

use super::list::List;
use super::number::{Positive, Ranged};
use super::prose::Prose;
use super::record::record;
use super::reference::{RefText, ToCheck, ToSafety, ToUse};
use super::value::Text;
use super::words::{State, Touches};
use crate::source::Placed;

record! {
    /// A repair or a replacement, step by step.
    pub struct Task {
        /// The state that the appliance is in when it starts.
        pub state: Placed<State>,
        /// What the work touches that can hurt; `[]` for nothing.
        pub touches: List<Placed<Touches>, 0>,
        /// How long it takes, in minutes; above 0.
        pub minutes: Ranged<Positive>,
        /// What to bring.
        pub tools: Vec<Text>,
        /// What is used up or replaced.
        pub parts: Vec<Text>,
        /// Safety notes to show; the handbook's rules say which are needed.
        pub safety: Vec<RefText<ToSafety>>,
        /// What to do, in order.
        pub steps: List<TaskStep, 1>,
        /// Checks to end the work with.
        pub closing: Vec<RefText<ToCheck>>,
        /// What goes into the handover record.
        pub record: Vec<Text>,
    }
}

record! {
    /// One step of a task.
    pub struct TaskStep {
        /// What to do, in Markdown.
        pub r#do: Prose,
        /// Why, in Markdown.
        pub why: Option<Prose>,
        /// The state that the appliance changes to at this step.
        pub state: Option<Placed<State>>,
        /// Entries shown with the step.
        pub r#use: Vec<RefText<ToUse>>,
    }
}
