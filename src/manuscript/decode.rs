//! From nodes to typed values, going on after an error so that one run shows all problems of a file.

use schemars::{JsonSchema, Schema, SchemaGenerator};

use crate::diagnostic::{Code, Diagnostic, Problems, listed, nearest};
use crate::source::{Placed, Span};

use super::node::{Node, NodeKind, shortened};
use super::record::Field;

/// A value that a field can have.
pub trait Decode: Sized + JsonSchema {
    /// Whether a field of this type may be left out.
    const OPTIONAL: bool = false;

    /// The value of a field that was left out; `None` if it is required.
    fn absent() -> Option<Self> {
        None
    }

    /// The schema of a field of this type.
    fn field_schema(generator: &mut SchemaGenerator) -> Schema {
        generator.subschema_for::<Self>()
    }

    /// The value, or `None` after telling what is wrong with it.
    fn decode(node: Node, problems: &mut Problems) -> Option<Self>;
}

/// What a field takes, for the hint where something else stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Takes {
    Text,
    Number,
    /// A number between 0 and 1.
    Chance,
    /// A number, a text or a truth.
    Cell,
    Truth,
    Formula,
    Reference,
    List,
    /// A map, or one of several words.
    Other,
}

/// Tells that something else was awaited, unless the value is in doubt already; always `None`. `words` are for what the field takes.
pub fn wrong_type<T>(node: &Node, takes: Takes, words: &str, problems: &mut Problems) -> Option<T> {
    if matches!(node.kind, NodeKind::Doubtful) {
        return None;
    }
    let mut problem = Diagnostic::new(Code::WrongType, node.place(), format!("expected {words}, found {}", node.found()));
    problem.hints.extend(instead(node, takes));
    problems.add(problem);
    None
}

/// What to do about a value of the wrong type, where that can be known.
fn instead(node: &Node, takes: Takes) -> Option<String> {
    let text = node.inset.text.as_str();
    Some(
        match (takes, &node.kind) {
            (Takes::Text, NodeKind::Number(_) | NodeKind::Bool(_)) => return Some(format!("put it in quotes: '{text}'")),
            (Takes::Text | Takes::Cell, NodeKind::Map(_)) => "put text that holds `: ` in quotes",
            (Takes::Text, NodeKind::List(items)) if items.last().is_some_and(|last| last.span.end == node.span.end) => {
                "write `|` after the colon: then the lines below are text"
            }
            (Takes::Text, NodeKind::List(_)) => "put text that begins with a bracket in quotes: `'[…]'`",
            (Takes::Text, NodeKind::Null) => {
                "write it after the colon, or leave out the field if it may be; text that begins with `#` needs quotes"
            }
            (Takes::Number | Takes::Chance | Takes::Cell, NodeKind::List(_)) => "take the brackets out: one value stands here",
            (Takes::Chance, NodeKind::Text) if text.ends_with('%') => "write percent as a part of one: 5 percent is 0.05",
            (Takes::Number | Takes::Chance, NodeKind::Text) if text.starts_with(['“', '”', '‘', '’']) => {
                "take the quotes out: a number has none"
            }
            (Takes::Number | Takes::Chance, NodeKind::Text) if looks_like_a_number(text) => {
                "write digits with at most one point, without quotes, units, spaces and commas, as in 2.5"
            }
            (Takes::Truth, NodeKind::Text) => match text.to_lowercase().as_str() {
                "yes" | "on" | "y" => "write `true`",
                "no" | "off" | "n" => "write `false`",
                _ => return None,
            },
            (Takes::Formula, NodeKind::Map(_)) => {
                "write a truth with `==`, the text in double quotes and the whole in single ones: `'kind == \"coil\"'`"
            }
            (Takes::Reference, NodeKind::List(items)) if items.len() < 2 => {
                "take the brackets, or the `- `, out: one reference stands here"
            }
            (Takes::Reference, NodeKind::List(_)) => "only one reference may stand here",
            (Takes::List, NodeKind::Text) => return Some(as_a_list(text)),
            (Takes::List, NodeKind::Map(fields)) if fields.iter().all(|(key, _)| key.bytes().all(|byte| byte.is_ascii_digit())) => {
                "write `- ` in place of each number and its colon; numbers come by themselves"
            }
            // A map in braces begins before its first field.
            (Takes::List, NodeKind::Map(_)) if node.place().start == node.span.start => "write `- ` before the first field of each item",
            (Takes::List, NodeKind::Map(_)) => "write a list, in brackets: `[…]`",
            (Takes::List, NodeKind::Null) => "write the items here, or `[]` for none; a field that may be left out needs neither",
            _ => return None,
        }
        .to_owned(),
    )
}

