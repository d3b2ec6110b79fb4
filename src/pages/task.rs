//! A task's page: what is needed, the steps, the closing tests, the record sheet.

use serde::Serialize;

use super::hazard::{self, HazardView};
use super::pen::{self, Link, Pen, StateView, TouchView};
use super::symptom::{CheckLine, check_lines};
use crate::handbook::{Step, Task};

/// `task` in the template.
#[derive(Serialize)]
pub(super) struct TaskView {
    state: StateView,
    touches: Vec<TouchView>,
    minutes: String,
    tools: Vec<String>,
    parts: Vec<String>,
    hazards: Vec<HazardView>,
    steps: Vec<StepView>,
    closing: Vec<CheckLine>,
    record: Vec<String>,
}

#[derive(Serialize)]
struct StepView {
    action_html: String,
    why_html: Option<String>,
    /// The state that the appliance changes to at this step.
    state: Option<StateView>,
    used: Vec<Link>,
}

pub(super) fn view(task: &Task, pen: &Pen) -> TaskView {
    TaskView {
        state: pen::state(task.state),
        touches: pen::touches(&task.touches),
        minutes: pen::figure(task.minutes),
        tools: task.tools.clone(),
        parts: task.parts.clone(),
        hazards: hazard::boxes(&task.safety, pen),
        steps: task.steps.iter().enumerate().map(|(at, step)| one(at + 1, step, pen)).collect(),
        closing: check_lines(&task.closing, pen),
        record: task.record.clone(),
    }
}

fn one(number: usize, step: &Step, pen: &Pen) -> StepView {
    StepView {
        action_html: pen.prose(&format!("step-{number}"), &step.action),
        why_html: step.why.as_ref().map(|why| pen.prose(&format!("why-{number}"), why)),
        state: step.state.map(pen::state),
        used: pen.links(&step.used),
    }
}
