//! From what was typed to what is looked for.
//!
//! `plan` in `src/browser/search-plan.js` is the same, line for line.

use std::collections::{BTreeMap, BTreeSet};

use super::Index;
use super::index::utf16_order;
use super::near::{distance, start_distance};
use super::words::split;

/// No more of a query than this is read, in UTF-16 code units.
const LONGEST: usize = 256;
/// No more words than this are looked for.
const MOST_WORDS: usize = 12;
/// How many stems a start of 1, 2, 3 or more letters may stand for; short ones would read half the index.
const START_CAPS: [usize; 4] = [4, 8, 16, 32];
/// A start of up to three letters that stands for more postings than this has its best documents found beforehand.
pub(super) const START_COST: u64 = 4_000;
const OTHER_CAP: usize = 8;
/// The fewest letters of either half of a word that is taken for two of which one has a slip.
const SHORTEST_HALF: usize = 3;
/// From so many letters on an unknown word that is not the last may be the start of one, as in `ign res`.
const SHORTEST_HALF_WORD: usize = 3;
const START_FACTOR: f64 = 0.6;
const ENDING_FACTOR: f64 = 0.8;
/// By edit distance.
const TYPO_FACTORS: [f64; 3] = [1.0, 0.6, 0.4];
const START_TYPO_FACTOR: f64 = 0.35;
const NOT_FACTOR: f64 = 0.8;
const SYNONYM_FACTOR: f64 = 0.5;
const COMPOUND_FACTOR: f64 = 0.9;
/// A known word in at most this many documents may itself be a slip of a word that is `USUAL` times as frequent.
const RARE: u32 = 2;
const USUAL: u32 = 8;
/// Left out of a query unless nothing else is left. Words that matter in the trade (no, not, on, off, out) are not here.
const STOP_WORDS: [&str; 68] = [
    "a", "an", "and", "any", "are", "as", "at", "be", "been", "by", "can", "could", "do", "does", "for", "from", "get", "got", "had",
    "has", "have", "how", "i", "if", "in", "is", "it", "its", "just", "know", "many", "matter", "matters", "me", "mean", "means", "much",
    "my", "need", "of", "ok", "or", "really", "should", "so", "that", "the", "them", "then", "there", "these", "they", "this", "to", "too",
    "was", "we", "what", "when", "where", "which", "who", "why", "will", "with", "would", "you", "your",
];
/// Each of these also finds the others: `no flame`, `not lighting`, `without a spark`.
const NOTS: [&str; 5] = ["never", "no", "none", "not", "without"];
/// English endings that an unknown word and a known one may differ by, longest first.
const ENDINGS: [&str; 9] = ["ings", "ing", "ers", "er", "ed", "es", "s", "e", ""];

/// How a stem came to be looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// It is the typed word's own.
    Own,
    /// The typed word is like one of its words: another ending, a slip, another word for *not*.
    Like,
    /// The typed word begins one of its words.
    Start,
}

/// A stem to look for and how much a match counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expansion {
    pub stem: u32,
    pub factor: f64,
    pub how: How,
}

/// One word of the query.
#[derive(Debug, Clone, PartialEq)]
pub struct Word {
    pub word: String,
    pub expansions: Vec<Expansion>,
}

/// Another name for a stretch of the query: stems that must all stand in a document.
#[derive(Debug, Clone, PartialEq)]
pub struct Alternative {
    pub stems: Vec<u32>,
    pub factor: f64,
    /// The stems must stand next to each other, in this order.
    pub adjacent: bool,
}

/// A stretch of the query that names one thing, mostly a single word.
#[derive(Debug, Clone, PartialEq)]
pub struct Segment {
    pub from: usize,
    pub to: usize,
    pub alternatives: Vec<Alternative>,
}

/// What a query looks for.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Plan {
    /// The words that count, as typed, folded and run together; compared with titles, other names and ids.
    pub key: String,
    /// The words looked for.
    pub words: Vec<Word>,
    /// Covers `words` from left to right without a gap.
    pub segments: Vec<Segment>,
    /// Kinds of entry that the query names; their documents are favoured.
    pub kinds: Vec<String>,
    /// Only a short start was typed, whose best documents were found beforehand.
    pub start: bool,
}

