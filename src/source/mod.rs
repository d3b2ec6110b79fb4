//! Files as text, and places in them.
//!
//! Every later message points at a place, so a value is read once together with its [`Span`] and never loses it.

mod inset;

pub use inset::Inset;

/// One file of the handbook, or one text given on the command line.
#[derive(Debug, Clone)]
pub struct Source {
    /// The path as shown to the author, with `/` between folders.
    pub path: String,
    pub text: String,
    line_starts: Vec<u32>,
}

/// Names one [`Source`] in [`Sources`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct SourceId(pub u32);

/// A stretch of bytes in one source; `start..end`, both on character boundaries.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span {
    pub source: SourceId,
    pub start: u32,
    pub end: u32,
}

/// A value and where it stands.
#[derive(Debug, Clone, Default)]
pub struct Placed<T> {
    pub value: T,
    pub span: Span,
}

/// All texts of one run, in reading order.
#[derive(Debug, Clone, Default)]
pub struct Sources(Vec<Source>);

impl Source {
    pub fn new(path: impl Into<String>, text: impl Into<String>) -> Self {
        let text = text.into();
        let mut line_starts = vec![0];
        line_starts.extend(text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(at, _)| at as u32 + 1));
        Self { path: path.into(), text, line_starts }
    }

    /// Line and column of a byte offset, both from 1; the column counts characters.
    pub fn line_column(&self, offset: u32) -> (usize, usize) {
        let offset = (offset as usize).min(self.text.len());
        let line = self.line_starts.partition_point(|start| *start as usize <= offset) - 1;
        let start = self.line_starts[line] as usize;
        let column = self.text.get(start..offset).map_or(0, |before| before.chars().count());
        (line + 1, column + 1)
    }
}

impl Span {
    pub fn new(source: SourceId, start: usize, end: usize) -> Self {
        Self { source, start: start as u32, end: end.max(start) as u32 }
    }

    /// The smallest span that covers both; both must be in the same source.
    pub fn to(self, other: Span) -> Span {
        Span { source: self.source, start: self.start.min(other.start), end: self.end.max(other.end) }
    }
}

impl<T> Placed<T> {
    pub fn new(value: T, span: Span) -> Self {
        Self { value, span }
    }

    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Placed<U> {
        Placed { value: change(self.value), span: self.span }
    }

    pub fn as_ref(&self) -> Placed<&T> {
        Placed { value: &self.value, span: self.span }
    }
}

impl<T> std::ops::Deref for Placed<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.value
    }
}

impl Sources {
    pub fn add(&mut self, source: Source) -> SourceId {
        self.0.push(source);
        SourceId(self.0.len() as u32 - 1)
    }

    pub fn get(&self, id: SourceId) -> Option<&Source> {
        self.0.get(id.0 as usize)
    }

    pub fn iter(&self) -> impl Iterator<Item = (SourceId, &Source)> {
        self.0.iter().enumerate().map(|(at, source)| (SourceId(at as u32), source))
    }

    /// Puts a folder before every path, so that an author can go to the places shown.
    pub fn lie_in(&mut self, folder: &str) {
        let folder = folder.replace('\\', "/");
        let folder = folder.trim_end_matches('/');
        for source in self.0.iter_mut().filter(|_| !folder.is_empty() && folder != ".") {
            source.path = format!("{folder}/{}", source.path);
        }
    }

    /// The text a span covers; empty if the span is not of these sources.
    pub fn slice(&self, span: Span) -> &str {
        self.get(span.source).and_then(|source| source.text.get(span.start as usize..span.end as usize)).unwrap_or("")
    }
}
