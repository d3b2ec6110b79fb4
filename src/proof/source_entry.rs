//! Sources.

use super::desk::Desk;
use super::places::EntryPlaces;
use crate::handbook::{Kind, Name, SourceEntry, SourceKind};
use crate::manuscript::{self, Entry};

pub fn source(entry: &Entry<manuscript::SourceEntry>, desk: &mut Desk) -> SourceEntry {
    let written = &entry.written;
    desk.note(Name::new(Kind::Source, entry.id.value.clone()), EntryPlaces::new(entry.place()));
    SourceEntry {
        common: desk.common(entry),
        kind: match written.kind.value {
            manuscript::SourceKind::Standard => SourceKind::Standard,
            manuscript::SourceKind::Handbook => SourceKind::Handbook,
            manuscript::SourceKind::CommonPractice => SourceKind::CommonPractice,
            manuscript::SourceKind::Recalled => SourceKind::Recalled,
        },
        publisher: written.publisher.as_ref().map(|publisher| publisher.value.clone()),
        edition: written.edition.as_ref().map(|edition| edition.value.clone()),
        note: written.note.as_ref().map(|note| desk.prose(note)),
    }
}
