//! A close look at one document: how near it comes to what was typed, beyond having the words.

use std::collections::BTreeSet;

use super::plan::{How, Plan, Word, key, significant};
use super::words::split;
use super::{Card, Index};

const COVER: f64 = 0.5;
const PHRASE: f64 = 0.4;
const EARLY: f64 = 0.2;
const FORM: f64 = 0.15;
/// How much it counts that a name's words are spelt like those typed.
const SPELT: f64 = 1.0;
/// The same for a word that is in no name.
const UNNAMED: f64 = 0.6;
/// How much a typed letter counts that a name's word lacks, and one that it has beyond those typed, against one that both have.
const LACKING: f64 = 4.0;
const EXTRA: f64 = 0.5;
const KIND: f64 = 0.3;
/// How much a fit with another name counts against one with the title.
const OTHER_NAME: f64 = 0.9;
/// How much two words next to each other in the body count against two in the title.
const IN_BODY: f64 = 0.7;
/// Starts of fewer letters stand for too many words to look up their places.
const LONG_START: usize = 4;

/// The stems of a name's words; none for a word that no document has.
type Stems = Vec<Option<u32>>;

/// A document's title, other names and id as a close look needs them.
#[derive(Debug, Clone, Default)]
pub(super) struct Names {
    /// What is typed for the title, the id and each other name.
    keys: Vec<Box<str>>,
    /// The stems of the title's words that count, then of each other name's.
    counting: Vec<Stems>,
    /// Those words, in UTF-16 code units.
    spelt: Vec<Vec<Box<[u16]>>>,
    /// The stems of all their words.
    whole: Vec<Stems>,
}

impl Names {
    /// `stem_of` gives the stem of a word that some document has.
    pub(super) fn of(card: &Card, stem_of: impl Fn(&str) -> Option<u32>) -> Names {
        let words = |name: &String| -> Vec<String> { split(name).into_iter().map(|token| token.word).collect() };
        let names: Vec<Vec<String>> = std::iter::once(&card.title).chain(&card.names).map(words).collect();
        let stem = |word: &String| stem_of(word);
        Names {
            keys: names.iter().chain([&words(&card.id)]).map(|name| key(name).into()).collect(),
            counting: names.iter().map(|name| significant(name).into_iter().map(stem).collect()).collect(),
            spelt: names.iter().map(|name| significant(name).into_iter().map(|word| word.encode_utf16().collect()).collect()).collect(),
            whole: names.iter().map(|name| name.iter().map(stem).collect()).collect(),
        }
    }
}

/// 1 + 0.5 × cover + 0.4 × phrase + 0.2 × early + 0.15 × form + spelt + 0.3 × kind, each from 0 to 1:
///
/// - **cover**: the words that query and title share, out of all that the two have (what the query means counts as what it says); or
///   0.9 × the same with one of the other names;
/// - **phrase**: of the query's neighbouring words, how many are neighbours in the title or another name (1) or in the body (0.7);
/// - **early**: the mean over words of 1 / (1 + p / 4) for place p in the title, else 0.6 in another name, else 0.5 / (1 + p / 16)
///   in the body;
/// - **form**: how many of the words stand there as typed, not only with another ending;
/// - **spelt**, if the query is one word: how alike it and the likest of the title's words that it matches are spelt (or 0.9 × the
///   same with another name's): s / (s + 4 l + e / 2), where the two begin and end alike in s letters, l more were typed, and the other
///   has e more; no less than 0.6 if l is 0, and 0.6 if it is in no name;
/// - **kind**: the query names the document's kind.
pub fn closeness(index: &Index, plan: &Plan, document: u32) -> f64 {
    let card = &index.cards[document as usize];
    let Some((title, names)) = index.names[document as usize].counting.split_first() else { return 1.0 };
    let all: BTreeSet<u32> = plan.words.iter().flat_map(|word| word.expansions.iter().map(|expansion| expansion.stem)).collect();
    let meant: BTreeSet<u32> =
        plan.segments.iter().flat_map(|segment| segment.alternatives.iter().flat_map(|other| other.stems.iter().copied())).collect();
    let count = plan.words.len() as f64;

    let cover = |name: &[Option<u32>]| {
        let shared = name.iter().flatten().filter(|stem| all.contains(stem) || meant.contains(stem)).count() as f64;
        let shared = shared.min(count);
        shared / (name.len() as f64 + count - shared)
    };
    let mut best_cover = cover(title);
    for name in names {
        best_cover = best_cover.max(OTHER_NAME * cover(name));
    }

    let meanings: Vec<BTreeSet<u32>> = (0..plan.words.len()).map(|at| meanings(plan, at)).collect();
    let has = |at: usize, stem: &Option<u32>| stem.is_some_and(|stem| meanings[at].contains(&stem));
    let places: Vec<Vec<u16>> = plan.words.iter().map(|word| places(index, word, document)).collect();
    let mut phrase = 0.0;
    for at in 1..plan.words.len() {
        let in_name = |name: &Stems| name.windows(2).any(|two| has(at - 1, &two[0]) && has(at, &two[1]));
        if in_name(title) || names.iter().any(in_name) {
            phrase += 1.0;
        } else if places[at - 1].iter().any(|place| places[at].contains(&(place + 1))) {
            phrase += IN_BODY;
        }
    }
    if plan.words.len() > 1 {
        phrase /= count - 1.0;
    }

    let mut early = 0.0;
    let mut form = 0.0;
    for (at, (word, places)) in plan.words.iter().zip(&places).enumerate() {
        if let Some(place) = title.iter().position(|stem| has(at, stem)) {
            early += 1.0 / (1.0 + place as f64 / 4.0);
        } else if names.iter().flat_map(|name| name.iter()).any(|stem| has(at, stem)) {
            early += 0.6;
        } else if let Some(&place) = places.first() {
            early += 0.5 / (1.0 + f64::from(place) / 16.0);
        }
        form += f64::from(u8::from(has_form(index, word, document)));
    }
    // More words than one say enough by themselves.
    let spelt = if let [word] = plan.words.as_slice() { likest(index, word, document) } else { 0.0 };
    let kind = f64::from(u8::from(plan.kinds.contains(&card.kind)));
    1.0 + COVER * best_cover + PHRASE * phrase + EARLY * early / count + FORM * form / count + SPELT * spelt + KIND * kind
}

