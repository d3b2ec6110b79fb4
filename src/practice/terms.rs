//! Words: definition to word, word to definition, other name to word.

use std::collections::BTreeSet;

use rayon::prelude::*;

use super::build::{choice, item};
use super::item::{Choice, Item, Proof, Variant};
use super::random::Random;
use super::text::{folded, gives_away, quoted, sentence, stems};
use crate::formula::Unit;
use crate::handbook::{Handbook, Kind, Name, Term};

pub(super) fn items(handbook: &Handbook) -> Vec<Item> {
    let known: Vec<Known> = handbook.terms.iter().map(Known::new).collect();
    let items: Vec<Vec<Item>> = known.par_iter().map(|own| items_of(handbook, &known, own)).collect();
    items.into_iter().flatten().collect()
}

fn items_of(handbook: &Handbook, known: &[Known], own: &Known) -> Vec<Item> {
    let name = Name::new(Kind::Term, &own.term.common.id);
    let near = near(known, own);
    let asks = [("word", word as Ask), ("definition", definition), ("other-name", other_name)];
    let items = asks.into_iter().filter_map(|(what, ask)| {
        let id = format!("terms/{}/{what}", name.id);
        let mut random = Random::of(&id);
        let variants = ask(known, own, &near, &mut random);
        item(handbook, id, name.clone(), variants.into_iter().map(Some))
    });
    items.collect()
}

type Ask = fn(&[Known], &Known, &[Near], &mut Random) -> Vec<Variant>;

/// Definition given, word asked.
fn word(known: &[Known], own: &Known, near: &[Near], random: &mut Random) -> Vec<Variant> {
    let term = own.term;
    let siblings = siblings(near, random);
    if tells(&term.common.summary, term) {
        return Vec::new();
    }
    let holders: Vec<&str> = known.iter().filter(|other| other.definition == own.definition).map(|other| id(other.term)).collect();
    let wrong = siblings.iter().map(|other| Choice::new(&other.common.title, Proof::listed(id(other), &holders)));
    let right = Choice::new(&term.common.title, Proof::listed(id(term), &holders));
    let question = format!("Which word is this? {}", sentence(&term.common.summary));
    choice(random, question, right, wrong, explained(term)).into_iter().collect()
}

/// Word given, definition asked. The options are of like length, so that the longest is not the answer.
fn definition(_: &[Known], own: &Known, near: &[Near], random: &mut Random) -> Vec<Variant> {
    let term = own.term;
    if tells(&term.common.summary, term) {
        return Vec::new();
    }
    let length = |other: &Term| other.common.summary.chars().count() as f64;
    let ratio = |other: &Term| (length(other) / length(term)).ln().abs();
    let mut siblings = siblings(near, random);
    siblings.retain(|other| ratio(other) < 0.35);
    let holders = [id(term)];
    let wrong = siblings.iter().map(|other| Choice::new(sentence(&other.common.summary), Proof::listed(id(other), &holders)));
    let right = Choice::new(sentence(&term.common.summary), Proof::listed(id(term), &holders));
    let question = format!("What is meant by {}?", quoted(&term.common.title));
    choice(random, question, right, wrong, explained(term)).into_iter().collect()
}