/// Reads a query.
pub fn plan(index: &Index, query: &str) -> Plan {
    let query = cut(query);
    let tokens = split(query);
    let open = tokens.last().is_some_and(|token| token.to == query.len());
    let typed: Vec<String> = tokens.into_iter().map(|token| token.word).collect();
    let mut wanted: Vec<&String> = Vec::new();
    for word in significant(&typed) {
        if !wanted.contains(&word) && wanted.len() < MOST_WORDS {
            wanted.push(word);
        }
    }
    let is_open = |word: &String| open && Some(word) == typed.last();
    let words: Vec<Word> = wanted.iter().map(|&word| Word { word: word.clone(), expansions: expand(index, word, is_open(word)) }).collect();
    let glued: Vec<Vec<u32>> = wanted.iter().map(|word| glued(index, &typed, word, open)).collect();
    let segments = segments(index, &words, &glued, words.last().is_some_and(|word| is_open(&word.word)));
    let kinds = index.kinds.iter().filter(|kind| names_kind(index, &words, kind)).cloned().collect();
    let start = open && typed.len() == 1 && index.starts.contains(&typed[0]);
    Plan { key: key(&typed), words, segments, kinds, start }
}

pub(super) fn is_stop_word(word: &str) -> bool {
    STOP_WORDS.binary_search(&word).is_ok()
}

/// The words without stop words, or all if there are no others.
pub(super) fn significant(words: &[String]) -> Vec<&String> {
    let kept: Vec<&String> = words.iter().filter(|word| !is_stop_word(word)).collect();
    if kept.is_empty() { words.iter().collect() } else { kept }
}

/// What is compared to tell whether a text was typed whole: its words that count, run together.
pub(super) fn key(words: &[String]) -> String {
    significant(words).into_iter().map(String::as_str).collect()
}

fn cut(query: &str) -> &str {
    let mut units = 0;
    for (at, c) in query.char_indices() {
        units += c.len_utf16();
        if units > LONGEST {
            return &query[..at];
        }
    }
    query
}

fn expand(index: &Index, word: &str, open: bool) -> Vec<Expansion> {
    let mut found: Vec<Expansion> = Vec::new();
    let add = |found: &mut Vec<Expansion>, stems: Vec<u32>, factor: f64, how: How| {
        for stem in stems {
            if found.iter().all(|known| known.stem != stem) {
                found.push(Expansion { stem, factor, how });
            }
        }
    };
    let own = index.stem_of(word);
    add(&mut found, own.into_iter().collect(), 1.0, How::Own);
    if NOTS.contains(&word) {
        let others = NOTS.iter().filter_map(|other| index.stem_of(other)).filter(|&stem| index.frequency(stem) > 0).collect();
        add(&mut found, others, NOT_FACTOR, How::Like);
    }
    if open {
        add(&mut found, start_stems(index, word), START_FACTOR, How::Start);
    }
    let length = word.encode_utf16().count();
    // A mistyped figure is another figure: only words are mended.
    if word.bytes().any(|byte| byte.is_ascii_digit()) {
        return found;
    }
    if found.is_empty() {
        let inflected = other_endings(index, word);
        if !inflected.is_empty() {
            add(&mut found, most_frequent(index, inflected, OTHER_CAP), ENDING_FACTOR, How::Like);
            return found;
        }
        let (far, stems) = typos(index, word, length);
        add(&mut found, stems, TYPO_FACTORS[far], How::Like);
        if open {
            add(&mut found, start_typos(index, word, length), START_TYPO_FACTOR, How::Start);
        } else if length >= SHORTEST_HALF_WORD {
            add(&mut found, start_stems(index, word), START_FACTOR, How::Start);
        }
    } else if let Some(own) = own.filter(|&own| index.frequency(own) <= RARE && length > 4) {
        let (far, mut stems) = typos(index, word, length);
        stems.retain(|&stem| far == 1 && index.frequency(stem) >= USUAL * index.frequency(own).max(1));
        add(&mut found, stems, TYPO_FACTORS[1], How::Like);
    }
    found
}

/// The stems that words with this start have, stop words aside; the most frequent first.
fn start_stems(index: &Index, start: &str) -> Vec<u32> {
    let stems: BTreeSet<u32> = starting_with(index, start).filter(|(word, _)| !is_stop_word(word)).map(|(_, stem)| stem).collect();
    most_frequent(index, stems, START_CAPS[start.encode_utf16().count().clamp(1, 4) - 1])
}

/// How many postings finding a start's best documents reads.
pub(super) fn start_cost(index: &Index, start: &str) -> u64 {
    start_stems(index, start).into_iter().map(|stem| u64::from(index.frequency(stem))).sum()
}

fn starting_with<'a>(index: &'a Index, start: &'a str) -> impl Iterator<Item = (&'a str, u32)> {
    let from = index.surfaces.partition_point(|surface| utf16_order(&surface.word, start).is_lt());
    index.surfaces[from..].iter().map(|surface| (surface.word.as_str(), surface.stem)).take_while(move |(word, _)| word.starts_with(start))
}