/// How to make a list of a text that stands in its place.
fn as_a_list(text: &str) -> String {
    let text = text.trim_start();
    if text.starts_with("- ") {
        return "take the `|` or `>` out that makes a text of these lines".to_owned();
    }
    let number = text.trim_start_matches(|sign: char| sign.is_ascii_digit());
    if text.starts_with('-') || (number.len() < text.len() && number.starts_with(". ")) {
        return "write `- `, with a space, before each item; numbers come by themselves".to_owned();
    }
    if ["none", "nothing", "no", "n/a", "-"].contains(&text.trim_end().to_lowercase().as_str()) {
        return "write `[]` for none".to_owned();
    }
    if text.contains(" - ") {
        return "write `- ` before every item, the first one too".to_owned();
    }
    if text.trim_end().contains('\n') {
        "write `- ` before each item, each on a line of its own".to_owned()
    } else {
        format!("put it in a list: `[{}]`", shortened(text))
    }
}

/// Whether an author will have meant a number: `2,5`, `1 000`, `5 V`, `"3"`.
fn looks_like_a_number(text: &str) -> bool {
    text.trim_start_matches(['+', '-', '−', '.', ',', '<', '>', '~', '≈']).starts_with(|c: char| c.is_ascii_digit())
}

/// The fields of one map, taken out one by one; what is left at the end is unknown.
pub struct Fields {
    /// A short place that stands for the map: its first key.
    pub place: Span,
    entries: Vec<(Placed<String>, Option<Node>)>,
    known: Vec<&'static str>,
    /// Required fields that were not found.
    missing: Vec<&'static str>,
}

impl Fields {
    /// The fields of a map; tells and gives `None` if the node is none.
    pub fn open(node: Node, expected: &str, problems: &mut Problems) -> Option<Self> {
        let place = node.place();
        match node.kind {
            NodeKind::Map(entries) => {
                let entries = entries.into_iter().map(|(key, value)| (key, Some(value))).collect();
                Some(Self { place, entries, known: Vec::new(), missing: Vec::new() })
            }
            _ => wrong_type(&node, Takes::Other, expected, problems),
        }
    }

    /// The place of a field's key, if the field was written.
    pub fn place_of(&self, field: &str) -> Option<Span> {
        self.entries.iter().find(|(key, _)| is_key_of(field, key)).map(|(key, _)| key.span)
    }

    /// Whether more than one was written of the fields that tell records apart; tells of it.
    pub fn several(&self, markers: &[Option<&str>], problems: &mut Problems) -> bool {
        let written: Vec<(&str, Span)> = markers.iter().flatten().filter_map(|marker| Some((*marker, self.place_of(marker)?))).collect();
        let [(first, before), (second, place), ..] = written.as_slice() else { return false };
        let names = markers.iter().flatten().map(|marker| format!("`{marker}`")).collect::<Vec<_>>().join(", ");
        let message = format!("expected one of the fields {names}, found `{first}` and `{second}`");
        problems.add(Diagnostic::new(Code::UnknownField, *place, message).also(*before, "the other one"));
        true
    }

    /// Decodes one field; tells if it is required and missing.
    pub fn take<T: Decode>(&mut self, field: &'static str, problems: &mut Problems) -> Option<T> {
        self.known.push(field);
        match self.entries.iter_mut().find(|(key, _)| is_key_of(field, key)) {
            Some((_, node)) => T::decode(node.take()?, problems),
            None if T::OPTIONAL => T::absent(),
            None => {
                self.missing.push(field);
                None
            }
        }
    }

