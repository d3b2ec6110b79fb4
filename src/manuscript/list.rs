//! Optional values, lists and maps of values.

use std::borrow::Cow;
use std::ops::Deref;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};

use crate::diagnostic::{Code, Diagnostic, Once, Problems};
use crate::source::{Placed, Span};

use super::decode::{COMMA, Decode, Takes, wrong_type};
use super::node::{Node, NodeKind, shortened};
use super::reference::{RefText, Target};
use super::value::Name;

/// A required list of at least `MIN` items.
#[derive(Debug, Clone)]
pub struct List<T, const MIN: usize>(pub Vec<T>);

/// One value, or a list of at least one.
#[derive(Debug, Clone)]
pub struct OneOrMore<T>(pub Vec<T>);

/// A map with keys of the author's choice, in written order; may be left out unless it needs at least `MIN` pairs.
#[derive(Debug, Clone)]
pub struct Pairs<K, V, const MIN: usize = 0>(pub Vec<(K, V)>);

/// What can be made of a map's key.
pub trait Key: Sized {
    fn key(key: Placed<String>, problems: &mut Problems) -> Option<Self>;
    /// The pattern of such keys in a schema.
    fn pattern() -> String;
}

impl<T: Decode> Decode for Option<T> {
    const OPTIONAL: bool = true;

    fn absent() -> Option<Self> {
        Some(None)
    }

    /// The inner type's: a field that is left out is not the same as `null`.
    fn field_schema(generator: &mut SchemaGenerator) -> Schema {
        T::field_schema(generator)
    }

    fn decode(node: Node, problems: &mut Problems) -> Option<Self> {
        T::decode(node, problems).map(Some)
    }
}

fn items<T: Decode>(items: Vec<Node>, problems: &mut Problems) -> Option<Vec<T>> {
    // Every item is decoded even after a wrong one, so that all problems are told.
    let decode = |item: Node| {
        let (place, before) = (item.place(), problems.len());
        let value = T::decode(item, problems);
        // Where the field's name is missing above a list, every item is of the wrong type.
        for problem in problems.after(before).iter_mut().filter(|problem| problem.code == Code::WrongType && problem.span == place) {
            problem.once = Once::PerFile;
        }
        value
    };
    let decoded: Vec<Option<T>> = items.into_iter().map(decode).collect();
    decoded.into_iter().collect()
}

fn too_few<T>(span: Span, what: &str, least: usize, found: usize, problems: &mut Problems) -> Option<T> {
    let plural = if least == 1 { "" } else { "s" };
    let message = format!("expected a {what} of at least {least} item{plural}, found {found}");
    problems.add(Diagnostic::new(Code::WrongValue, span, message));
    None
}

impl<T: Decode> Decode for Vec<T> {
    const OPTIONAL: bool = true;

    fn absent() -> Option<Self> {
        Some(Vec::new())
    }

    fn decode(node: Node, problems: &mut Problems) -> Option<Self> {
        match node.kind {
            NodeKind::List(list) => items(list, problems),
            _ => wrong_type(&node, Takes::List, "a list", problems),
        }
    }
}

impl<T: Decode, const MIN: usize> Decode for List<T, MIN> {
    fn decode(node: Node, problems: &mut Problems) -> Option<Self> {
        let span = node.span;
        let NodeKind::List(list) = node.kind else { return wrong_type(&node, Takes::List, "a list", problems) };
        let count = list.len();
        let list = items(list, problems);
        if count < MIN {
            return too_few(span, "list", MIN, count, problems);
        }
        list.map(Self)
    }
}

impl<T, const MIN: usize> Deref for List<T, MIN> {
    type Target = Vec<T>;

    fn deref(&self) -> &Vec<T> {
        &self.0
    }
}

impl<T: Decode, const MIN: usize> JsonSchema for List<T, MIN> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "List".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "array", "items": generator.subschema_for::<T>(), "minItems": MIN })
    }
}

