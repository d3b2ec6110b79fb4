//! The schemas given to editors and the reader must agree on what an entry may be.

use std::fs;
use std::path::Path;

use bluecone::diagnostic::Code;
use bluecone::manuscript::{Kind, handbook_schema, read_texts, schema};
use jsonschema::Validator;
use serde_json::{Value, json};

/// A file's place in the handbook, its schema and its good sample.
struct Sample {
    path: String,
    schema: Value,
    good: String,
}

fn samples() -> Vec<Sample> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/manuscript/samples");
    let good = |name: &str| fs::read_to_string(folder.join(format!("{name}.yaml"))).unwrap();
    let mut samples: Vec<Sample> = Kind::entries()
        .map(|kind| Sample { path: format!("{}/sample.yaml", kind.folder()), schema: schema(kind).unwrap(), good: good(kind.name()) })
        .collect();
    samples.push(Sample { path: "handbook.yaml".to_owned(), schema: handbook_schema(), good: good("handbook") });
    samples
}

/// The problems that the reader tells about one file, but for the want of a handbook around it.
fn told(path: &str, text: &str) -> Vec<String> {
    let book = read_texts([(path, text)]);
    let problems = book.problems.sorted().into_iter().filter(|problem| problem.code != Code::NoHandbook);
    problems.map(|problem| problem.in_one_line(&book.manuscript.sources)).collect()
}

#[test]
fn the_schemas_are_valid_and_name_themselves() {
    for Sample { path, schema, .. } in samples() {
        assert!(jsonschema::draft202012::meta::is_valid(&schema), "{path}");
        assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
        assert!(schema["$id"].as_str().unwrap().ends_with(".schema.json"));
        assert!(schema["properties"]["title"]["description"].as_str().unwrap().len() > 5, "{path}");
        assert_eq!(schema["additionalProperties"], false, "{path}");
    }
}

#[test]
fn good_samples_pass_both() {
    for Sample { path, schema, good } in samples() {
        let value: Value = serde_yaml::from_str(&good).unwrap_or_else(|error| panic!("{path}: {error}"));
        let validator = jsonschema::validator_for(&schema).unwrap();
        let errors: Vec<String> = validator.iter_errors(&value).map(|e| format!("{}: {e}", e.instance_path())).collect();
        assert!(errors.is_empty(), "{path}: {errors:?}");
        assert!(told(&path, &good).is_empty(), "{path}: {:?}", told(&path, &good));
    }
}

/// Every sample with every value in turn left out, or with another in its place, or with an unknown field beside it: the
/// reader and an outside validator must say the same.
#[test]
fn reader_and_schema_refuse_the_same() {
    let strange = [
        json!(null),
        json!(-3),
        json!(0),
        json!(0.5),
        json!(7),
        json!(true),
        json!(""),
        json!("two\nlines"),
        json!("Some words"),
        json!("check:prove-dead"),
        json!([]),
        json!({}),
        json!(["words"]),
        json!({"a": 1}),
        json!("\u{7}"),
    ];
    let mut tried = 0;
    for Sample { path, mut schema, good } in samples() {
        let value: Value = serde_yaml::from_str(&good).unwrap_or_else(|error| panic!("{path}: {error}"));
        without_references(&mut schema);
        let validator = jsonschema::validator_for(&schema).unwrap();
        for pointer in pointers(&value) {
            for other in &strange {
                let mut changed = value.clone();
                *changed.pointer_mut(&pointer).unwrap() = other.clone();
                compare(&path, &pointer, &changed, &validator);
                tried += 1;
            }
            let mut without = value.clone();
            remove(&mut without, &pointer);
            compare(&path, &pointer, &without, &validator);
            let mut with = value.clone();
            if let Some(map) = with.pointer_mut(&pointer).and_then(Value::as_object_mut) {
                map.insert("Unheard Of".to_owned(), json!("words"));
                compare(&path, &pointer, &with, &validator);
            }
        }
    }
    assert!(tried > 3000, "only {tried} changes were tried");
}

fn compare(path: &str, pointer: &str, changed: &Value, validator: &Validator) {
    let refused = !validator.is_valid(changed);
    let told = told(path, &serde_json::to_string(changed).unwrap());
    let now = changed.pointer(pointer);
    assert_eq!(!told.is_empty(), refused, "{path} at {pointer} = {now:?}: the schema refuses: {refused}, the reader: {told:?}");
}

/// Takes the form of references out of a schema: the reader leaves it to the proof stage.
fn without_references(schema: &mut Value) {
    match schema {
        Value::Object(map) => {
            map.retain(|key, value| key != "pattern" || !value.as_str().is_some_and(|pattern| pattern.contains(":[a-z0-9]+")));
            map.values_mut().for_each(without_references);
        }
        Value::Array(items) => items.iter_mut().for_each(without_references),
        _ => {}
    }
}

/// A pointer to every value inside, the whole included.
fn pointers(value: &Value) -> Vec<String> {
    let mut found = vec![String::new()];
    let mut inside = |key: String, value: &Value| {
        found.extend(pointers(value).into_iter().map(|rest| format!("/{}{rest}", key.replace('~', "~0").replace('/', "~1"))));
    };
    match value {
        Value::Array(items) => items.iter().enumerate().for_each(|(at, item)| inside(at.to_string(), item)),
        Value::Object(map) => map.iter().for_each(|(key, item)| inside(key.clone(), item)),
        _ => {}
    }
    found
}

fn remove(value: &mut Value, pointer: &str) {
    let Some((parent, key)) = pointer.rsplit_once('/') else { return };
    match value.pointer_mut(parent) {
        Some(Value::Array(items)) => drop(items.remove(key.parse().unwrap())),
        Some(Value::Object(map)) => drop(map.shift_remove(&key.replace("~1", "/").replace("~0", "~"))),
        _ => {}
    }
}