    /// Reads misspelt names of fields as what they most likely stand for, and tells of each: then nothing is missing for want of
    /// a letter, and the rest is still checked.
    pub fn mend(&mut self, known: &[Field], problems: &mut Problems) {
        // Most maps have no such name, and there are many maps.
        if self.entries.iter().all(|(key, _)| known.iter().any(|field| is_key_of(field.name, key))) {
            return;
        }
        let names: Vec<String> = known.iter().map(|field| key_of(field.name)).collect();
        for at in 0..self.entries.len() {
            let key = &self.entries[at].0;
            if names.contains(&key.value) {
                continue;
            }
            let written = |name: &str| self.entries.iter().any(|(key, _)| key.value == name);
            let free = |required: bool| {
                let fields = known.iter().zip(&names).filter(move |(field, name)| !(written(name) || required && field.optional));
                fields.map(|(_, name)| name.as_str())
            };
            let distance = |name: &str| strsim::osa_distance(key, name);
            // What is needed is rather meant than what is not.
            let meant = match (nearest(key, free(true)), nearest(key, free(false))) {
                (Some(needed), Some(near)) if distance(needed) <= distance(near) => needed,
                (_, Some(near)) => near,
                _ => continue,
            };
            problems.add(unknown_field(key).hint(format!("did you mean `{meant}`?")).hint(known_fields(&names)));
            let meant = meant.to_owned();
            self.entries[at].0.value = meant;
        }
    }

    /// Tells of every field that nobody took, and of those that are missing.
    pub fn close(mut self, problems: &mut Problems) {
        let known: Vec<String> = self.known.iter().map(|field| key_of(field)).collect();
        let unknown: Vec<&(Placed<String>, Option<Node>)> = self.entries.iter().filter(|(_, node)| node.is_some()).collect();
        // Nothing of what belongs here, and several other fields: something else stands here, such as an item of another list.
        if unknown.len() > 1 && unknown.len() == self.entries.len() && !self.missing.is_empty() {
            let names: Vec<String> = unknown.iter().map(|(key, _)| shortened(key)).collect();
            let message = format!("there are no fields {} here", listed(names.iter().map(String::as_str)));
            problems.add(Diagnostic::new(Code::UnknownField, self.place, message).hint(known_fields(&known)));
            return;
        }
        // One name too many and one too few: most likely a single slip.
        let instead = match (unknown.as_slice(), self.missing.as_slice()) {
            ([_], [_]) => self.missing.pop().map(key_of),
            _ => None,
        };
        for (key, node) in unknown {
            let mut problem = unknown_field(key).nearest(key, known.iter().map(String::as_str));
            if let Some(missing) = &instead {
                problem = problem.hint(format!("the required field `{missing}` is missing; is it this one?"));
            }
            let words = key.contains(' ') && node.as_ref().is_some_and(|node| matches!(node.kind, NodeKind::Null));
            if words || key.starts_with(|sign: char| sign.is_ascii_digit()) || key.contains(')') {
                problem = problem.hint(COMMA);
            }
            if key.starts_with(char::is_whitespace) {
                problem = problem.hint("a no-break or another special space stands before the name; type ordinary spaces in its place");
            }
            problems.add(problem.hint(known_fields(&known)));
        }
        let missing: Vec<String> = self.missing.iter().map(|field| key_of(field)).collect();
        let message = match missing.as_slice() {
            [] => return,
            [one] => format!("the required field `{one}` is missing"),
            several => format!("the required fields {} are missing", listed(several.iter().map(String::as_str))),
        };
        problems.add(Diagnostic::new(Code::MissingField, self.place, message));
    }
}

/// What a comma does in braces.
pub const COMMA: &str =
    "in braces a comma ends the value before it: write decimals with a point, as in 2.5, and put text that holds a comma in quotes";

fn unknown_field(key: &Placed<String>) -> Diagnostic {
    Diagnostic::new(Code::UnknownField, key.span, format!("there is no field `{}` here", shortened(key)))
}

fn known_fields(known: &[String]) -> String {
    format!("known fields: {}", known.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>().join(", "))
}

/// The YAML key of a Rust field: hyphens for underscores, no `r#`.
pub fn key_of(field: &str) -> String {
    field.strip_prefix("r#").unwrap_or(field).replace('_', "-")
}

pub fn is_key_of(field: &str, key: &str) -> bool {
    let field = field.strip_prefix("r#").unwrap_or(field);
    field.len() == key.len() && field.bytes().zip(key.bytes()).all(|(a, b)| (if a == b'_' { b'-' } else { a }) == b)
}
