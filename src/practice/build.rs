//! Puts questions together so that nothing but the facts tells the right option from the wrong ones.

use std::collections::BTreeSet;

use super::check::fingerprint;
use super::item::{Answer, Choice, Item, Variant};
use super::random::Random;
use super::text::folded;
use crate::handbook::{Handbook, Name};

/// Wrong options beside the right one.
pub(super) const WRONG: usize = 3;

/// A choice between `right` and up to three of `wrong`, the first that read differently; `None` if fewer than two are left.
///
/// A wrong option whose proof holds would be right as well, so it is left out.
pub(super) fn choice(
    random: &mut Random,
    question: String,
    right: Choice,
    wrong: impl IntoIterator<Item = Choice>,
    explanation: String,
) -> Option<Variant> {
    let mut taken = BTreeSet::from([folded(&right.text)]);
    let mut options: Vec<Choice> =
        wrong.into_iter().filter(|option| !option.proof.holds() && taken.insert(folded(&option.text))).take(WRONG).collect();
    if options.len() < 2 || !right.proof.holds() {
        return None;
    }
    options.push(right);
    random.shuffle(&mut options);
    let right = options.iter().position(|option| option.proof.holds())?;
    Some(Variant { question, answer: Answer::Choice { options, right }, explanation })
}

/// A choice whose options stand in a given order, such as rising readings or signal words.
pub(super) fn ranked(question: String, options: Vec<Choice>, explanation: String) -> Option<Variant> {
    let right = options.iter().position(|option| option.proof.holds())?;
    (options.len() >= 3).then_some(Variant { question, answer: Answer::Choice { options, right }, explanation })
}

/// Steps to be put in order; `None` if fewer than three, or if two read the same.
pub(super) fn order(random: &mut Random, question: String, steps: Vec<String>, explanation: String) -> Option<Variant> {
    let different: BTreeSet<String> = steps.iter().map(|step| folded(step)).collect();
    if steps.len() < 3 || different.len() < steps.len() {
        return None;
    }
    let mut shown: Vec<usize> = (0..steps.len()).collect();
    random.shuffle(&mut shown);
    if shown.is_sorted() {
        shown.rotate_left(1);
    }
    Some(Variant { question, answer: Answer::Order { steps, shown }, explanation })
}

/// An item, unless nothing can be asked.
pub(super) fn item(handbook: &Handbook, id: String, entry: Name, variants: impl IntoIterator<Item = Option<Variant>>) -> Option<Item> {
    let mut known = BTreeSet::new();
    let kept: Vec<Variant> = variants.into_iter().flatten().filter(|variant| known.insert(fingerprint(variant))).collect();
    let entry_title = handbook.title(&entry)?.to_owned();
    (!kept.is_empty()).then_some(Item { id, entry, entry_title, variants: kept })
}