fn most_frequent(index: &Index, stems: BTreeSet<u32>, cap: usize) -> Vec<u32> {
    let mut stems: Vec<u32> = stems.into_iter().filter(|&stem| index.frequency(stem) > 0).collect();
    stems.sort_by_key(|&stem| (std::cmp::Reverse(index.frequency(stem)), stem));
    stems.truncate(cap);
    stems
}

/// Known words that differ from this one only by an English ending: `cleaned` finds `cleaning`.
fn other_endings(index: &Index, word: &str) -> BTreeSet<u32> {
    for ending in ENDINGS {
        let Some(base) = word.strip_suffix(ending).filter(|base| base.encode_utf16().count() >= 3) else { continue };
        let found: BTreeSet<u32> = starting_with(index, base)
            .filter(|(known, stem)| ENDINGS.contains(&&known[base.len()..]) && index.frequency(*stem) > 0)
            .map(|(_, stem)| stem)
            .collect();
        if !found.is_empty() {
            return found;
        }
    }
    BTreeSet::new()
}

/// The stems of the known words nearest to an unknown one, and how far they are: one edit in words of 4 letters or more, two from 8.
/// Those with the same first letter come first.
fn typos(index: &Index, word: &str, length: usize) -> (usize, Vec<u32>) {
    let limit = match length {
        0..=3 => return (0, Vec::new()),
        4..=7 => 1,
        _ => 2,
    };
    let first = word.encode_utf16().next();
    let mut near: BTreeMap<u32, (usize, bool)> = BTreeMap::new();
    for surface in &index.surfaces {
        if index.frequency(surface.stem) == 0 || surface.word == word {
            continue;
        }
        if let Some(far) = distance(word, &surface.word, limit) {
            let key = (far, surface.word.encode_utf16().next() != first);
            near.entry(surface.stem).and_modify(|best| *best = key.min(*best)).or_insert(key);
        }
    }
    let Some(least) = near.values().map(|(far, _)| *far).min() else { return (0, Vec::new()) };
    let mut near: Vec<(bool, std::cmp::Reverse<u32>, u32)> = near
        .into_iter()
        .filter(|(_, (far, _))| *far == least)
        .map(|(stem, (_, first_differs))| (first_differs, std::cmp::Reverse(index.frequency(stem)), stem))
        .collect();
    near.sort();
    near.truncate(OTHER_CAP);
    (least, near.into_iter().map(|(_, _, stem)| stem).collect())
}

/// The stems of words with the same first letter whose start is one edit away from what has been typed so far.
fn start_typos(index: &Index, word: &str, length: usize) -> Vec<u32> {
    let Some(first) = word.chars().next().filter(|_| length > 3) else { return Vec::new() };
    let stems: BTreeSet<u32> = starting_with(index, &first.to_string())
        .filter(|(known, _)| start_distance(word, known, 1).is_some())
        .map(|(_, stem)| stem)
        .collect();
    most_frequent(index, stems, OTHER_CAP)
}

/// Whether all words of a kind's name are typed.
fn names_kind(index: &Index, words: &[Word], kind: &str) -> bool {
    let kind = split(kind);
    let typed =
        |stem: u32| words.iter().any(|word| word.expansions.first().is_some_and(|first| first.how == How::Own && first.stem == stem));
    !kind.is_empty() && kind.iter().all(|token| index.stem_of(&token.word).is_some_and(typed))
}

