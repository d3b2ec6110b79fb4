//! Tasks and courses.

use super::desk::{Desk, placed, state, texts, touches};
use super::places::EntryPlaces;
use crate::diagnostic::{Code, Diagnostic};
use crate::handbook::{Course, Kind, Module, Name, Quiz, Step, Task};
use crate::manuscript::{self, Entry};

pub fn task(entry: &Entry<manuscript::Task>, desk: &mut Desk) -> Task {
    let written = &entry.written;
    let mut places = EntryPlaces::new(entry.place());
    places.list("safety", placed(&written.safety));
    places.list("closing", placed(&written.closing));
    places.list("touches", written.touches.iter().map(|touches| (touches.value.name(), touches.span)));
    places.note("steps", written.steps.first().map(|step| step.r#do.0.whole()));
    desk.note(Name::new(Kind::Task, entry.id.value.clone()), places);
    Task {
        common: desk.common(entry),
        state: state(written.state.value),
        touches: written.touches.iter().map(|placed| touches(placed.value)).collect(),
        minutes: written.minutes.value,
        tools: texts(&written.tools),
        parts: texts(&written.parts),
        safety: desk.links(&written.safety),
        steps: written
            .steps
            .iter()
            .map(|step| Step {
                action: desk.prose(&step.r#do),
                why: step.why.as_ref().map(|why| desk.prose(why)),
                state: step.state.as_ref().map(|placed| state(placed.value)),
                used: desk.links(&step.r#use),
            })
            .collect(),
        closing: desk.links(&written.closing),
        record: texts(&written.record),
    }
}

pub fn course(entry: &Entry<manuscript::Course>, desk: &mut Desk) -> Course {
    desk.note(Name::new(Kind::Course, entry.id.value.clone()), EntryPlaces::new(entry.place()));
    let common = desk.common(entry);
    let modules = entry.written.modules.iter().map(|module| Module {
        title: module.title.value.clone(),
        goal: Some(desk.prose(&module.goal)),
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
