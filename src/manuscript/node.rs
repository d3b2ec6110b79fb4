//! YAML as a plain tree in which every value knows its place.

use crate::source::{Inset, Placed, Span};

/// One YAML value as written.
#[derive(Debug, Clone, Default)]
pub struct Node {
    /// A scalar's place with its quotes; a list's or map's from its first to its last byte.
    pub span: Span,
    pub kind: NodeKind,
    /// A scalar's text without quotes and escapes, mapped onto the file; empty for lists and maps.
    pub inset: Inset,
}

/// What a value is by the YAML core schema.
#[derive(Debug, Clone, Default)]
pub enum NodeKind {
    /// Nothing written, `~` or `null`.
    #[default]
    Null,
    Bool(bool),
    /// A finite number; whole numbers above 2^53 lose their last digits.
    Number(f64),
    /// The text is in [`Node::inset`].
    Text,
    List(Vec<Node>),
    /// In written order; no key stands twice.
    Map(Vec<(Placed<String>, Node)>),
    /// What cannot be read as it was meant, and was told of.
    Doubtful,
}

impl Node {
    /// What was found, for messages: ``the text `five` ``, `a list`, `nothing`.
    pub fn found(&self) -> String {
        match &self.kind {
            NodeKind::Null => "nothing".to_owned(),
            NodeKind::Bool(_) => format!("the truth `{}`", self.inset.text),
            NodeKind::Number(_) => format!("the number `{}`", self.inset.text),
            NodeKind::Text if self.inset.text.is_empty() => "an empty text".to_owned(),
            NodeKind::Text => format!("the text `{}`", shortened(&self.inset.text)),
            NodeKind::List(items) if items.is_empty() => "an empty list".to_owned(),
            NodeKind::List(_) => "a list".to_owned(),
            NodeKind::Map(_) => "a map of fields".to_owned(),
            NodeKind::Doubtful => "what is in doubt".to_owned(),
        }
    }

    /// A short place to point at: a scalar's own, the first key of a map, the bracket or dash with which a list begins.
    pub fn place(&self) -> Span {
        match &self.kind {
            NodeKind::Map(entries) => entries.first().map_or(self.span, |(key, _)| key.span),
            NodeKind::List(_) => Span { end: self.span.end.min(self.span.start + 1), ..self.span },
            _ => self.span,
        }
    }
}

/// The first line of a text, at most 40 characters of it, control characters as escapes.
pub fn shortened(text: &str) -> String {
    let text = text.trim();
    let line = text.lines().next().unwrap_or("");
    let mut short = String::new();
    for c in line.chars().take(40) {
        if c.is_control() {
            short.extend(c.escape_default());
        } else {
            short.push(c);
        }
    }
    if line.len() < text.len() || line.chars().nth(40).is_some() {
        short.push('…');
    }
    short
}
