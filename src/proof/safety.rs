//! Safety notes.

use super::desk::Desk;
use super::places::EntryPlaces;
use crate::handbook::{Kind, Name, SafetyNote, Signal};
use crate::manuscript::{self, Entry};

pub fn safety(entry: &Entry<manuscript::Safety>, desk: &mut Desk) -> SafetyNote {
    let written = &entry.written;
    desk.note(Name::new(Kind::Safety, entry.id.value.clone()), EntryPlaces::new(entry.place()));
    SafetyNote {
        common: desk.common(entry),
        signal: match written.signal.value {
            manuscript::Signal::Danger => Signal::Danger,
            manuscript::Signal::Warning => Signal::Warning,
            manuscript::Signal::Caution => Signal::Caution,
            manuscript::Signal::Notice => Signal::Notice,
        },
        hazard: desk.prose(&written.hazard),
        controls: written.controls.iter().map(|control| desk.prose(control)).collect(),
        when: desk.prose(&written.when),
    }
}
