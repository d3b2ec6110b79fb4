//! Where the fields of an entry stand, for problems that are found only when all entries are known.

use std::collections::BTreeMap;

use crate::handbook::Name;
use crate::source::Span;

/// The places of one entry's fields that later rules may point at.
#[derive(Debug, Clone, Default)]
pub struct EntryPlaces {
    /// Where the entry begins: its title.
    pub title: Span,
    fields: BTreeMap<&'static str, Span>,
    items: BTreeMap<(&'static str, String), Span>,
}

/// Places by entry.
#[derive(Debug, Default)]
pub struct Places(BTreeMap<Name, EntryPlaces>);

impl EntryPlaces {
    pub fn new(title: Span) -> Self {
        Self { title, fields: BTreeMap::new(), items: BTreeMap::new() }
    }

    /// Notes a list that stands in the entry: its first item stands for the whole, and each is found by its text.
    pub fn list<'a>(&mut self, field: &'static str, items: impl IntoIterator<Item = (&'a str, Span)>) {
        for (text, span) in items {
            self.fields.entry(field).or_insert(span);
            self.items.entry((field, text.to_owned())).or_insert(span);
        }
    }

    /// Notes a field that stands in the entry; `None` is a field that the author left out.
    pub fn note(&mut self, field: &'static str, span: Option<Span>) {
        if let Some(span) = span {
            self.fields.insert(field, span);
        }
    }
}

impl Places {
    pub fn add(&mut self, name: Name, places: EntryPlaces) {
        self.0.insert(name, places);
    }

    pub fn append(&mut self, other: Places) {
        self.0.extend(other.0);
    }

    /// The place of the first of the fields that stands in the entry, else the entry's beginning.
    pub fn of(&self, name: &Name, fields: &[&str]) -> Span {
        let Some(places) = self.0.get(name) else {
            return Span::default();
        };
        fields.iter().find_map(|field| places.fields.get(field).copied()).unwrap_or(places.title)
    }

    /// How many items a list of the entry has as written, those counted once that stand in it twice.
    pub fn n_items(&self, name: &Name, field: &'static str) -> usize {
        self.0.get(name).map_or(0, |places| places.items.keys().filter(|(list, _)| *list == field).count())
    }

    /// The place of one item of a list, else of the list, else the entry's beginning.
    pub fn item(&self, name: &Name, field: &'static str, text: &str) -> Span {
        let item = self.0.get(name).and_then(|places| places.items.get(&(field, text.to_owned())));
        item.copied().unwrap_or_else(|| self.of(name, &[field]))
    }
}
