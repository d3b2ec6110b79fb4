//! Macros that make, from one definition, the type as written, its decoder and its JSON Schema.

use schemars::{Schema, SchemaGenerator, json_schema};
use serde_json::{Map, Value};

use crate::diagnostic::{Code, Diagnostic, Problems};

use super::decode::{Fields, key_of};
use super::node::{Node, NodeKind};

/// A type that is written as a map of known fields.
pub trait Record: Sized {
    /// What it is, for messages and schemas.
    const ABOUT: &'static str;

    /// Its fields in the order of the guide.
    fn fields() -> Vec<Field>;

    /// Takes its fields out of a map; `None` if one is missing or wrong.
    fn take(fields: &mut Fields, problems: &mut Problems) -> Option<Self>;
}

/// One field of a record, for its schema.
pub struct Field {
    pub name: &'static str,
    pub about: &'static str,
    pub optional: bool,
    pub schema: fn(&mut SchemaGenerator) -> Schema,
}

/// The schema of a map with these fields and no others.
pub fn schema_of(about: &str, fields: Vec<Field>, generator: &mut SchemaGenerator) -> Schema {
    let mut properties = Map::new();
    let mut required = Vec::new();
    for field in fields {
        let mut schema = (field.schema)(generator);
        if !field.about.trim().is_empty() {
            schema.insert("description".to_owned(), Value::from(one_line(field.about)));
        }
        if !field.optional {
            required.push(Value::from(key_of(field.name)));
        }
        properties.insert(key_of(field.name), schema.to_value());
    }
    json_schema!({
        "description": one_line(about),
        "type": "object",
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    })
}

/// The fields of a record's map; tells which fields belong here and gives `None` if the node is no map.
pub fn open<T: Record>(node: Node, problems: &mut Problems) -> Option<Fields> {
    match node.kind {
        NodeKind::Map(_) => return Fields::open(node, "a map of fields", problems),
        NodeKind::Doubtful => return None,
        _ => {}
    }
    const SHOWN: usize = 4;
    let fields = T::fields();
    let required: Vec<String> = fields.iter().filter(|field| !field.optional).map(|field| format!("{}: …", key_of(field.name))).collect();
    let mut problem = Diagnostic::new(Code::WrongType, node.place(), format!("expected a map of fields, found {}", node.found()));
    if !required.is_empty() {
        problem = problem.hint(format!("write its fields, such as `{{{}}}`", required[..required.len().min(SHOWN)].join(", ")));
    }
    problems.add(problem);
    None
}

/// Mends misspelt names in one of several records, each with the field that tells it apart.
pub fn mend_choice(fields: &mut Fields, records: Vec<(Option<&str>, Vec<Field>)>, problems: &mut Problems) {
    let has = |marker: &&str| fields.place_of(marker).is_some();
    if let Some((_, known)) = records.iter().find(|(marker, _)| marker.as_ref().is_some_and(has)) {
        return fields.mend(known, problems);
    }
    // Nothing tells the records apart, so a misspelt name may be what should.
    let mut all: Vec<Field> = Vec::new();
    for field in records.into_iter().flat_map(|(_, known)| known) {
        if all.iter().all(|other| other.name != field.name) {
            all.push(field);
        }
    }
    fields.mend(&all, problems);
}

