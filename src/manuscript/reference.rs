//! References as written: `check:prove-dead`, not yet looked up.

use std::borrow::Cow;
use std::marker::PhantomData;
use std::ops::Deref;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};

use crate::diagnostic::{Code, Diagnostic, Problems};
use crate::source::Placed;

use super::decode::{Decode, Takes, wrong_type};
use super::kind::Kind;
use super::node::{Node, NodeKind, shortened};

/// The kinds of entries that a field may refer to.
pub trait Target {
    const KINDS: &'static [Kind];
}

/// A reference as written, `kind:id`; neither its form nor its target is checked by the reader.
#[derive(Debug, Clone)]
pub struct RefText<T: Target>(pub Placed<String>, PhantomData<T>);

impl<T: Target> RefText<T> {
    pub fn new(text: Placed<String>) -> Self {
        Self(text, PhantomData)
    }

    /// The kinds that the field takes.
    pub fn kinds(&self) -> &'static [Kind] {
        T::KINDS
    }

    /// The same text, free of what the field takes: for lists of mixed references.
    pub fn any(&self) -> RefText<ToAny> {
        RefText::new(self.0.clone())
    }
}

impl<T: Target> Deref for RefText<T> {
    type Target = Placed<String>;

    fn deref(&self) -> &Placed<String> {
        &self.0
    }
}

impl<T: Target> Decode for RefText<T> {
    fn decode(node: Node, problems: &mut Problems) -> Option<Self> {
        match node.kind {
            NodeKind::Text => Some(Self::new(Placed::new(node.inset.text, node.span))),
            NodeKind::Map(ref fields) if let [(kind, Node { kind: NodeKind::Text, inset, .. })] = fields.as_slice() => {
                let message = format!("expected a reference such as `{}:…`, found a map of fields", T::KINDS[0].name());
                let written = format!("{}:{}", kind.value, inset.text);
                problems.add(
                    Diagnostic::new(Code::WrongType, node.place(), message)
                        .hint(format!("write it without a space after the colon: `{}`", shortened(&written))),
                );
                None
            }
            _ => wrong_type(&node, Takes::Reference, &format!("a reference such as `{}:…`", T::KINDS[0].name()), problems),
        }
    }
}

impl<T: Target> JsonSchema for RefText<T> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "Reference".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "string", "pattern": pattern(T::KINDS) })
    }
}

/// The pattern of references to these kinds, for schemas.
pub(super) fn pattern(kinds: &[Kind]) -> String {
    let names: Vec<&str> = kinds.iter().map(|kind| kind.name()).collect();
    let names = if let [one] = names[..] { one.to_owned() } else { format!("({})", names.join("|")) };
    format!("^{names}:[a-z0-9]+(-[a-z0-9]+)*$")
}

macro_rules! targets {
    ($($(#[doc = $doc:literal])* $name:ident: $($kind:ident)+;)*) => {$(
        $(#[doc = $doc])*
        #[derive(Debug, Clone, Copy)]
        pub struct $name;

        impl Target for $name {
            const KINDS: &'static [Kind] = &[$(Kind::$kind),+];
        }
    )*};
}

targets! {
    ToSymptom: Symptom;
    ToFault: Fault;
    ToCheck: Check;
    ToMeasurement: Measurement;
    ToSafety: Safety;
    ToTask: Task;
    ToTable: Table;
    ToSource: Source;
    /// Where an outcome leads.
    ToNext: Check Task Fault Measurement Calculator;
    /// What is shown beside a task's step.
    ToUse: Check Measurement Calculator Table Safety;
    /// Any page.
    ToAny: Symptom Fault Check Measurement Safety Task Table Calculator Term Source Course Guide;
}