/// How alike a word and the likest of the names' words that it matches are spelt.
fn likest(index: &Index, word: &Word, document: u32) -> f64 {
    let matches = |stem: Option<u32>| word.expansions.iter().any(|expansion| Some(expansion.stem) == stem);
    let typed: Vec<u16> = word.word.encode_utf16().collect();
    let known = &index.names[document as usize];
    let mut likest: Option<f64> = None;
    for (which, (stems, words)) in known.counting.iter().zip(&known.spelt).enumerate() {
        let share = if which == 0 { 1.0 } else { OTHER_NAME };
        for (_, other) in stems.iter().zip(words).filter(|(stem, _)| matches(**stem)) {
            likest = Some(likest.unwrap_or(0.0).max(share * likeness(&typed, other)));
        }
    }
    likest.unwrap_or(UNNAMED)
}

/// How alike two words are spelt, from 0 to 1.
fn likeness(typed: &[u16], known: &[u16]) -> f64 {
    let least = typed.len().min(known.len());
    let begin = typed.iter().zip(known).take_while(|(a, b)| a == b).count();
    let end = typed.iter().rev().zip(known.iter().rev()).take(least - begin).take_while(|(a, b)| a == b).count();
    let same = begin + end;
    let [same, lacking, extra] = [same, typed.len() - same, known.len() - same].map(|count| count as f64);
    if lacking == 0.0 {
        return (same / (same + EXTRA * extra)).max(UNNAMED);
    }
    same / (same + LACKING * lacking + EXTRA * extra)
}

/// Whether the document is what was typed: its title, another name or its id.
pub(super) fn is_exact(index: &Index, document: u32, typed: &str) -> bool {
    index.names[document as usize].keys.iter().any(|key| **key == *typed)
}

/// Whether two stems stand next to each other, in this order.
pub(super) fn adjacent(index: &Index, document: u32, stems: &[u32]) -> bool {
    let [first, second] = stems else { return false };
    let in_name = |name: &Stems| name.windows(2).any(|two| two == [Some(*first), Some(*second)]);
    let place = |stem: &u32| index.posting(*stem, document).map_or(&[][..], |posting| index.places(posting));
    index.names[document as usize].whole.iter().any(in_name) || place(first).iter().any(|at| place(second).contains(&(at + 1)))
}

/// The stems that a word stands for, with other names of a single word for a single word.
fn meanings(plan: &Plan, at: usize) -> BTreeSet<u32> {
    let own = plan.words[at].expansions.iter().map(|expansion| expansion.stem);
    let alone = plan.segments.iter().filter(|segment| (segment.from, segment.to) == (at, at + 1));
    let others = alone.flat_map(|segment| &segment.alternatives).filter(|other| other.stems.len() == 1).map(|other| other.stems[0]);
    own.chain(others).collect()
}

/// Where the word stands in the document's beginning, rising.
fn places(index: &Index, word: &Word, document: u32) -> Vec<u16> {
    let long = word.word.encode_utf16().count() >= LONG_START;
    let looked_up = word.expansions.iter().filter(|expansion| long || expansion.how != How::Start);
    let mut places: Vec<u16> = looked_up
        .filter_map(|expansion| index.posting(expansion.stem, document))
        .flat_map(|posting| index.places(posting).iter().copied())
        .collect();
    places.sort_unstable();
    places.dedup();
    places
}

fn has_form(index: &Index, word: &Word, document: u32) -> bool {
    let Some(at) = index.surface(&word.word) else { return false };
    index.posting(index.surfaces[at].stem, document).is_some_and(|posting| index.has_form(posting, at))
}
