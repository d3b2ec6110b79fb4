//! Faults.

use super::desk::Desk;
use super::places::EntryPlaces;
use crate::diagnostic::{Code, Diagnostic};
use crate::handbook::{Fault, Kind, Mend, Name};
use crate::manuscript::{self, Entry};

pub fn fault(entry: &Entry<manuscript::Fault>, desk: &mut Desk) -> Option<Fault> {
    let written = &entry.written;
    desk.note(Name::new(Kind::Fault, entry.id.value.clone()), EntryPlaces::new(entry.place()));
    if written.mend.is_none() && written.remedy.is_none() {
        let message = "expected `mend` or `remedy`, found neither";
        desk.add(Diagnostic::new(Code::MissingField, entry.place(), message).hint("say how the fault is mended"));
    }
    Some(Fault {
        common: desk.common(entry),
        part: written.part.value.clone(),
        cause: desk.prose(&written.cause),
        signs: desk.prose(&written.signs),
        mend: Mend {
            task: written.mend.as_ref().and_then(|task| desk.link(task)),
            remedy: written.remedy.as_ref().map(|remedy| desk.prose(remedy)),
        },
        proved_by: desk.link(&written.proved_by)?,
    })
}
