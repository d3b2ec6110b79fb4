//! What the pages of every kind share: links, prose, citations, figures, drawn for the page on which they stand.

use serde::Serialize;

use super::Address;
use super::markdown::{self, Setting};
use crate::formula::Unit;
use crate::handbook::{Citation, Entry, Handbook, Kind, Name, Prose, SourceKind, State, Touches};

/// Draws for one page.
pub(super) struct Pen<'a> {
    pub handbook: &'a Handbook,
    pub here: &'a Address,
}

/// A link to an entry.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Link {
    pub href: String,
    pub title: String,
    /// The kind's folder.
    pub kind: &'static str,
    /// The kind's word.
    pub word: &'static str,
    pub summary: String,
}

/// Links of one kind, which the group names.
#[derive(Debug, Clone, Serialize)]
pub(super) struct LinkGroup<'a> {
    pub title: &'static str,
    pub links: Vec<BareLink<'a>>,
}

#[derive(Debug, Clone, Serialize)]
pub(super) struct BareLink<'a> {
    pub href: String,
    pub title: &'a str,
}

/// A source as it is named under a figure.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Cited {
    pub href: String,
    pub title: String,
    /// `standard`, `handbook`, `common-practice` or `recalled`.
    pub kind: &'static str,
    pub kind_words: &'static str,
    pub at: Option<String>,
    pub figure: Option<String>,
}

/// A state of the appliance: `Isolated`, `power and gas off`.
#[derive(Debug, Clone, Serialize)]
pub(super) struct StateView {
    pub name: &'static str,
    pub short: &'static str,
    pub detail: &'static str,
}

#[derive(Debug, Clone, Serialize)]
pub(super) struct TouchView {
    pub name: &'static str,
    pub words: &'static str,
}

impl<'a> Pen<'a> {
    /// A link; `None` only for a name that is not of this handbook.
    pub fn link(&self, name: &Name) -> Option<Link> {
        let (title, summary) = match self.handbook.entry(name) {
            Some(entry) => (entry.common().title.clone(), entry.common().summary.clone()),
            None => (self.handbook.title(name)?.to_owned(), String::new()),
        };
        let href = Address::entry(name).from(self.here);
        Some(Link { href, title, kind: name.kind.folder(), word: name.kind.word(), summary })
    }

    pub fn links(&self, names: &[Name]) -> Vec<Link> {
        names.iter().filter_map(|name| self.link(name)).collect()
    }

    /// Links by kind, in the order of kinds and then of titles.
    pub fn grouped<'n>(&self, names: impl Iterator<Item = &'n Name> + Clone) -> Vec<LinkGroup<'a>> {
        let link = |name: &Name| Some(BareLink { href: Address::entry(name).from(self.here), title: self.handbook.title(name)? });
        let of_kind = |kind: Kind| {
            let mut links: Vec<BareLink> = names.clone().filter(|name| name.kind == kind).filter_map(link).collect();
            links.sort_by_cached_key(|link| link.title.to_lowercase());
            LinkGroup { title: kind.words(), links }
        };
        Kind::ALL.into_iter().map(of_kind).filter(|group| !group.links.is_empty()).collect()
    }

    /// Blocks; headings in it begin at level 3, under the page's sections.
    pub fn prose(&self, part: &str, prose: &Prose) -> String {
        markdown::html(&prose.markdown, &self.setting(part))
    }

    /// Prose that stands in a list item or a cell: a single paragraph goes without its element.
    pub fn short(&self, part: &str, prose: &Prose) -> String {
        markdown::inline(&prose.markdown, &self.setting(part))
    }

    fn setting<'s>(&'s self, part: &'s str) -> Setting<'s> {
        Setting { handbook: self.handbook, here: self.here, level: 3, part }
    }

    pub fn cited(&self, citation: &Citation) -> Option<Cited> {
        let Some(Entry::Source(source)) = self.handbook.entry(&citation.source) else { return None };
        Some(Cited {
            href: Address::entry(&citation.source).from(self.here),
            title: source.common.title.clone(),
            kind: source_key(source.kind),
            kind_words: source.kind.words(),
            at: citation.at.clone(),
            figure: citation.figure.clone(),
        })
    }

    pub fn all_cited(&self, citations: &[Citation]) -> Vec<Cited> {
        citations.iter().filter_map(|citation| self.cited(citation)).collect()
    }
}

/// The word for a source's kind in classes.
pub(super) fn source_key(kind: SourceKind) -> &'static str {
    match kind {
        SourceKind::Standard => "standard",
        SourceKind::Handbook => "handbook",
        SourceKind::CommonPractice => "common-practice",
        SourceKind::Recalled => "recalled",
    }
}

pub(super) fn state(state: State) -> StateView {
    let (short, detail) = state.words().split_once(": ").unwrap_or((state.words(), ""));
    StateView { name: state.name(), short, detail }
}

pub(super) fn touches(list: &[Touches]) -> Vec<TouchView> {
    list.iter().map(|touch| TouchView { name: touch.name(), words: touch.words() }).collect()
}

/// A unit as readers see it; empty for plain numbers.
pub(super) fn unit(unit: &Unit) -> &str {
    unit.shown()
}

/// A figure in its shortest exact form, with a comma between thousands from 10,000 on and a true minus sign.
pub(super) fn figure(value: f64) -> String {
    let plain = format!("{}", value.abs());
    let (whole, rest) = plain.split_once('.').map_or((plain.as_str(), String::new()), |(whole, rest)| (whole, format!(".{rest}")));
    let mut grouped = String::new();
    for (at, digit) in whole.chars().enumerate() {
        let left = whole.len() - at;
        if at > 0 && left % 3 == 0 && whole.len() > 4 && whole.bytes().all(|byte| byte.is_ascii_digit()) {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    let sign = if value < 0.0 { "−" } else { "" };
    format!("{sign}{grouped}{rest}")
}

/// A figure with its unit.
pub(super) fn quantity(value: f64, of: &Unit) -> String {
    match unit(of) {
        "" => figure(value),
        words => format!("{}\u{a0}{words}", figure(value)),
    }
}

/// A chance, 0 to 1, as whole percent; never rounded to a certainty that it is not.
pub fn percent(chance: f64) -> String {
    let whole = (chance * 100.0).round();
    match chance {
        chance if chance > 0.0 && whole < 1.0 => "under 1\u{a0}%".into(),
        chance if chance < 1.0 && whole > 99.0 => "over 99\u{a0}%".into(),
        _ => format!("{whole}\u{a0}%"),
    }
}
