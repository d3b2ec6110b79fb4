//! One page an entry: what all kinds have, and then what its own kind adds.

use std::collections::BTreeMap;

use serde::Serialize;
use tera::Context;

use super::backlinks::Backlinks;
use super::frame::{Frame, Sheet, trail};
use super::pen::{Cited, Link, LinkGroup, Pen};
use super::source_entry::{self, Takings};
use super::{Address, Extras, File, calculator, check, course, diagnosis, fault, hazard, measurement, symptom, table, task};
use crate::handbook::{Entry, GuidePage, Kind, Name};
use crate::theme::ThemeProblem;

/// `entry` in the templates.
#[derive(Serialize)]
struct EntryView<'a> {
    id: &'a str,
    title: &'a str,
    summary: &'a str,
    also: &'a [String],
    /// The kind's folder and words.
    kind: &'a str,
    word: &'a str,
    words: &'a str,
    /// Place among the entries of its kind, from 1, and how many there are.
    number: usize,
    of: usize,
    body_html: Option<String>,
    see: Vec<Link>,
    sources: Vec<Cited>,
    used_by: Vec<LinkGroup<'a>>,
    before: Option<Link>,
    after: Option<Link>,
}

/// The entry's place in the book: number, how many, neighbours.
struct Place<'a> {
    number: usize,
    of: usize,
    before: Option<Entry<'a>>,
    after: Option<Entry<'a>>,
}

/// Every entry's page is drawn from these.
pub(super) struct Entries<'a> {
    pub frame: &'a Frame<'a>,
    pub backlinks: &'a Backlinks,
    pub takings: &'a Takings<'a>,
    pub extras: &'a Extras,
    /// The entries of each kind, in the order of ids.
    siblings: BTreeMap<Kind, Vec<Entry<'a>>>,
}

impl<'a> Entries<'a> {
    pub fn new(frame: &'a Frame<'a>, backlinks: &'a Backlinks, takings: &'a Takings<'a>, extras: &'a Extras) -> Self {
        let mut siblings: BTreeMap<Kind, Vec<Entry>> = BTreeMap::new();
        for entry in frame.handbook.entries() {
            siblings.entry(entry.kind()).or_default().push(entry);
        }
        Self { frame, backlinks, takings, extras, siblings }
    }

    pub fn draw(&self, entry: Entry) -> Result<File, ThemeProblem> {
        let name = entry.name();
        let here = Address::entry(&name);
        let pen = Pen { handbook: self.frame.handbook, here: &here };
        let common = entry.common();
        let mut context = Context::new();
        context.insert("entry", &self.view(entry, &name, &pen));
        let template = self.add_kind(entry, &pen, &mut context);
        let mut scripts = match entry {
            Entry::Calculator(calculator) => super::sum_scripts(calculator),
            Entry::Symptom(_) if self.extras.diagnoses.get(&name).is_some_and(super::walk::leads_anywhere) => {
                super::walk::scripts(&name.id)
            }
            _ => Vec::new(),
        };
        if has_gauge(entry) {
            scripts.push(Address::script("gauge.js"));
        }
        let sheet = Sheet {
            address: &here,
            title: &common.title,
            description: &common.summary,
            tab: Some(name.kind),
            trail: trail(&name),
            scripts: &scripts,
        };
        let html = self.frame.draw(template, &sheet, context)?;
        Ok(File { path: here.path().to_owned(), bytes: html.into_bytes() })
    }