/// Doc comment lines as one line of prose.
pub fn one_line(lines: &str) -> String {
    lines.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A struct whose fields are read from a YAML map. A field is optional if its type is ([`super::decode::Decode::OPTIONAL`]);
/// doc comments become the schema's descriptions.
macro_rules! record {
    ($(#[doc = $about:literal])* pub struct $name:ident { $($(#[doc = $doc:literal])* pub $field:ident: $type:ty,)* }) => {
        $(#[doc = $about])*
        #[derive(Debug, Clone)]
        pub struct $name { $($(#[doc = $doc])* pub $field: $type,)* }

        impl $crate::manuscript::record::Record for $name {
            const ABOUT: &'static str = concat!($($about, "\n"),*);

            fn fields() -> Vec<$crate::manuscript::record::Field> {
                vec![$($crate::manuscript::record::Field {
                    name: stringify!($field),
                    about: concat!($($doc, "\n"),*),
                    optional: <$type as $crate::manuscript::decode::Decode>::OPTIONAL,
                    schema: <$type as $crate::manuscript::decode::Decode>::field_schema,
                }),*]
            }

            fn take(
                fields: &mut $crate::manuscript::decode::Fields,
                problems: &mut $crate::diagnostic::Problems,
            ) -> Option<Self> {
                let _ = (&fields, &problems); // a record without fields of its own uses neither
                $(let $field = fields.take::<$type>(stringify!($field), problems);)*
                Some(Self { $($field: $field?),* })
            }
        }

        impl $crate::manuscript::decode::Decode for $name {
            fn decode(
                node: $crate::manuscript::node::Node,
                problems: &mut $crate::diagnostic::Problems,
            ) -> Option<Self> {
                let mut fields = $crate::manuscript::record::open::<Self>(node, problems)?;
                fields.mend(&<Self as $crate::manuscript::record::Record>::fields(), problems);
                let record = <Self as $crate::manuscript::record::Record>::take(&mut fields, problems);
                fields.close(problems);
                record
            }
        }

        impl schemars::JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }

            fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
                use $crate::manuscript::record::Record;
                $crate::manuscript::record::schema_of(Self::ABOUT, Self::fields(), generator)
            }
        }
    };
}

/// An enum of records told apart by a field that only one of them has; `_` takes what has none of the fields.
macro_rules! choice {
    ($(#[doc = $about:literal])* pub enum $name:ident { $($(#[doc = $doc:literal])* $variant:ident($type:ty) if $marker:tt,)* }) => {
        $(#[doc = $about])*
        #[derive(Debug, Clone)]
        pub enum $name { $($(#[doc = $doc])* $variant($type)),* }

        impl $crate::manuscript::decode::Decode for $name {
            fn decode(
                node: $crate::manuscript::node::Node,
                problems: &mut $crate::diagnostic::Problems,
            ) -> Option<Self> {
                let mut fields = $crate::manuscript::decode::Fields::open(node, "a map of fields", problems)?;
                $crate::manuscript::record::mend_choice(
                    &mut fields,
                    vec![$(($crate::manuscript::record::choice!(@marker $marker), <$type as $crate::manuscript::record::Record>::fields())),*],
                    problems,
                );
                let several = fields.several(&[$($crate::manuscript::record::choice!(@marker $marker)),*], problems);
                $(if $crate::manuscript::record::choice!(@has fields $marker) {
                    let record = <$type as $crate::manuscript::record::Record>::take(&mut fields, problems);
                    // The fields of the other one are no further mistakes.
                    if !several {
                        fields.close(problems);
                    }
                    return record.map($name::$variant);
                })*
                #[allow(unreachable_code)]
                {
                    let markers = [$($crate::manuscript::record::choice!(@name $marker)),*].join(", ");
                    let message = format!("expected one of the fields {markers}, found none of them");
                    problems.add($crate::diagnostic::Diagnostic::new(
                        $crate::diagnostic::Code::MissingField,
                        fields.place,
                        message,
                    ));
                    None
                }
            }
        }

        impl schemars::JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }

            fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
                let variants = [$(generator.subschema_for::<$type>()),*];
                schemars::json_schema!({
                    "description": $crate::manuscript::record::one_line(concat!($($about, "\n"),*)),
                    "anyOf": variants,
                })
            }
        }
    };
    (@has $fields:ident _) => { true };
    (@has $fields:ident $marker:literal) => { $fields.place_of($marker).is_some() };
    (@marker _) => { None };
    (@marker $marker:literal) => { Some($marker) };
    (@name _) => { "" };
    (@name $marker:literal) => { concat!("`", $marker, "`") };
}

/// An enum of the words that a field may have.
macro_rules! names {
    ($(#[doc = $about:literal])* pub enum $name:ident { $($(#[doc = $doc:literal])* $variant:ident = $word:literal,)* }) => {
        $(#[doc = $about])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[doc = $doc])* $variant),* }

        impl $name {
            /// All of them, in the order of the guide.
            pub const ALL: &'static [$name] = &[$($name::$variant),*];

            /// The word as written in entries.
            pub fn name(self) -> &'static str {
                match self { $($name::$variant => $word),* }
            }

            /// The value of a word; `None` if it is not one of them.
            pub fn from_name(name: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|value| value.name() == name)
            }
        }

        impl $crate::manuscript::value::Named for $name {
            const NAMES: &'static [&'static str] = &[$($word),*];

            fn named(name: &str) -> Option<Self> {
                Self::from_name(name)
            }
        }
    };
}

pub(in crate::manuscript) use {choice, names, record};
