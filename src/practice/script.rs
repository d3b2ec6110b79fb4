//! A topic as a classic script: one assignment, so that a page opened from a folder can load it without asking for a file.

use serde_json::{Value, json};

use super::item::{Answer, Item, Topic, Variant};
use crate::handbook::Name;

/// The script's text; its shape is `QuizTopic` in `src/browser/data.d.ts`. `address` gives the page of an entry, from the
/// site's root.
pub fn script(topic: &Topic, address: &dyn Fn(&Name) -> String) -> String {
    let mut text = format!("{{\"id\":{},\"title\":{},\"about\":{},\"items\":[", json!(topic.id), json!(topic.title), json!(topic.about));
    // An item at a time: a large topic's tree of values would take ten times its text.
    for (at, one) in topic.items.iter().enumerate() {
        text.push_str(if at == 0 { "" } else { "," });
        text.push_str(&item(one, address).to_string());
    }
    text.push_str("]}");
    // `<` and the two line ends that only JavaScript knows are written as escapes, wherever the text may be pasted.
    let text = text.replace('<', "\\u003c").replace('\u{2028}', "\\u2028").replace('\u{2029}', "\\u2029");
    format!("var blueconeQuiz = blueconeQuiz || {{}};\nblueconeQuiz[{}] = {text};\n", json!(topic.id))
}

fn item(item: &Item, address: &dyn Fn(&Name) -> String) -> Value {
    let asked: Vec<Value> = item.variants.iter().map(variant).collect();
    json!({ "id": item.id, "entry": { "title": item.entry_title, "path": address(&item.entry) }, "asked": asked })
}

fn variant(variant: &Variant) -> Value {
    let (question, why) = (&variant.question, &variant.explanation);
    match &variant.answer {
        Answer::Choice { options, right } => {
            let texts: Vec<&str> = options.iter().map(|option| option.text.as_str()).collect();
            json!({ "kind": "choice", "question": question, "options": texts, "right": right, "why": why })
        }
        Answer::Order { steps, .. } => json!({ "kind": "order", "question": question, "steps": steps, "why": why }),
        Answer::Number { unit, value, tolerance, worked } => {
            json!({ "kind": "number", "question": question, "unit": unit, "value": value, "within": tolerance, "worked": worked, "why": why })
        }
    }
}
