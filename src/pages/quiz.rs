//! The pages of the derived quizzes: one a topic, and the list of topics.
//!
//! Each page is drawn with its questions printed, answers folded away, so that it serves on paper and without a script; with
//! one, the questions come one at a time.

use serde::Serialize;
use tera::Context;

use super::frame::{Frame, Sheet};
use super::pen::{Link, Pen};
use super::{Address, File};
use crate::handbook::Name;
use crate::practice::{Printed, Topic, printed, script};
use crate::theme::ThemeProblem;

const TITLE: &str = "Quizzes";

/// `topic` in the template.
#[derive(Serialize)]
struct TopicView<'a> {
    id: &'a str,
    about: &'a str,
    items: Vec<ItemView>,
}

#[derive(Serialize)]
struct ItemView {
    printed: Printed,
    link: Option<Link>,
}

/// One of `topics` in the list, and one of a course's.
#[derive(Debug, Clone, Serialize)]
pub(super) struct TopicLink {
    pub id: String,
    pub title: String,
    pub about: String,
    pub href: String,
    pub count: usize,
}

pub(super) fn links(topics: &[Topic], here: &Address) -> Vec<TopicLink> {
    let link = |topic: &Topic| TopicLink {
        id: topic.id.to_owned(),
        title: topic.title.to_owned(),
        about: topic.about.to_owned(),
        href: Address::quiz(topic.id).from(here),
        count: topic.items.len(),
    };
    topics.iter().map(link).collect()
}

/// The list of topics.
pub(super) fn list(frame: &Frame, topics: &[Topic]) -> Result<File, ThemeProblem> {
    let here = Address::quizzes();
    let mut context = Context::new();
    context.insert("topics", &links(topics, &here));
    let description = "Questions made from this handbook's own entries, with the working after each answer.";
    let sheet = Sheet { address: &here, title: TITLE, description, tab: None, trail: Vec::new(), scripts: &[] };
    let html = frame.draw("quizzes.html", &sheet, context)?;
    Ok(File::new(&here, html))
}

/// One topic's page.
pub(super) fn page(frame: &Frame, topic: &Topic) -> Result<File, ThemeProblem> {
    let here = Address::quiz(topic.id);
    let pen = Pen { handbook: frame.handbook, here: &here };
    let items = printed(topic).into_iter().map(|printed| ItemView { link: pen.link(&printed.entry), printed });
    let mut context = Context::new();
    context.insert("topic", &TopicView { id: topic.id, about: topic.about, items: items.collect() });
    let sheet = Sheet {
        address: &here,
        title: topic.title,
        description: topic.about,
        tab: None,
        trail: vec![(TITLE, Address::quizzes())],
        scripts: &[Address::script("quiz-judge.js"), Address::quiz_script(topic.id), Address::script("quiz.js")],
    };
    let html = frame.draw("quiz.html", &sheet, context)?;
    Ok(File::new(&here, html))
}

/// A topic's data for the browser.
pub(super) fn script_file(topic: &Topic) -> File {
    File::new(&Address::quiz_script(topic.id), script(topic, &|name: &Name| Address::entry(name).path().to_owned()))
}
