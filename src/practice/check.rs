//! Proof that an item can be answered, and in one way only.

use std::collections::BTreeSet;

use super::item::{Answer, Choice, Item, Topic, Variant};
use super::text::folded;
use crate::formula::GROUP;

/// What is wrong with an item; empty for one that is sound.
///
/// A choice has three to six options that differ in more than case and spaces; the facts make exactly one of them right, and it is
/// the one named. An order has at least three different steps, and is not shown solved. A number is finite and its written form
/// is itself within the tolerance. Every explanation says the right answer.
pub fn check(item: &Item) -> Vec<String> {
    let mut problems = Vec::new();
    if item.variants.is_empty() {
        problems.push("expected at least one variant, found none".to_owned());
    }
    for (place, variant) in item.variants.iter().enumerate() {
        problems.extend(flaws(variant).into_iter().map(|flaw| format!("variant {place}: {flaw}")));
    }
    let asked: BTreeSet<String> = item.variants.iter().map(fingerprint).collect();
    if asked.len() < item.variants.len() {
        problems.push("two variants ask the same".to_owned());
    }
    problems.into_iter().map(|problem| format!("{}: {problem}", item.id)).collect()
}

/// [`check`] over topics, and that no two items share an id and no topic repeats another's id.
pub fn check_all(topics: &[Topic]) -> Vec<String> {
    let mut problems: Vec<String> = topics.iter().flat_map(|topic| &topic.items).flat_map(check).collect();
    let mut seen = BTreeSet::new();
    for id in topics.iter().map(|topic| topic.id).chain(topics.iter().flat_map(|topic| topic.items.iter().map(|item| item.id.as_str()))) {
        if !seen.insert(id) {
            problems.push(format!("the id `{id}` is used twice"));
        }
    }
    problems
}

fn flaws(variant: &Variant) -> Vec<String> {
    let mut flaws = Vec::new();
    let texts = [&variant.question, &variant.explanation];
    if texts.iter().any(|text| text.trim().is_empty() || text.contains("](") || text.contains("**") || text.contains('\n')) {
        flaws.push("expected plain words on one line".to_owned());
    }
    match &variant.answer {
        Answer::Choice { options, right } => choice_flaws(options, *right, &variant.explanation, &mut flaws),
        Answer::Order { steps, shown } => {
            let different: BTreeSet<String> = steps.iter().map(|step| folded(step)).collect();
            if steps.len() < 3 || different.len() < steps.len() {
                flaws.push("expected at least three different steps".to_owned());
            }
            let mut sorted = shown.clone();
            sorted.sort_unstable();
            let right: Vec<usize> = (0..steps.len()).collect();
            if sorted != right || *shown == right {
                flaws.push("expected the steps shown out of order, each once".to_owned());
            }
            let mut rest = variant.explanation.as_str();
            for step in steps {
                match rest.find(step.as_str()) {
                    Some(at) => rest = &rest[at + step.len()..],
                    None => flaws.push(format!("the explanation does not say `{step}` in its place")),
                }
            }
        }
        Answer::Number { value, tolerance, worked, .. } => {
            let written: Option<f64> = worked.replace('\u{2212}', "-").replace(GROUP, "").parse().ok();
            if !value.is_finite()
                || !tolerance.is_finite()
                || *tolerance < 0.0
                || !written.is_some_and(|written| (written - value).abs() <= *tolerance)
            {
                flaws.push(format!("`{worked}` is not {value} within {tolerance}"));
            }
            if !variant.explanation.contains(worked.as_str()) {
                flaws.push("the explanation does not say the right answer".to_owned());
            }
        }
    }
    flaws
}

fn choice_flaws(options: &[Choice], right: usize, explanation: &str, flaws: &mut Vec<String>) {
    if !(3..=6).contains(&options.len()) {
        flaws.push(format!("expected three to six options, found {}", options.len()));
    }
    let different: BTreeSet<String> = options.iter().map(|option| folded(&option.text)).collect();
    if different.len() < options.len() {
        flaws.push("two options read the same".to_owned());
    }
    let holding: Vec<usize> = options.iter().enumerate().filter(|(_, option)| option.proof.holds()).map(|(place, _)| place).collect();
    if holding != [right] {
        flaws.push(format!("expected option {right} alone to be right, found {holding:?}"));
    }
    if options.get(right).is_none_or(|option| !folded(explanation).contains(&folded(&option.text))) {
        flaws.push("the explanation does not say the right answer".to_owned());
    }
}

/// What a reader sees of it, however the options stand.
pub(super) fn fingerprint(variant: &Variant) -> String {
    let mut parts = match &variant.answer {
        Answer::Choice { options, .. } => options.iter().map(|option| option.text.clone()).collect(),
        Answer::Order { steps, .. } => steps.clone(),
        Answer::Number { worked, .. } => vec![worked.clone()],
    };
    parts.sort();
    format!("{}\n{}", variant.question, parts.join("\n"))
}
