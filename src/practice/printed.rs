//! A topic as a page shows it without a script: questions first, answers behind a fold.

use super::item::{Answer, Item, Topic};
use crate::handbook::Name;

/// One question on paper. Texts are plain and still to be escaped.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Printed {
    pub id: String,
    pub question: String,
    /// Options, or steps to be put in order; empty where a number is asked.
    pub options: Vec<String>,
    /// What to do with the options: `choice`, `order` or `number`.
    pub kind: &'static str,
    /// The unit of a number that is asked; may be empty.
    pub unit: String,
    /// The right option; the steps in order; the number with its unit.
    pub answer: Vec<String>,
    pub explanation: String,
    #[serde(skip)]
    pub entry: Name,
    pub entry_title: String,
}

/// Every item once, in its first wording.
pub fn printed(topic: &Topic) -> Vec<Printed> {
    topic.items.iter().filter_map(lay_out).collect()
}

fn lay_out(item: &Item) -> Option<Printed> {
    let variant = item.variants.first()?;
    let (kind, unit, options, answer) = match &variant.answer {
        Answer::Choice { options, right } => {
            let texts: Vec<String> = options.iter().map(|option| option.text.clone()).collect();
            let answer = texts.get(*right).cloned().into_iter().collect();
            ("choice", String::new(), texts, answer)
        }
        Answer::Order { steps, shown } => {
            let options = shown.iter().filter_map(|place| steps.get(*place).cloned()).collect();
            ("order", String::new(), options, steps.clone())
        }
        Answer::Number { unit, worked, .. } => {
            let answer = if unit.is_empty() { worked.clone() } else { format!("{worked}\u{a0}{unit}") };
            ("number", unit.clone(), Vec::new(), vec![answer])
        }
    };
    Some(Printed {
        id: item.id.clone(),
        question: variant.question.clone(),
        options,
        kind,
        unit,
        answer,
        explanation: variant.explanation.clone(),
        entry: item.entry.clone(),
        entry_title: item.entry_title.clone(),
    })
}
