//! Tasks.

use super::desk::{Desk, placed, state, texts, touches};
use super::places::EntryPlaces;
use crate::handbook::{Kind, Name, Step, Task};
use crate::manuscript::{self, Entry};

pub fn task(entry: &Entry<manuscript::Task>, desk: &mut Desk) -> Task {
    let written = &entry.written;
    let mut places = EntryPlaces::new(entry.place());
    places.list("safety", placed(&written.safety));
    places.list("closing", placed(&written.closing));
    places.list("touches", written.touches.iter().map(|touches| (touches.value.name(), touches.span)));
    places.list("use", written.steps.iter().flat_map(|step| placed(&step.r#use)));
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