/// Longest names first, from left to right.
fn segments(index: &Index, words: &[Word], glued: &[Vec<u32>], open: bool) -> Vec<Segment> {
    let groups = &index.group_stems;
    // What each word most likely is; a word still being typed is what it is so far.
    let meant: Vec<Option<u32>> =
        words.iter().map(|word| word.expansions.first().filter(|first| first.how != How::Start).map(|first| first.stem)).collect();
    let here = |name: &Vec<u32>, from: usize| {
        from + name.len() <= meant.len() && name.iter().zip(&meant[from..]).all(|(stem, meant)| Some(*stem) == *meant)
    };
    let mut segments = Vec::new();
    let mut from = 0;
    while from < words.len() {
        let joined = match words.get(from + 1) {
            Some(next) => join(index, &words[from].word, &next.word, open && from + 2 == words.len()),
            None => Vec::new(),
        };
        let least = if joined.is_empty() { 1 } else { 2 };
        let longest = groups.iter().flatten().filter(|name| here(name, from)).map(Vec::len).max().unwrap_or(0).max(least);
        let mut alternatives: Vec<Alternative> = Vec::new();
        let mut add = |stems: Vec<u32>, factor: f64, adjacent: bool| {
            if alternatives.iter().all(|known| known.stems != stems) && stems.iter().all(|&stem| index.frequency(stem) > 0) {
                alternatives.push(Alternative { stems, factor, adjacent });
            }
        };
        for names in groups {
            if names.iter().any(|name| name.len() == longest && here(name, from)) {
                names
                    .iter()
                    .filter(|name| !(name.len() == longest && here(name, from)))
                    .for_each(|name| add(name.clone(), SYNONYM_FACTOR, false));
            }
        }
        if longest == 2 {
            joined.into_iter().for_each(|stem| add(vec![stem], COMPOUND_FACTOR, false));
        }
        if longest == 1 {
            let last = open && from + 1 == words.len();
            halves(index, &words[from], last).into_iter().for_each(|(first, second)| add(vec![first, second], COMPOUND_FACTOR, true));
            glued[from].iter().for_each(|&stem| add(vec![stem], COMPOUND_FACTOR, false));
        }
        segments.push(Segment { from, to: from + longest, alternatives });
        from += longest;
    }
    segments
}

/// A word as one with a stop word beside it, which says nothing by itself: `by pass` as `bypass`.
fn glued(index: &Index, typed: &[String], word: &String, open: bool) -> Vec<u32> {
    let Some(at) = typed.iter().position(|other| other == word) else { return Vec::new() };
    let stop = |at: Option<usize>| at.and_then(|at| typed.get(at)).filter(|beside| is_stop_word(beside) && *beside != word);
    let before = stop(at.checked_sub(1)).map(|before| join(index, before, word, open && at + 1 == typed.len()));
    let after = stop(Some(at + 1)).map(|after| join(index, word, after, open && at + 2 == typed.len()));
    before.into_iter().chain(after).flatten().collect()
}

/// Two words as one: `roll out` as `rollout`.
fn join(index: &Index, first: &str, second: &str, open: bool) -> Vec<u32> {
    let whole = format!("{first}{second}");
    if whole.bytes().any(|byte| byte.is_ascii_digit()) {
        return Vec::new();
    }
    let known: Vec<u32> = index.stem_of(&whole).into_iter().filter(|&stem| index.frequency(stem) > 0).collect();
    if !known.is_empty() || !open {
        return known;
    }
    most_frequent(index, starting_with(index, &whole).map(|(_, stem)| stem).collect(), START_CAPS[0])
}

/// One word as two: `rollout` as `roll out`, if some document has it so or the word is unknown.
fn halves(index: &Index, word: &Word, open: bool) -> Vec<(u32, u32)> {
    if let Some(own) = word.expansions.first().filter(|first| first.how == How::Own) {
        let same = |compound: &&super::index::Compound| index.stem_of(&compound.whole) == Some(own.stem);
        let stems = |compound: &super::index::Compound| index.stem_of(&compound.first).zip(index.stem_of(&compound.second));
        return index.compounds.iter().filter(same).filter_map(stems).collect();
    }
    if word.expansions.iter().any(|expansion| expansion.how == How::Start && expansion.factor == START_FACTOR) {
        return Vec::new();
    }
    let known = |half: &str| index.stem_of(half).filter(|&stem| index.frequency(stem) > 0);
    let mut found = Vec::new();
    for (at, _) in word.word.char_indices().skip(2) {
        let (first, second) = word.word.split_at(at);
        let long = second.encode_utf16().count();
        let Some(first) = known(first).filter(|_| long > 1) else { continue };
        let begun = || if open && long > 2 { start_stems(index, second).first().copied() } else { None };
        found.extend(known(second).or_else(begun).map(|second| (first, second)));
    }
    if found.is_empty() && word.expansions.is_empty() && !word.word.bytes().any(|byte| byte.is_ascii_digit()) {
        // Nothing is like the whole: one of the two may hold a slip.
        let near = |half: &str| match typos(index, half, half.encode_utf16().count()) {
            (1, stems) => stems.first().copied(),
            _ => None,
        };
        for (at, _) in word.word.char_indices().skip(SHORTEST_HALF) {
            let (first, second) = word.word.split_at(at);
            if second.chars().count() < SHORTEST_HALF {
                break;
            }
            found.extend(match (known(first), known(second)) {
                (Some(first), None) => near(second).map(|second| (first, second)),
                (None, Some(second)) => near(first).map(|first| (first, second)),
                _ => None,
            });
        }
    }
    found.truncate(OTHER_CAP);
    found
}
