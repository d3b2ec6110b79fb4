//! Courses.

use super::desk::{Desk, texts};
use super::places::EntryPlaces;
use crate::diagnostic::{Code, Diagnostic};
use crate::handbook::{Course, Kind, Module, Name, Quiz};
use crate::manuscript::{self, Entry};

pub fn course(entry: &Entry<manuscript::Course>, desk: &mut Desk) -> Course {
    desk.note(Name::new(Kind::Course, entry.id.value.clone()), EntryPlaces::new(entry.place()));
    let common = desk.common(entry);
    let modules = entry.written.modules.iter().map(|module| Module {
        title: module.title.value.clone(),
        goal: desk.prose(&module.goal),
        lessons: desk.links(&module.lessons),
        quiz: module.quiz.as_ref().map(|quiz| {
            if quiz.items.value == 0 {
                desk.add(Diagnostic::new(Code::OutOfRange, quiz.items.span, "expected at least 1 item, found 0"));
            }
            Quiz { items: quiz.items.value as usize, topics: quiz.topics.iter().map(|topic| topic.value.name().to_owned()).collect() }
        }),
        sign_off: texts(&module.sign_off),
    });
    let modules = modules.collect();
    Course { common, modules }
}
