//! Terms.

use super::desk::Desk;
use super::places::EntryPlaces;
use crate::handbook::{Kind, Name, Term};
use crate::manuscript::{self, Entry};

pub fn term(entry: &Entry<manuscript::Term>, desk: &mut Desk) -> Term {
    desk.note(Name::new(Kind::Term, entry.id.value.clone()), EntryPlaces::new(entry.place()));
    Term { common: desk.common(entry) }
}