/// Another name given, the handbook's word asked.
fn other_name(known: &[Known], own: &Known, near: &[Near], random: &mut Random) -> Vec<Variant> {
    let term = own.term;
    let siblings = siblings(near, random);
    let mut variants = Vec::new();
    for also in &term.common.also {
        let name = folded(also);
        let holders: Vec<&str> = known.iter().filter(|other| other.names.contains(&name)).map(|other| id(other.term)).collect();
        let titles: Vec<&str> = siblings.iter().map(|other| other.common.title.as_str()).collect();
        // Every name that a wrong option also goes by, or that is a mere spelling of the word, teaches nothing.
        if holders.len() > 1
            || spelling_of(also, term)
            || abbreviates(also, &term.common.title)
            || gives_away(also, &term.common.title, &titles)
        {
            continue;
        }
        let wrong = siblings.iter().map(|other| Choice::new(&other.common.title, Proof::listed(id(other), &holders)));
        let right = Choice::new(&term.common.title, Proof::listed(id(term), &holders));
        let question = format!("Someone says {}. Which word does the handbook use for it?", quoted(also));
        variants.extend(choice(random, question, right, wrong, explained(term)));
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

/// Whether a name is short for the word: its letters begin words of the title in their order, as in `VA` or `in. w.c.`.
fn abbreviates(name: &str, title: &str) -> bool {
    fn fits(letters: &[char], words: &[Vec<char>]) -> bool {
        letters.is_empty()
            || words.iter().enumerate().any(|(at, word)| {
                let most = letters.iter().zip(word).take_while(|(letter, sign)| letter == sign).count();
                (1..=most).any(|taken| fits(&letters[taken..], &words[at + 1..]))
            })
    }
    let lower = |text: &str| -> Vec<char> { text.to_lowercase().chars().filter(|sign| sign.is_alphanumeric()).collect() };
    let words: Vec<Vec<char>> = title.split(|sign: char| !sign.is_alphanumeric()).filter(|word| !word.is_empty()).map(lower).collect();
    let letters = lower(name);
    letters.len() <= 8 && words.len() <= 8 && fits(&letters, &words)
}

/// Whether the word is the name of a unit: two ways of writing it are one unit of the formula language (`GV` and `MV`, short for parts,
/// are two). Among other things a unit is told at a glance, whatever is asked.
fn is_unit(term: &Term) -> bool {
    let names = term.common.also.iter().chain([&term.common.title]).filter(|name| !name.ends_with(|sign: char| sign.is_ascii_digit()));
    let units: Vec<Unit> = names.filter_map(|name| Unit::known(name)).filter(|unit| !unit.fits(&Unit::one())).collect();
    let same = |one: &Unit, other: &Unit| one.fits(other) && one.to_base(1.0) == other.to_base(1.0);
    units.iter().enumerate().any(|(at, unit)| units[..at].iter().any(|before| same(before, unit)))
}

/// A term with what it is compared by.
struct Known<'a> {
    term: &'a Term,
    unit: bool,
    names: BTreeSet<String>,
    /// The summary, folded.
    definition: String,
    stems: BTreeSet<String>,
}

/// A term that could be mistaken for another, and how near it is.
type Near<'a> = (&'a Term, usize);

impl<'a> Known<'a> {
    fn new(term: &'a Term) -> Self {
        let names = names(term);
        let stems = names.iter().chain([&term.common.summary]).flat_map(|text| stems(text, 5)).collect();
        Self { term, unit: is_unit(term), names, definition: folded(&term.common.summary), stems }
    }
}

/// Other terms that could be mistaken for this one and are not it: no name in common, another definition, units among units. How
/// near they are is told by links and by words in common.
fn near<'a>(known: &[Known<'a>], own: &Known) -> Vec<Near<'a>> {
    let term = own.term;
    let other = |other: &&Known| {
        let apart = other.definition != own.definition && other.names.is_disjoint(&own.names);
        other.term.common.id != term.common.id && apart && other.unit == own.unit
    };
    let linked = |one: &Term, other: &Term| one.common.see.iter().any(|name| name.kind == Kind::Term && name.id == other.common.id);
    let near = |other: &Known| {
        other.stems.intersection(&own.stems).count() + if linked(term, other.term) || linked(other.term, term) { 4 } else { 0 }
    };
    known.iter().filter(other).map(|other| (other.term, near(other))).collect()
}

/// The nearest first; equals in random order.
fn siblings<'a>(near: &[Near<'a>], random: &mut Random) -> Vec<&'a Term> {
    let mut others = near.to_vec();
    random.shuffle(&mut others);
    others.sort_by_key(|(_, near)| std::cmp::Reverse(*near));
    others.into_iter().map(|(term, _)| term).collect()
}
