//! Values that stand in one scalar: lines of text, words, names, truths.

use std::borrow::Cow;
use std::ops::Deref;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};

use crate::diagnostic::{Code, Diagnostic, Problems};
use crate::source::{Placed, Span};

use super::decode::{Decode, Takes, wrong_type};
use super::node::{Node, NodeKind, shortened};

/// One line of plain text, not empty.
pub type Text = Placed<String>;

/// A word of small letters and digits joined by single `-`, at most 64 characters: the id of a part of an entry.
#[derive(Debug, Clone)]
pub struct Word(pub Text);

/// A name that formulas can use: `[a-z][a-z0-9_]*`, at most 64 characters.
#[derive(Debug, Clone)]
pub struct Name(pub Text);

/// A closed list of words.
pub trait Named: Sized {
    const NAMES: &'static [&'static str];
    fn named(name: &str) -> Option<Self>;
}

/// A value that stands in a single scalar.
pub trait Leaf: Sized {
    /// The value of a scalar, or `None` after telling what is wrong with it.
    fn leaf(node: &mut Node, problems: &mut Problems) -> Option<Self>;
    fn schema() -> Schema;
}

impl<T: Leaf> Decode for Placed<T> {
    fn decode(mut node: Node, problems: &mut Problems) -> Option<Self> {
        let value = T::leaf(&mut node, problems)?;
        Some(Placed::new(value, node.span))
    }
}

impl<T: Leaf> JsonSchema for Placed<T> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "Scalar".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        T::schema()
    }
}

/// Tells of a value of the right type that the field cannot have; always `None`.
pub fn wrong_value<T>(span: Span, message: String, problems: &mut Problems) -> Option<T> {
    problems.add(Diagnostic::new(Code::WrongValue, span, message));
    None
}

/// One line with something to see in it, and no control characters but tabs.
const LINE_PATTERN: &str = r"^[^\x00-\x08\x0a-\x1f\x7f-\x9f]*[^\s\x00-\x1f\x7f-\x9f][^\x00-\x08\x0a-\x1f\x7f-\x9f]*\s*$";

/// The complaint about a control character, which no page, index or package may carry.
pub fn control(text: &str) -> Option<String> {
    let found = text.chars().find(|c| c.is_control() && !matches!(c, '\n' | '\r' | '\t'))?;
    Some(format!("expected text without control characters, found {}", found.escape_default()))
}

impl Leaf for String {
    fn leaf(node: &mut Node, problems: &mut Problems) -> Option<Self> {
        if !matches!(node.kind, NodeKind::Text) {
            return wrong_type(node, Takes::Text, "one line of text", problems);
        }
        let text = std::mem::take(&mut node.inset.text);
        let line = text.trim_end();
        if line.trim().is_empty() {
            return wrong_value(node.span, "expected one line of text, found an empty one".to_owned(), problems);
        }
        if line.contains(['\n', '\r']) {
            let message = format!("expected one line of text, found {} lines", line.lines().count());
            return wrong_value(node.span, message, problems);
        }
        if let Some(control) = control(line) {
            return wrong_value(node.span, control, problems);
        }
        Some(if line.len() == text.len() { text } else { line.to_owned() })
    }

    fn schema() -> Schema {
        json_schema!({ "type": "string", "pattern": LINE_PATTERN })
    }
}

impl Leaf for bool {
    fn leaf(node: &mut Node, problems: &mut Problems) -> Option<Self> {
        match node.kind {
            NodeKind::Bool(truth) => Some(truth),
            _ => wrong_type(node, Takes::Truth, "`true` or `false`", problems),
        }
    }

    fn schema() -> Schema {
        json_schema!({ "type": "boolean" })
    }
}

