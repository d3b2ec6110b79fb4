//! Names become links: a reference must lead to an entry of a kind that the field takes.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use rustc_hash::FxHashSet;

use crate::diagnostic::{Code, Diagnostic, Problems, nearest};
use crate::handbook::{Kind, Name};
use crate::source::Span;

/// The ids of every kind.
#[derive(Debug, Default)]
pub struct Known(BTreeMap<Kind, BTreeSet<String>>);

/// The ids of every kind, and which of them somebody refers to.
#[derive(Debug)]
pub struct Names {
    known: Arc<Known>,
    used: FxHashSet<Name>,
    /// The entry whose fields are read now: that it names itself does not make it known to readers.
    reader: Option<Name>,
}

impl Known {
    pub fn add(&mut self, kind: Kind, id: &str) {
        self.0.entry(kind).or_default().insert(id.to_owned());
    }
}

impl Names {
    pub fn new(known: Known) -> Self {
        Self { known: Arc::new(known), used: FxHashSet::default(), reader: None }
    }

    /// The same ids, none of them used yet.
    pub fn unused(&self) -> Self {
        Self { known: Arc::clone(&self.known), used: FxHashSet::default(), reader: None }
    }

    /// What is used there is used here too.
    pub fn append(&mut self, other: Names) {
        self.used.extend(other.used);
    }

    /// From here on references stand in this entry; `None` for what is no entry.
    pub fn read_by(&mut self, reader: Option<Name>) {
        self.reader = reader;
    }

    /// The entry that a reference leads to, or `None` after telling what is wrong with it.
    ///
    /// `kinds` are the kinds that the field takes; empty means any.
    pub fn resolve(&mut self, text: &str, span: Span, kinds: &[Kind], problems: &mut Problems) -> Option<Name> {
        let Some(name) = Name::parse(text) else {
            problems.add(self.not_a_reference(text, span, kinds));
            return None;
        };
        if !kinds.is_empty() && !kinds.contains(&name.kind) {
            let message = format!("expected {}, found the {} `{}`", words(kinds), word(name.kind), excerpt(text));
            problems.add(self.offer(Diagnostic::new(Code::WrongKind, span, message), &name.id, kinds));
            return None;
        }
        let ids = self.known.0.get(&name.kind);
        if !ids.is_some_and(|ids| ids.contains(&name.id)) {
            let message = format!("there is no {} `{}`", word(name.kind), excerpt(&name.id));
            let diagnostic = Diagnostic::new(Code::BrokenLink, span, message).label("no file has this id");
            problems.add(self.offer(diagnostic, &name.id, &[name.kind]));
            return None;
        }
        if self.reader.as_ref() != Some(&name) && !self.used.contains(&name) {
            self.used.insert(name.clone());
        }
        Some(name)
    }

    /// Resolves every reference of a list, each told of by itself.
    pub fn resolve_all<'a>(
        &mut self,
        references: impl IntoIterator<Item = (&'a str, Span)>,
        kinds: &[Kind],
        problems: &mut Problems,
    ) -> Vec<Name> {
        let mut names: Vec<Name> = Vec::new();
        let mut seen: BTreeMap<Name, Span> = BTreeMap::new();
        for (text, span) in references {
            let Some(name) = self.resolve(text, span, kinds, problems) else { continue };
            if let Some(first) = seen.insert(name.clone(), span) {
                let diagnostic = Diagnostic::new(Code::RepeatedReference, span, format!("`{}` stands in the list twice", excerpt(text)));
                problems.add(diagnostic.also(first, "first here"));
                continue;
            }
            names.push(name);
        }
        names
    }

    /// Every entry of a kind that there is, those with problems of their own too.
    pub fn known_of(&self, kind: Kind) -> impl Iterator<Item = Name> {
        self.known.0.get(&kind).into_iter().flatten().map(move |id| Name::new(kind, id.clone()))
    }

    /// Whether any entry refers to this one.
    pub fn is_used(&self, name: &Name) -> bool {
        self.used.contains(name)
    }

    fn not_a_reference(&self, text: &str, span: Span, kinds: &[Kind]) -> Diagnostic {
        let message = format!("expected a reference such as `{}:some-id`, found `{}`", example(kinds).prefix(), excerpt(text));
        let diagnostic = Diagnostic::new(Code::BadReference, span, message);
        let Some((prefix, id)) = text.split_once(':') else {
            // An id alone, or the path of its file.
            let places = if kinds.is_empty() { &Kind::ALL[..] } else { kinds };
            let file = text.rsplit('/').next().unwrap_or(text).trim();
            let diagnostic = self.offer(diagnostic, file.strip_suffix(".yaml").unwrap_or(file), places);
            if !diagnostic.hints.is_empty() {
                return diagnostic;
            }
            return diagnostic.hint(match kinds {
                [Kind::Source] => {
                    "each source has an entry in the folder `sources`; name it by `source:` and the file's name without its ending"
                }
                _ => "a reference is a kind, a colon and the file's name without its ending",
            });
        };
        if let Some(kind) = Kind::from_prefix(prefix.trim()) {
            let diagnostic = self.offer(diagnostic, id.trim(), &[kind]);
            return diagnostic.hint("an id is the file's name without its ending: small letters, digits and single hyphens");
        }
        match nearest(prefix, Kind::ALL.iter().map(|kind| kind.prefix())) {
            Some(near) => diagnostic.hint(format!("did you mean `{near}:{}`?", excerpt(id))),
            None => {
                let prefixes: Vec<String> = Kind::ALL.iter().map(|kind| format!("`{}`", kind.prefix())).collect();
                diagnostic.hint(format!("kinds: {}", prefixes.join(", ")))
            }
        }
    }

    /// Adds the nearest known reference of these kinds.
    fn offer(&self, diagnostic: Diagnostic, id: &str, kinds: &[Kind]) -> Diagnostic {
        let mut best: Option<(usize, String)> = None;
        for kind in kinds {
            let Some(ids) = self.known.0.get(kind) else { continue };
            if let Some(found) = nearest(id, ids.iter().map(String::as_str)) {
                let distance = strsim::osa_distance(id, found);
                if best.as_ref().is_none_or(|(least, _)| distance < *least) {
                    best = Some((distance, format!("{}:{found}", kind.prefix())));
                }
            }
        }
        match best {
            Some((_, name)) => diagnostic.hint(format!("did you mean `{name}`?")),
            None => diagnostic,
        }
    }
}

fn example(kinds: &[Kind]) -> Kind {
    kinds.first().copied().unwrap_or(Kind::Check)
}

/// The word for one entry of a kind, within a sentence.
pub fn word(kind: Kind) -> String {
    if kind == Kind::Guide { "page of the guide".to_owned() } else { kind.word().to_lowercase() }
}

/// A text of any length as a message quotes it.
pub fn excerpt(text: &str) -> String {
    const MOST: usize = 60;
    match text.char_indices().nth(MOST) {
        None => text.to_owned(),
        Some((end, _)) => format!("{}…", &text[..end]),
    }
}

/// "a task or a check".
fn words(kinds: &[Kind]) -> String {
    let list: Vec<String> = kinds.iter().map(|kind| format!("a {}", word(*kind))).collect();
    match list.as_slice() {
        [] => "an entry".to_owned(),
        [one] => one.clone(),
        [rest @ .., last] => format!("{} or {last}", rest.join(", ")),
    }
}
