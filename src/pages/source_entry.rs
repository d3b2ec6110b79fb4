//! A source's page, and the page of every figure's source.

use std::collections::BTreeMap;

use serde::Serialize;

use super::backlinks::citations;
use super::pen::{self, Link, Pen};
use crate::handbook::{Citation, Entry, Handbook, SourceEntry, SourceKind};

/// `source` in the template.
#[derive(Serialize)]
pub(super) struct SourceView {
    title: String,
    href: String,
    summary: String,
    kind: &'static str,
    kind_words: &'static str,
    publisher: Option<String>,
    edition: Option<String>,
    note_html: Option<String>,
    figures: Vec<TakenView>,
}

/// A figure taken from a source.
#[derive(Serialize)]
struct TakenView {
    link: Link,
    at: Option<String>,
    figure: Option<String>,
}

/// Sources of one kind, for the page of figures.
#[derive(Serialize)]
pub(super) struct SourceGroup {
    key: &'static str,
    title: &'static str,
    meaning: &'static str,
    sources: Vec<SourceView>,
}

/// Every figure of the handbook, by the id of the source that it names, in the order of entries.
pub(super) struct Takings<'a>(BTreeMap<&'a str, Vec<(Entry<'a>, &'a Citation)>>);

impl<'a> Takings<'a> {
    pub fn of(handbook: &'a Handbook) -> Self {
        let mut taken: BTreeMap<&str, Vec<(Entry, &Citation)>> = BTreeMap::new();
        for entry in handbook.entries() {
            for citation in citations(entry) {
                taken.entry(&citation.source.id).or_default().push((entry, citation));
            }
        }
        Self(taken)
    }
}

pub(super) fn view(source: &SourceEntry, takings: &Takings, pen: &Pen) -> SourceView {
    let name = Entry::Source(source).name();
    SourceView {
        title: source.common.title.clone(),
        href: pen.link(&name).map(|link| link.href).unwrap_or_default(),
        summary: source.common.summary.clone(),
        kind: pen::source_key(source.kind),
        kind_words: source.kind.words(),
        publisher: source.publisher.clone(),
        edition: source.edition.clone(),
        note_html: source.note.as_ref().map(|note| pen.prose("note", note)),
        figures: taken(source, takings, pen),
    }
}

/// Every figure that names the source, by entry.
fn taken(source: &SourceEntry, takings: &Takings, pen: &Pen) -> Vec<TakenView> {
    let taken = takings.0.get(source.common.id.as_str()).map(Vec::as_slice).unwrap_or_default();
    let view = |(entry, citation): &(Entry, &Citation)| {
        Some(TakenView { link: pen.link(&entry.name())?, at: citation.at.clone(), figure: citation.figure.clone() })
    };
    taken.iter().filter_map(view).collect()
}

/// All sources with their figures, by kind.
pub(super) fn groups(takings: &Takings, pen: &Pen) -> Vec<SourceGroup> {
    let kinds = [SourceKind::Standard, SourceKind::Handbook, SourceKind::CommonPractice, SourceKind::Recalled];
    let group = |kind: SourceKind| SourceGroup {
        key: pen::source_key(kind),
        title: group_title(kind),
        meaning: meaning(kind),
        sources: pen.handbook.sources.iter().filter(|source| source.kind == kind).map(|source| view(source, takings, pen)).collect(),
    };
    kinds.into_iter().map(group).filter(|group| !group.sources.is_empty()).collect()
}

pub(super) fn group_title(kind: SourceKind) -> &'static str {
    match kind {
        SourceKind::Standard => "Standards and codes",
        SourceKind::Handbook => "Handbooks and public documents",
        SourceKind::CommonPractice => "Common practice",
        SourceKind::Recalled => "Recalled",
    }
}

/// How far a figure from such a source can be trusted.
fn meaning(kind: SourceKind) -> &'static str {
    match kind {
        SourceKind::Standard => "A published standard or code, with its clause where it is known.",
        SourceKind::Handbook => "A published handbook, paper or public document.",
        SourceKind::CommonPractice => "What the trade does; no single document says it. The appliance's instructions come first.",
        SourceKind::Recalled => "Written from memory and not checked against a printed copy. Check it before you rely on it.",
    }
}
