//! A course's page: modules with lessons and sign-off lines.

use serde::Serialize;

use super::pen::{Link, Pen};
use crate::handbook::{Course, Module};

/// `course` in the template.
#[derive(Serialize)]
pub(super) struct CourseView {
    modules: Vec<ModuleView>,
}

#[derive(Serialize)]
struct ModuleView {
    title: String,
    goal_html: Option<String>,
    lessons: Vec<Link>,
    quiz: Option<QuizView>,
    sign_off: Vec<String>,
}

#[derive(Serialize)]
struct QuizView {
    items: usize,
    topics: Vec<String>,
}

pub(super) fn view(course: &Course, pen: &Pen) -> CourseView {
    CourseView { modules: course.modules.iter().enumerate().map(|(at, module)| one(at + 1, module, pen)).collect() }
}

fn one(number: usize, module: &Module, pen: &Pen) -> ModuleView {
    ModuleView {
        title: module.title.clone(),
        goal_html: module.goal.as_ref().map(|goal| pen.prose(&format!("goal-{number}"), goal)),
        lessons: pen.links(&module.lessons),
        quiz: module.quiz.as_ref().map(|quiz| QuizView { items: quiz.items, topics: quiz.topics.clone() }),
        sign_off: module.sign_off.clone(),
    }
}
