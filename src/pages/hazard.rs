//! Hazard boxes to ANSI Z535: signal word panel, hazard, what to do about it.

use serde::Serialize;

use super::pen::{Link, Pen};
use crate::handbook::{Entry, Name, SafetyNote, Signal};

#[derive(Debug, Serialize)]
pub(super) struct HazardView {
    /// `danger`, `warning`, `caution` or `notice`.
    pub signal: &'static str,
    pub word: &'static str,
    /// Whether the safety alert symbol stands beside the word: a notice does not warn of injury.
    pub alert: bool,
    pub title: String,
    pub href: String,
    pub hazard_html: String,
    pub controls_html: Vec<String>,
    /// Whether the controls stand behind a line that opens them; the hazard itself is always shown.
    pub folded: bool,
}

/// Notes of one signal word as one line beside a step. Their boxes stand at the top of the page, or on the check's own.
#[derive(Debug, Serialize)]
pub(super) struct HazardLine {
    signal: &'static str,
    word: &'static str,
    alert: bool,
    pub(super) links: Vec<Link>,
}

/// The lines of the named notes.
pub(super) fn lines(names: &[Name], pen: &Pen) -> Vec<HazardLine> {
    let line = |notes: &[&SafetyNote]| {
        let signal = notes[0].signal;
        let links = notes.iter().filter_map(|note| pen.link(&Entry::Safety(note).name())).collect();
        HazardLine { signal: signal.name(), word: signal.word(), alert: signal != Signal::Notice, links }
    };
    notes(names, pen).chunk_by(|a, b| a.signal == b.signal).map(line).collect()
}

/// So many boxes show their controls at once. A page of a dozen long boxes is scrolled past and not read; every hazard
/// stays in sight, and on paper all controls are printed.
const OPEN: usize = 3;

/// The named notes, gravest first, otherwise in the order given.
pub(super) fn notes<'a>(names: &[Name], pen: &Pen<'a>) -> Vec<&'a SafetyNote> {
    let note = |name| match pen.handbook.entry(name) {
        Some(Entry::Safety(note)) => Some(note),
        _ => None,
    };
    let mut notes: Vec<&SafetyNote> = names.iter().filter_map(note).collect();
    notes.sort_by_key(|note| note.signal);
    notes
}

/// The boxes of the named notes.
pub(super) fn boxes(names: &[Name], pen: &Pen) -> Vec<HazardView> {
    let box_at = |(at, note)| HazardView { folded: at >= OPEN, ..one(note, pen) };
    notes(names, pen).into_iter().enumerate().map(box_at).collect()
}

/// One note's box, with its controls in sight.
pub(super) fn one(note: &SafetyNote, pen: &Pen) -> HazardView {
    let name = Entry::Safety(note).name();
    let part = &note.common.id;
    HazardView {
        signal: note.signal.name(),
        word: note.signal.word(),
        alert: note.signal != Signal::Notice,
        title: note.common.title.clone(),
        href: pen.link(&name).map(|link| link.href).unwrap_or_default(),
        hazard_html: pen.prose(&format!("hazard-{part}"), &note.hazard),
        controls_html: note.controls.iter().map(|control| pen.short(&format!("control-{part}"), control)).collect(),
        folded: false,
    }
}
