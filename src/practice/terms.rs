//! Words: definition to word, word to definition, other name to word.

use std::collections::BTreeSet;

use super::build::{choice, item};
use super::item::{Choice, Item, Proof, Variant};
use super::random::Random;
use super::text::{folded, gives_away, quoted, sentence, stems};
use crate::handbook::{Handbook, Kind, Name, Term};

pub(super) fn items(handbook: &Handbook) -> Vec<Item> {
    let mut items = Vec::new();
    let known: Vec<Known> = handbook.terms.iter().map(Known::new).collect();
    for own in &known {
        let name = Name::new(Kind::Term, &own.term.common.id);
        for (what, ask) in [("word", word as Ask), ("definition", definition), ("other-name", other_name)] {
            let id = format!("terms/{}/{what}", name.id);
            let mut random = Random::of(&id);
            let variants = ask(&known, own, &mut random);
            items.extend(item(handbook, id, name.clone(), variants.into_iter().map(Some)));
        }
    }
    items
}

type Ask = fn(&[Known], &Known, &mut Random) -> Vec<Variant>;

/// Definition given, word asked.
fn word(known: &[Known], own: &Known, random: &mut Random) -> Vec<Variant> {
    let term = own.term;
    let siblings = siblings(known, own, random);
    if tells(&term.common.summary, term) {
        return Vec::new();
    }
    let holders: Vec<&str> = known
        .iter()
        .map(|other| other.term)
        .filter(|other| folded(&other.common.summary) == folded(&term.common.summary))
        .map(id)
        .collect();
    let wrong = siblings.iter().map(|other| Choice::new(&other.common.title, Proof::listed(id(other), &holders)));
    let right = Choice::new(&term.common.title, Proof::listed(id(term), &holders));
    let question = format!("Which word is this? {}", sentence(&term.common.summary));
    choice(random, question, right, wrong.collect(), explained(term)).into_iter().collect()
}

/// Word given, definition asked. The options are of like length, so that the longest is not the answer.
fn definition(known: &[Known], own: &Known, random: &mut Random) -> Vec<Variant> {
    let term = own.term;
    if tells(&term.common.summary, term) {
        return Vec::new();
    }
    let length = |other: &Term| other.common.summary.chars().count() as f64;
    let ratio = |other: &Term| (length(other) / length(term)).ln().abs();
    let mut siblings = siblings(known, own, random);
    siblings.retain(|other| ratio(other) < 0.35);
    let holders = [id(term)];
    let wrong = siblings.iter().map(|other| Choice::new(sentence(&other.common.summary), Proof::listed(id(other), &holders)));
    let right = Choice::new(sentence(&term.common.summary), Proof::listed(id(term), &holders));
    let question = format!("What is meant by {}?", quoted(&term.common.title));
    choice(random, question, right, wrong.collect(), explained(term)).into_iter().collect()
}

/// Another name given, the handbook's word asked.
fn other_name(known: &[Known], own: &Known, random: &mut Random) -> Vec<Variant> {
    let term = own.term;
    let siblings = siblings(known, own, random);
    let mut variants = Vec::new();
    for also in &term.common.also {
        let holders: Vec<&str> = known.iter().filter(|other| other.names.contains(&folded(also))).map(|other| id(other.term)).collect();
        let titles: Vec<&str> = siblings.iter().map(|other| other.common.title.as_str()).collect();
        // Every name that a wrong option also goes by, or that is a mere spelling of the word, teaches nothing.
        if holders.len() > 1 || spelling_of(also, term) || gives_away(also, &term.common.title, &titles) {
            continue;
        }
        let wrong = siblings.iter().map(|other| Choice::new(&other.common.title, Proof::listed(id(other), &holders)));
        let right = Choice::new(&term.common.title, Proof::listed(id(term), &holders));
        let question = format!("Someone says {}. Which word does the handbook use for it?", quoted(also));
        variants.extend(choice(random, question, right, wrong.collect(), explained(term)));
    }
    random.some(variants, 3)
}

fn id(term: &Term) -> &str {
    &term.common.id
}

fn explained(term: &Term) -> String {
    let also = match term.common.also.as_slice() {
        [] => String::new(),
        names => format!(" Also called: {}.", names.iter().take(4).cloned().collect::<Vec<_>>().join(", ")),
    };
    format!("{}: {}{also}", term.common.title, sentence(&term.common.summary))
}

/// The word and its other names.
fn names(term: &Term) -> BTreeSet<String> {
    term.common.also.iter().chain([&term.common.title]).map(|name| folded(name)).collect()
}

/// Whether a definition contains a word of its own term.
fn tells(summary: &str, term: &Term) -> bool {
    !stems(summary, 5).is_disjoint(&stems(&term.common.title, 5))
}

/// Whether a name is the word with other signs or spaces, such as `interpurge`, or the letters that it begins with.
fn spelling_of(name: &str, term: &Term) -> bool {
    let letters = |text: &str| -> String { text.to_lowercase().chars().filter(|sign| sign.is_alphanumeric()).collect() };
    let (name, title) = (letters(name), letters(&term.common.title));
    title.starts_with(&name) || name.starts_with(&title) || strsim::normalized_damerau_levenshtein(&name, &title) > 0.6
}

/// A term with what it is compared by.
struct Known<'a> {
    term: &'a Term,
    names: BTreeSet<String>,
    stems: BTreeSet<String>,
}

impl<'a> Known<'a> {
    fn new(term: &'a Term) -> Self {
        let names = names(term);
        let stems = names.iter().chain([&term.common.summary]).flat_map(|text| stems(text, 5)).collect();
        Self { term, names, stems }
    }
}

/// Other terms that could be mistaken for this one and are not it: no name in common, another definition. The nearest first, by
/// links and by words in common; equals in random order.
fn siblings<'a>(known: &[Known<'a>], own: &Known, random: &mut Random) -> Vec<&'a Term> {
    let term = own.term;
    let other = |other: &&Known| {
        other.term.common.id != term.common.id
            && other.names.is_disjoint(&own.names)
            && folded(&other.term.common.summary) != folded(&term.common.summary)
    };
    let mut others: Vec<&Known> = known.iter().filter(other).collect();
    random.shuffle(&mut others);
    let linked = |one: &Term, other: &Term| one.common.see.iter().any(|name| name.kind == Kind::Term && name.id == other.common.id);
    let near = |other: &&Known| {
        other.stems.intersection(&own.stems).count() + if linked(term, other.term) || linked(other.term, term) { 4 } else { 0 }
    };
    others.sort_by_cached_key(|other| std::cmp::Reverse(near(other)));
    others.into_iter().map(|other| other.term).collect()
}
