//! JSON Schemas (2020-12) of the kinds' files, for editors.

use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde_json::{Map, Value, json};

use super::decode::is_key_of;
use super::entry::Common;
use super::handbook::HandbookFile;
use super::kind::Kind;
use super::record::{Record, one_line, schema_of};
use super::{Calculator, Check, Course, Fault, Measurement, Safety, SourceEntry, Symptom, Table, Task, Term};

/// The schema of a kind's files; `None` for the guide's pages, which are Markdown.
pub fn schema(kind: Kind) -> Option<Value> {
    let schema = match kind {
        Kind::Symptom => entry::<Symptom>(kind),
        Kind::Fault => entry::<Fault>(kind),
        Kind::Check => entry::<Check>(kind),
        Kind::Measurement => entry::<Measurement>(kind),
        Kind::Safety => entry::<Safety>(kind),
        Kind::Task => entry::<Task>(kind),
        Kind::Table => entry::<Table>(kind),
        Kind::Calculator => entry::<Calculator>(kind),
        Kind::Term => entry::<Term>(kind),
        Kind::Source => entry::<SourceEntry>(kind),
        Kind::Course => entry::<Course>(kind),
        Kind::Guide => return None,
    };
    Some(schema)
}

/// Whether entries of a kind have a field of this name, besides those of every kind.
pub(super) fn has_field(kind: Kind, key: &str) -> bool {
    let fields = match kind {
        Kind::Symptom => Symptom::fields(),
        Kind::Fault => Fault::fields(),
        Kind::Check => Check::fields(),
        Kind::Measurement => Measurement::fields(),
        Kind::Safety => Safety::fields(),
        Kind::Task => Task::fields(),
        Kind::Table => Table::fields(),
        Kind::Calculator => Calculator::fields(),
        Kind::Term => Term::fields(),
        Kind::Source => SourceEntry::fields(),
        Kind::Course => Course::fields(),
        Kind::Guide => Vec::new(),
    };
    fields.iter().any(|field| is_key_of(field.name, key))
}

/// The schema of `handbook.yaml`.
pub fn handbook_schema() -> Value {
    let mut generator = SchemaSettings::draft2020_12().into_generator();
    let body = HandbookFile::json_schema(&mut generator);
    headed("handbook", body.to_value(), generator.take_definitions(true))
}

fn entry<T: Record>(kind: Kind) -> Value {
    let mut generator = SchemaSettings::draft2020_12().into_generator();
    let mut fields = Common::fields();
    fields.extend(T::fields());
    let mut body = schema_of(T::ABOUT, fields, &mut generator).to_value();
    if kind.needs_sources() {
        body["required"].as_array_mut().into_iter().for_each(|required| required.push(json!("sources")));
        body["properties"]["sources"]["minItems"] = json!(1);
    }
    headed(kind.name(), body, generator.take_definitions(true))
}

fn headed(name: &str, body: Value, definitions: Map<String, Value>) -> Value {
    let mut schema = Map::new();
    schema.insert("$schema".to_owned(), json!("https://json-schema.org/draft/2020-12/schema"));
    schema.insert("$id".to_owned(), json!(format!("{name}.schema.json")));
    schema.insert("title".to_owned(), json!(one_line(&name.replace('-', " "))));
    if let Value::Object(body) = body {
        schema.extend(body);
    }
    if !definitions.is_empty() {
        schema.insert("$defs".to_owned(), Value::Object(definitions));
    }
    Value::Object(schema)
}
