//! The list of each kind, in groups that fit the kind.

use serde::Serialize;

use super::pen::{self, Link, Pen};
use super::source_entry;
use crate::handbook::{Entry, Kind, Name, Signal, SourceKind, State, slug};

/// One of `groups` in the template.
#[derive(Serialize)]
pub(super) struct Group {
    /// Empty if the list has one group only.
    pub title: String,
    /// For a group's anchor.
    pub key: String,
    pub items: Vec<Item>,
}

#[derive(Serialize)]
pub(super) struct Item {
    pub link: Link,
    /// What is worth knowing before opening it, such as minutes.
    pub facts: Vec<String>,
    pub also: Vec<String>,
    /// The signal word's name of a safety note.
    pub signal: Option<&'static str>,
}

/// What a list says above its entries.
pub(super) fn purpose(kind: Kind) -> &'static str {
    match kind {
        Kind::Symptom => {
            "What the appliance does or does not do, by the stage of the ignition sequence at which it stops. Start here on a call."
        }
        Kind::Fault => "What can be broken, by part: why it fails, what gives it away, how it is mended and proved.",
        Kind::Check => "One thing to do that tells faults apart, by the state in which the appliance must be.",
        Kind::Measurement => "One quantity each: where to put the leads, how to set the meter, what the reading means.",
        Kind::Safety => "Hazards, gravest first, and what to do about each.",
        Kind::Task => "Repairs and replacements, step by step, each with its closing tests.",
        Kind::Table => "Figures in rows, each table with its sources.",
        Kind::Calculator => "Sums with their working shown, each with worked examples that came out.",
        Kind::Term => "Words of the trade and the other names that people use for them.",
        Kind::Source => "Where the figures in this handbook come from, and how far each kind of source can be trusted.",
        Kind::Course => "Lessons in order, with the hands-on work that the lead signs off.",
        Kind::Guide => "How this handbook is written: for the people who add to it.",
    }
}

/// All entries of a kind.
pub(super) fn groups(kind: Kind, pen: &Pen) -> Vec<Group> {
    let handbook = pen.handbook;
    if kind == Kind::Guide {
        let names = handbook.guide.iter().map(|page| Name::new(Kind::Guide, page.id.clone()));
        let items = names.filter_map(|name| Some(Item { link: pen.link(&name)?, facts: Vec::new(), also: Vec::new(), signal: None }));
        return vec![Group { title: String::new(), key: "guide".into(), items: items.collect() }];
    }
    let mut groups: Vec<Group> = shelves(kind, pen).into_iter().map(|(key, title)| Group { title, key, items: Vec::new() }).collect();
    for entry in handbook.entries().filter(|entry| entry.kind() == kind) {
        let Some(link) = pen.link(&entry.name()) else { continue };
        let signal = match entry {
            Entry::Safety(note) => Some(note.signal.name()),
            _ => None,
        };
        let item = Item { link, facts: facts(entry), also: entry.common().also.clone(), signal };
        let shelf = shelf(entry);
        if let Some(group) = groups.iter_mut().find(|group| group.key == shelf) {
            group.items.push(item);
        }
    }
    groups.retain(|group| !group.items.is_empty());
    for group in &mut groups {
        group.items.sort_by_cached_key(|item| item.link.title.to_lowercase());
    }
    groups
}

/// The key of the group in which an entry stands.
fn shelf(entry: Entry) -> String {
    match entry {
        Entry::Symptom(symptom) => symptom.stage.clone(),
        Entry::Fault(fault) => slug(&fault.part),
        Entry::Check(check) => check.state.name().into(),
        Entry::Measurement(measurement) => slug(&measurement.quantity),
        Entry::Safety(note) => note.signal.name().into(),
        Entry::Source(source) => pen::source_key(source.kind).into(),
        Entry::Term(term) => letter(&term.common.title).to_string(),
        _ => "all".into(),
    }
}

/// The groups of a kind in order: key and title.
fn shelves(kind: Kind, pen: &Pen) -> Vec<(String, String)> {
    let handbook = pen.handbook;
    let pair = |key: &str, title: &str| (key.to_owned(), title.to_owned());
    let mut shelves: Vec<(String, String)> = match kind {
        Kind::Symptom => handbook.book.stages.iter().map(|stage| pair(&stage.id, &stage.title)).collect(),
        Kind::Check => State::ALL.iter().map(|state| pair(state.name(), state.words())).collect(),
        Kind::Safety => [Signal::Danger, Signal::Warning, Signal::Caution, Signal::Notice]
            .iter()
            .map(|signal| pair(signal.name(), signal.word()))
            .collect(),
        Kind::Source => [SourceKind::Standard, SourceKind::Handbook, SourceKind::CommonPractice, SourceKind::Recalled]
            .into_iter()
            .map(|kind| pair(pen::source_key(kind), source_entry::group_title(kind)))
            .collect(),
        Kind::Fault => handbook.faults.iter().map(|fault| (slug(&fault.part), upper_first(&fault.part))).collect(),
        Kind::Measurement => handbook.measurements.iter().map(|entry| (slug(&entry.quantity), upper_first(&entry.quantity))).collect(),
        Kind::Term => {
            handbook.terms.iter().map(|term| letter(&term.common.title)).map(|letter| (letter.to_string(), letter.to_string())).collect()
        }
        _ => vec![pair("all", "")],
    };
    if matches!(kind, Kind::Fault | Kind::Measurement | Kind::Term) {
        shelves.sort_by_key(|(key, _)| key.clone());
        shelves.dedup_by(|a, b| a.0 == b.0);
    }
    shelves
}

fn facts(entry: Entry) -> Vec<String> {
    match entry {
        Entry::Check(check) => vec![minutes(check.minutes)],
        Entry::Task(task) => vec![minutes(task.minutes), pen::state(task.state).short.to_owned()],
        Entry::Measurement(measurement) => vec![pen::unit(&measurement.unit).to_owned(), pen::state(measurement.state).short.to_owned()],
        Entry::Table(table) => vec![format!("{} rows", table.rows.len())],
        Entry::Course(course) => vec![format!("{} modules", course.modules.len())],
        _ => Vec::new(),
    }
}

fn minutes(minutes: f64) -> String {
    format!("{}\u{a0}min", pen::figure(minutes))
}

/// The letter under which a title stands in an index: A to Z, or `#` for all else.
pub(super) fn letter(title: &str) -> char {
    title
        .chars()
        .find(|letter| letter.is_alphanumeric())
        .map(|letter| letter.to_ascii_uppercase())
        .filter(char::is_ascii_uppercase)
        .unwrap_or('#')
}

fn upper_first(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}
