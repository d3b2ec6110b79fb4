//! A course's page: modules with lessons and sign-off lines.

use serde::Serialize;

use super::pen::{Link, Pen};
use super::quiz::{self, TopicLink};
use crate::handbook::{Course, Module};
use crate::practice::{self, Topic};

/// `course` in the template.
#[derive(Serialize)]
pub(super) struct CourseView {
    modules: Vec<ModuleView>,
}

#[derive(Serialize)]
struct ModuleView {
    title: String,
    goal_html: String,
    lessons: Vec<Link>,
    quiz: Option<QuizView>,
    sign_off: Vec<String>,
}

#[derive(Serialize)]
struct QuizView {
    items: usize,
    topics: Vec<TopicLink>,
    /// Titles of the topics on which the handbook yields no question.
    without: Vec<&'static str>,
}

pub(super) fn view(course: &Course, topics: &[Topic], pen: &Pen) -> CourseView {
    let topics = quiz::links(topics, pen.here);
    CourseView { modules: course.modules.iter().enumerate().map(|(at, module)| one(at + 1, module, &topics, pen)).collect() }
}

fn one(number: usize, module: &Module, topics: &[TopicLink], pen: &Pen) -> ModuleView {
    let asked = |wanted: &[String]| topics.iter().filter(|topic| wanted.contains(&topic.id)).cloned().collect();
    let without = |wanted: &[String]| {
        let missing = wanted.iter().filter(|id| !topics.iter().any(|topic| topic.id == **id));
        missing.filter_map(|id| practice::title(id)).collect()
    };
    ModuleView {
        title: module.title.clone(),
        goal_html: pen.prose(&format!("goal-{number}"), &module.goal),
        lessons: pen.links(&module.lessons),
        quiz: module.quiz.as_ref().map(|quiz| QuizView { items: quiz.items, topics: asked(&quiz.topics), without: without(&quiz.topics) }),
        sign_off: module.sign_off.clone(),
    }
}