impl<T: Named> Leaf for T {
    fn leaf(node: &mut Node, problems: &mut Problems) -> Option<Self> {
        let word = &node.inset.text;
        let value = match node.kind {
            NodeKind::List(_) | NodeKind::Map(_) => None,
            _ => T::named(word),
        };
        if value.is_some() {
            return value;
        }
        let list = T::NAMES.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>().join(", ");
        let expected = if T::NAMES.len() == 1 { list } else { format!("one of {list}") };
        if !matches!(node.kind, NodeKind::Text) {
            return wrong_type(node, Takes::Other, &expected, problems);
        }
        let problem = Diagnostic::new(Code::WrongValue, node.span, format!("expected {expected}, found {}", node.found()));
        let several: Vec<&str> = word.split_whitespace().collect();
        problems.add(if several.len() > 1 && several.iter().all(|one| T::NAMES.contains(one)) {
            problem.hint(format!("put a comma between them: `{}`", several.join(", ")))
        } else {
            problem.nearest(word, T::NAMES.iter().copied())
        });
        None
    }

    fn schema() -> Schema {
        json_schema!({ "enum": T::NAMES })
    }
}

/// A newtype's schema, always written in place.
macro_rules! inline_schema {
    ([$($generic:tt)*] $type:ty, |$generator:ident| $schema:expr) => {
        impl<$($generic)*> JsonSchema for $type {
            fn inline_schema() -> bool {
                true
            }

            fn schema_name() -> Cow<'static, str> {
                stringify!($type).into()
            }

            fn json_schema($generator: &mut SchemaGenerator) -> Schema {
                $schema
            }
        }
    };
}

pub(super) use inline_schema;

impl Deref for Word {
    type Target = Text;

    fn deref(&self) -> &Text {
        &self.0
    }
}

impl Decode for Word {
    fn decode(node: Node, problems: &mut Problems) -> Option<Self> {
        let text = Text::decode(node, problems)?;
        if is_id(&text) {
            return Some(Self(text));
        }
        let message = format!("expected small letters and digits joined by single `-`, found `{}`", shortened(&text));
        let mut problem = Diagnostic::new(Code::WrongValue, text.span, message);
        let lower = text.to_lowercase();
        let words = lower.split(|c: char| !c.is_ascii_alphanumeric()).filter(|word| !word.is_empty());
        let mended = words.collect::<Vec<_>>().join("-");
        if text.is_ascii() && is_id(&mended) {
            problem = problem.hint(format!("write `{mended}`"));
        }
        problems.add(problem);
        None
    }
}

/// The pattern of [`is_id`], for schemas.
pub const ID_PATTERN: &str = "^[a-z0-9]+(-[a-z0-9]+)*$";

/// Whether a text can be an id: `[a-z0-9]+(-[a-z0-9]+)*`, at most 64 characters.
pub fn is_id(text: &str) -> bool {
    let word = |word: &str| !word.is_empty() && word.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit());
    text.len() <= 64 && text.split('-').all(word)
}

inline_schema!([] Word, |_generator| json_schema!({ "type": "string", "pattern": ID_PATTERN, "maxLength": 64 }));

impl Deref for Name {
    type Target = Text;

    fn deref(&self) -> &Text {
        &self.0
    }
}

impl Name {
    /// A text as a name; tells and gives `None` if it cannot be one.
    pub fn checked(text: Text, problems: &mut Problems) -> Option<Self> {
        let tail = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_';
        if text.len() <= 64 && text.starts_with(|c: char| c.is_ascii_lowercase()) && text.bytes().all(tail) {
            return Some(Self(text));
        }
        let message = format!("expected a name of small letters, digits and `_` that begins with a letter, found `{}`", shortened(&text));
        let mut problem = Diagnostic::new(Code::WrongValue, text.span, message);
        let mended = text.to_lowercase().replace([' ', '-', '.'], "_");
        if text.contains(',') {
            problem = problem.hint(format!("write several names in brackets: `[{}]`", shortened(&text)));
        } else if mended.len() <= 64 && mended.starts_with(|c: char| c.is_ascii_lowercase()) && mended.bytes().all(tail) {
            problem = problem.hint(format!("write `{mended}`"));
        }
        problems.add(problem);
        None
    }
}

impl Decode for Name {
    fn decode(node: Node, problems: &mut Problems) -> Option<Self> {
        Self::checked(Text::decode(node, problems)?, problems)
    }
}

/// The pattern of a [`Name`], for schemas.
pub const NAME_PATTERN: &str = "^[a-z][a-z0-9_]*$";

inline_schema!([] Name, |_generator| json_schema!({ "type": "string", "pattern": NAME_PATTERN, "maxLength": 64 }));