    fn view<'e>(&'e self, entry: Entry<'e>, name: &Name, pen: &Pen<'e>) -> EntryView<'e> {
        let common = entry.common();
        let place = self.place(name);
        let link = |entry: Entry| pen.link(&entry.name());
        EntryView {
            id: &common.id,
            title: &common.title,
            summary: &common.summary,
            also: &common.also,
            kind: name.kind.folder(),
            word: name.kind.word(),
            words: name.kind.words(),
            number: place.number,
            of: place.of,
            body_html: common.body.as_ref().map(|body| pen.prose("body", body)),
            see: pen.links(&common.see),
            sources: pen.all_cited(&common.sources),
            used_by: pen.grouped(self.backlinks.to(name)),
            before: place.before.and_then(link),
            after: place.after.and_then(link),
        }
    }

    fn place(&self, name: &Name) -> Place<'_> {
        let siblings = self.siblings.get(&name.kind).map(Vec::as_slice).unwrap_or_default();
        let at = siblings.binary_search_by(|entry| entry.common().id.cmp(&name.id)).unwrap_or(0);
        let before = at.checked_sub(1).and_then(|at| siblings.get(at).copied());
        Place { number: at + 1, of: siblings.len(), before, after: siblings.get(at + 1).copied() }
    }

    /// A page of the authors' guide.
    pub fn draw_guide(&self, page: &GuidePage) -> Result<File, ThemeProblem> {
        let guide = &self.frame.handbook.guide;
        let name = Name::new(Kind::Guide, page.id.clone());
        let here = Address::entry(&name);
        let pen = Pen { handbook: self.frame.handbook, here: &here };
        let at = guide.iter().position(|other| other.id == page.id).unwrap_or(0);
        let neighbour =
            |at: Option<usize>| at.and_then(|at| guide.get(at)).and_then(|page| pen.link(&Name::new(Kind::Guide, page.id.clone())));
        let mut context = Context::new();
        context.insert("guide_html", &guide_html(page, &pen));
        context.insert("before", &neighbour(at.checked_sub(1)));
        context.insert("after", &neighbour(Some(at + 1)));
        let sheet = Sheet {
            address: &here,
            title: &page.title,
            description: &page.title,
            tab: Some(Kind::Guide),
            trail: trail(&name),
            scripts: &[],
        };
        let html = self.frame.draw("guide.html", &sheet, context)?;
        Ok(File { path: here.path().to_owned(), bytes: html.into_bytes() })
    }

    /// Gives the template what its kind adds, and names the template.
    fn add_kind(&self, entry: Entry, pen: &Pen, context: &mut Context) -> &'static str {
        match entry {
            Entry::Symptom(entry) => {
                let computed = self.extras.diagnoses.get(&Name::new(Kind::Symptom, &entry.common.id));
                context.insert("symptom", &symptom::view(entry, pen));
                context.insert("diagnosis", &computed.and_then(|computed| diagnosis::view(computed, pen)));
                context.insert("walk", &computed.filter(|computed| super::walk::leads_anywhere(computed)).map(|_| &entry.common.id));
                "symptom.html"
            }
            Entry::Fault(entry) => {
                context.insert("fault", &fault::view(entry, pen));
                "fault.html"
            }
            Entry::Check(entry) => {
                context.insert("check", &check::view(entry, pen));
                "check.html"
            }
            Entry::Measurement(entry) => {
                context.insert("measurement", &measurement::view(entry, pen));
                "measurement.html"
            }
            Entry::Safety(entry) => {
                context.insert("hazard", &hazard::one(entry, pen));
                context.insert("when_html", &pen.prose("when", &entry.when));
                "safety.html"
            }
            Entry::Task(entry) => {
                context.insert("task", &task::view(entry, pen));
                "task.html"
            }
            Entry::Table(entry) => {
                context.insert("table", &table::view(entry, pen));
                "table.html"
            }
            Entry::Calculator(entry) => {
                context.insert("calculator", &calculator::view(entry, pen));
                "calculator.html"
            }
            Entry::Term(_) => "term.html",
            Entry::Source(entry) => {
                context.insert("source", &source_entry::view(entry, self.takings, pen));
                "source.html"
            }
            Entry::Course(entry) => {
                context.insert("course", &course::view(entry, &self.extras.topics, pen));
                "course.html"
            }
        }
    }
}

/// Whether the entry's page draws a gauge, on which a reading can be tried.
fn has_gauge(entry: Entry) -> bool {
    match entry {
        Entry::Measurement(_) => true,
        Entry::Check(check) => check.measures.is_some(),
        _ => false,
    }
}

/// A guide page's headings are sections of the page, with anchors that authors link to. Its first heading is the page's title, which
/// the frame shows already.
fn guide_html(page: &GuidePage, pen: &Pen) -> String {
    let setting = super::markdown::Setting { handbook: pen.handbook, here: pen.here, level: 2, part: "" };
    let text = page.text.markdown.trim_start();
    let text = match text.split_once('\n') {
        Some((first, rest)) if first.strip_prefix("# ").is_some_and(|title| title.trim() == page.title) => rest,
        _ => text,
    };
    super::markdown::html(text, &setting)
}