impl<T: Decode> Decode for OneOrMore<T> {
    fn decode(node: Node, problems: &mut Problems) -> Option<Self> {
        match node.kind {
            NodeKind::List(_) => List::<T, 1>::decode(node, problems).map(|list| Self(list.0)),
            _ => T::decode(node, problems).map(|one| Self(vec![one])),
        }
    }
}

impl<T> Deref for OneOrMore<T> {
    type Target = Vec<T>;

    fn deref(&self) -> &Vec<T> {
        &self.0
    }
}

impl<T: Decode> JsonSchema for OneOrMore<T> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "OneOrMore".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        json_schema!({ "anyOf": [generator.subschema_for::<T>(), generator.subschema_for::<List<T, 1>>()] })
    }
}

impl<T: Target> Key for RefText<T> {
    fn key(key: Placed<String>, _: &mut Problems) -> Option<Self> {
        Some(Self::new(key))
    }

    fn pattern() -> String {
        super::reference::pattern(T::KINDS)
    }
}

impl Key for Name {
    fn key(key: Placed<String>, problems: &mut Problems) -> Option<Self> {
        Name::checked(key, problems)
    }

    fn pattern() -> String {
        super::value::NAME_PATTERN.to_owned()
    }
}

impl<K: Key, V: Decode, const MIN: usize> Decode for Pairs<K, V, MIN> {
    const OPTIONAL: bool = MIN == 0;

    fn absent() -> Option<Self> {
        (MIN == 0).then(|| Self(Vec::new()))
    }

    fn decode(node: Node, problems: &mut Problems) -> Option<Self> {
        let span = node.span;
        // A map in braces begins before its first name.
        let in_braces = node.place().start > span.start;
        let NodeKind::Map(entries) = node.kind else { return wrong_type(&node, Takes::Other, "a map", problems) };
        if entries.len() < MIN {
            return too_few(span, "map", MIN, entries.len(), problems);
        }
        // `{fault: 0,4}` is read as `fault: 0` and a name `4` without a value.
        let after_comma = |(key, value): &(Placed<String>, Node)| {
            matches!(value.kind, NodeKind::Null) && key.starts_with(|sign: char| sign.is_ascii_digit())
        };
        if let Some(at) = entries.iter().skip(1).position(after_comma).filter(|_| in_braces) {
            let (before, after) = (&entries[at], &entries[at + 1]);
            let message = format!("expected a name and its value, found `{}` after a comma", shortened(&after.0));
            problems.add(Diagnostic::new(Code::WrongValue, before.1.span.to(after.0.span), message).hint(COMMA));
            return None;
        }
        let mut pair = |(key, value): (Placed<String>, Node)| {
            let glued = key.value.rsplit_once(':').is_some_and(|(_, after)| after.starts_with(|sign: char| sign.is_ascii_digit()));
            if matches!(value.kind, NodeKind::Null) && glued {
                let message = format!("expected `: ` between a name and its value, found `{}`", shortened(&key.value));
                problems.add(Diagnostic::new(Code::WrongValue, key.span, message).hint("put a space after the colon"));
                return None;
            }
            let (key, value) = (K::key(key, problems), V::decode(value, problems));
            Some((key?, value?))
        };
        let decoded: Vec<Option<(K, V)>> = entries.into_iter().map(&mut pair).collect();
        decoded.into_iter().collect::<Option<_>>().map(Self)
    }
}

impl<K, V, const MIN: usize> Deref for Pairs<K, V, MIN> {
    type Target = Vec<(K, V)>;

    fn deref(&self) -> &Vec<(K, V)> {
        &self.0
    }
}

impl<K: Key, V: Decode, const MIN: usize> JsonSchema for Pairs<K, V, MIN> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "Pairs".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "object",
            "minProperties": MIN,
            "propertyNames": { "pattern": K::pattern() },
            "additionalProperties": generator.subschema_for::<V>(),
        })
    }
}
