//! Pages about the whole book: home, the list of each kind, A–Z, every figure's source.

use std::collections::BTreeMap;

use serde::Serialize;
use tera::Context;

use super::frame::{Frame, Sheet};
use super::list::{self, letter};
use super::pen::{Link, Pen};
use super::source_entry::{self, Takings};
use super::{Address, File};
use crate::handbook::{Entry, Kind};
use crate::theme::ThemeProblem;

/// One of `stages` on the home page.
#[derive(Serialize)]
struct StageView {
    number: usize,
    id: String,
    title: String,
    normal_html: String,
    symptoms: Vec<Link>,
}

/// One of `kinds` on the home page.
#[derive(Serialize)]
struct KindView {
    key: &'static str,
    title: &'static str,
    href: String,
    count: usize,
    purpose: &'static str,
}

/// One of `letters` in the A–Z.
#[derive(Serialize)]
struct LetterView {
    letter: String,
    anchor: String,
    rows: Vec<RowView>,
}

#[derive(Serialize)]
struct RowView {
    words: String,
    /// Another name shows which entry it leads to.
    other_name: bool,
    link: Link,
}

/// Kinds that have entries, the guide included.
pub(super) fn kinds(frame: &Frame) -> Vec<(Kind, usize)> {
    let handbook = frame.handbook;
    let count = |kind: Kind| match kind {
        Kind::Guide => handbook.guide.len(),
        _ => handbook.entries().filter(|entry| entry.kind() == kind).count(),
    };
    Kind::ALL.into_iter().map(|kind| (kind, count(kind))).filter(|(_, count)| *count > 0).collect()
}

pub(super) fn home(frame: &Frame) -> Result<File, ThemeProblem> {
    let here = Address::home();
    let pen = Pen { handbook: frame.handbook, here: &here };
    let book = &frame.handbook.book;
    let stage = |(at, stage): (usize, &crate::handbook::Stage)| {
        let symptoms = frame.handbook.symptoms.iter().filter(|symptom| symptom.stage == stage.id);
        StageView {
            number: at + 1,
            id: stage.id.clone(),
            title: stage.title.clone(),
            normal_html: pen.prose(&format!("normal-{}", stage.id), &stage.normal),
            symptoms: symptoms.filter_map(|symptom| pen.link(&Entry::Symptom(symptom).name())).collect(),
        }
    };
    let stages: Vec<StageView> = book.stages.iter().enumerate().map(stage).collect();
    let kinds: Vec<KindView> = kinds(frame)
        .into_iter()
        .map(|(kind, count)| KindView {
            key: kind.folder(),
            title: kind.words(),
            href: Address::list(kind).from(&here),
            count,
            purpose: list::purpose(kind),
        })
        .collect();
    let mut context = Context::new();
    context.insert("stages", &stages);
    context.insert("kinds", &kinds);
    let description = format!("{}: symptoms, checks, measurements, repairs and sums, to be used on the job without a network.", book.title);
    finish(frame, "home.html", &here, &book.title, &description, None, context)
}

pub(super) fn list(frame: &Frame, kind: Kind) -> Result<File, ThemeProblem> {
    let here = Address::list(kind);
    let pen = Pen { handbook: frame.handbook, here: &here };
    let mut context = Context::new();
    context.insert("kind", kind.folder());
    context.insert("groups", &list::groups(kind, &pen));
    let template = if kind == Kind::Term { "glossary.html" } else { "list.html" };
    let title = if kind == Kind::Term { "Glossary" } else { kind.words() };
    finish(frame, template, &here, title, list::purpose(kind), Some(kind), context)
}

/// Titles and other names of all entries, in one order.
pub(super) fn a_to_z(frame: &Frame) -> Result<File, ThemeProblem> {
    let here = Address::a_to_z();
    let pen = Pen { handbook: frame.handbook, here: &here };
    let mut letters: BTreeMap<(bool, char), Vec<RowView>> = BTreeMap::new();
    for entry in frame.handbook.entries() {
        let common = entry.common();
        let names = common.also.iter().map(|name| (name, true));
        for (words, other_name) in std::iter::once((&common.title, false)).chain(names) {
            let Some(link) = pen.link(&entry.name()) else { continue };
            let first = letter(words);
            letters.entry((first == '#', first)).or_default().push(RowView { words: words.clone(), other_name, link });
        }
    }
    let letters: Vec<LetterView> = letters
        .into_iter()
        .map(|((_, letter), mut rows)| {
            rows.sort_by_cached_key(|row| (row.words.to_lowercase(), row.link.title.clone(), row.link.href.clone()));
            let anchor = if letter == '#' { "other".into() } else { letter.to_lowercase().to_string() };
            LetterView { letter: if letter == '#' { "0–9".into() } else { letter.to_string() }, anchor, rows }
        })
        .collect();
    let mut context = Context::new();
    context.insert("letters", &letters);
    finish(frame, "a-z.html", &here, "A to Z", "Every title and every other name in this handbook, from A to Z.", None, context)
}

pub(super) fn figures(frame: &Frame, takings: &Takings) -> Result<File, ThemeProblem> {
    let here = Address::figures();
    let pen = Pen { handbook: frame.handbook, here: &here };
    let mut context = Context::new();
    context.insert("groups", &source_entry::groups(takings, &pen));
    let description = "Every source in this handbook with the figures that rest on it, and how far each kind of source can be trusted.";
    finish(frame, "figures.html", &here, "Where the figures come from", description, Some(Kind::Source), context)
}

fn finish(
    frame: &Frame,
    template: &str,
    here: &Address,
    title: &str,
    description: &str,
    tab: Option<Kind>,
    context: Context,
) -> Result<File, ThemeProblem> {
    let trail = match tab {
        Some(kind) if Address::list(kind) != *here => vec![(kind.words(), Address::list(kind))],
        _ => Vec::new(),
    };
    let sheet = Sheet { address: here, title, description, tab, trail, scripts: &[] };
    let html = frame.draw(template, &sheet, context)?;
    Ok(File { path: here.path().to_owned(), bytes: html.into_bytes() })
}
