//! What is wrong, as data. Nothing here prints; the command line draws these values.

mod code;

pub use code::{Code, Lesson};

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use crate::source::{SourceId, Sources, Span};

/// How bad it is: an error keeps the site from being written, a warning does not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    Error,
    Warning,
}

/// Where a message that comes again is of the same slip, such as a name that was changed where it is given but not where it is
/// used. There it is told once, with all its places.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Once {
    PerPlace,
    PerFile,
    PerHandbook,
}

/// One problem at one place.
#[derive(Debug, Clone)]
pub struct Diagnostic {
    pub code: Code,
    pub span: Span,
    pub once: Once,
    /// What is wrong: lower case, no full stop, "expected …, found …" where something else was awaited.
    pub message: String,
    /// Words at the caret; empty if the message says it all.
    pub label: String,
    /// What to do, or the nearest known name.
    pub hints: Vec<String>,
    /// Other places that belong to the problem, each with its words.
    pub also: Vec<(Span, String)>,
}

/// The problems of one run. Reading and checking go on after an error, so that one run shows all.
#[derive(Debug, Clone, Default)]
pub struct Problems(Vec<Diagnostic>);

impl Diagnostic {
    pub fn new(code: Code, span: Span, message: impl Into<String>) -> Self {
        let message = plain(message.into());
        Self { code, span, once: code.once(), message, label: String::new(), hints: Vec::new(), also: Vec::new() }
    }

    /// Tells it once within something else than its code says.
    pub fn once(mut self, once: Once) -> Self {
        self.once = once;
        self
    }

    pub fn label(mut self, label: impl Into<String>) -> Self {
        self.label = plain(label.into());
        self
    }

    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(plain(hint.into()));
        self
    }

    /// Adds "did you mean `…`?" if one of the known names is near the wrong one.
    pub fn nearest<'a>(self, wrong: &str, known: impl IntoIterator<Item = &'a str>) -> Self {
        match nearest(wrong, known) {
            Some(name) => self.hint(format!("did you mean `{name}`?")),
            None => self,
        }
    }

    pub fn also(mut self, span: Span, words: impl Into<String>) -> Self {
        self.also.push((span, plain(words.into())));
        self
    }

    pub fn severity(&self) -> Severity {
        self.code.severity()
    }

    /// `path:line:column code message`, without label, hints and further places.
    pub fn in_one_line(&self, sources: &Sources) -> String {
        let (path, (line, column)) = match sources.get(self.span.source) {
            Some(source) => (source.path.as_str(), source.line_column(self.span.start)),
            None => ("", (1, 1)),
        };
        format!("{path}:{line}:{column} {} {}", self.code.name(), self.message)
    }
}

impl Problems {
    pub fn add(&mut self, diagnostic: Diagnostic) {
        self.0.push(diagnostic);
    }

    pub fn append(&mut self, mut other: Problems) {
        self.0.append(&mut other.0);
    }

    pub fn has_errors(&self) -> bool {
        self.0.iter().any(|diagnostic| diagnostic.severity() == Severity::Error)
    }

    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// By file in reading order, then by place, then by code; the same problem at the same place is told once, as is one
    /// that comes again within its [`Once`].
    pub fn sorted(mut self) -> Vec<Diagnostic> {
        self.0.sort_by(|a, b| (a.span, a.code, &a.message).cmp(&(b.span, b.code, &b.message)));
        self.0.dedup_by(|a, b| a.span == b.span && a.code == b.code && a.message == b.message);
        told_once(self.0)
    }

    pub fn iter(&self) -> impl Iterator<Item = &Diagnostic> {
        self.0.iter()
    }

    /// Those that were added after the first `count`.
    pub fn after(&mut self, count: usize) -> &mut [Diagnostic] {
        self.0.get_mut(count..).unwrap_or_default()
    }
}

/// Names in a sentence: `` `a`, `b` and `c` ``.
pub fn listed<'a>(names: impl IntoIterator<Item = &'a str>) -> String {
    let names: Vec<String> = names.into_iter().map(|name| format!("`{name}`")).collect();
    match names.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, before)) => format!("{} and {last}", before.join(", ")),
        None => String::new(),
    }
}

/// Puts what comes again to the first of its kind, as further places.
fn told_once(problems: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let mut once: Vec<Diagnostic> = Vec::with_capacity(problems.len());
    let mut first: HashMap<(Code, String, Vec<String>, Option<SourceId>), usize> = HashMap::new();
    for problem in problems {
        let file = match problem.once {
            Once::PerPlace => {
                once.push(problem);
                continue;
            }
            Once::PerFile => Some(problem.span.source),
            Once::PerHandbook => None,
        };
        match first.entry((problem.code, problem.message.clone(), problem.hints.clone(), file)) {
            Entry::Occupied(at) => {
                let also = &mut once[*at.get()].also;
                also.push((problem.span, "here too".to_owned()));
                also.extend(problem.also);
            }
            Entry::Vacant(at) => {
                at.insert(once.len());
                once.push(problem);
            }
        }
    }
    once
}

/// One line without characters that steer a terminal or turn the direction of writing; those stand as escapes.
///
/// Messages quote what stands in files, and files may come from anyone.
fn plain(text: String) -> String {
    let steers = |sign: char| {
        sign.is_control()
            || matches!(sign, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
    };
    if !text.contains(steers) {
        return text;
    }
    let mut line = String::with_capacity(text.len() + 8);
    for sign in text.chars() {
        if steers(sign) { line.extend(sign.escape_default()) } else { line.push(sign) }
    }
    line
}

/// The known name that is nearest to a wrong one, if any is near enough to be what was meant.
///
/// Near enough: at most a third of the letters differ (adjacent letters swapped count as one difference), or the wrong name has
/// at least four letters and only one known name begins with them.
pub fn nearest<'a>(wrong: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wrong = wrong.to_lowercase();
    let length = wrong.chars().count();
    let limit = (length / 3).max(1);
    let mut near: Option<(usize, &str)> = None;
    let mut begun: Option<&str> = None;
    let mut several = false;
    for name in known {
        let lower = name.to_lowercase();
        let distance = strsim::osa_distance(&wrong, &lower);
        if distance <= limit && near.is_none_or(|best| (distance, name) < best) {
            near = Some((distance, name));
        }
        if lower.starts_with(&wrong) {
            several |= begun.is_some_and(|other| other != name);
            begun = Some(name);
        }
    }
    near.map(|(_, name)| name).or(begun.filter(|_| length >= 4 && !several))
}
