//! From what was typed to what is looked for.
//!
//! `plan` in `src/browser/search-plan.js` is the same, line for line.

use std::collections::{BTreeMap, BTreeSet};

use super::Index;
use super::near::distance;
use super::words::split;

/// No more of a query than this is read, in UTF-16 code units.
const LONGEST: usize = 256;
/// No more words than this are looked for.
const MOST_WORDS: usize = 12;
/// How many stems a prefix of 1, 2, 3 or more letters may stand for; short ones would read half the index.
const PREFIX_CAPS: [usize; 4] = [4, 8, 16, 32];
const OTHER_CAP: usize = 8;
const PREFIX_FACTOR: f64 = 0.6;
const ENDING_FACTOR: f64 = 0.8;
/// By edit distance.
const TYPO_FACTORS: [f64; 3] = [1.0, 0.6, 0.4];
/// Left out of a query unless nothing else is left. Words that matter in the trade (no, not, on, off, out) are not here.
const STOP_WORDS: [&str; 30] = [
    "a", "an", "and", "are", "as", "at", "be", "by", "do", "does", "for", "from", "how", "i", "in", "is", "it", "my", "of", "or", "that",
    "the", "this", "to", "what", "when", "where", "which", "why", "with",
];
/// English endings that an unknown word and a known one may differ by, longest first.
const ENDINGS: [&str; 9] = ["ings", "ing", "ers", "er", "ed", "es", "s", "e", ""];

/// A stem to look for and how much a match counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expansion {
    pub stem: u32,
    pub factor: f64,
    /// The stem of the word as typed, not of one like it.
    pub exact: bool,
}

/// One word of the query.
#[derive(Debug, Clone, PartialEq)]
pub struct Word {
    pub word: String,
    pub expansions: Vec<Expansion>,
}

/// Another name for a stretch of the query: stems that must all stand in a document.
pub type Alternative = Vec<u32>;

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
    /// Every word as typed, folded; compared with titles and ids.
    pub typed: Vec<String>,
    /// The words looked for.
    pub words: Vec<Word>,
    /// Covers `words` from left to right without a gap.
    pub segments: Vec<Segment>,
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
    let words: Vec<Word> = wanted
        .iter()
        .map(|&word| Word { word: word.clone(), expansions: expand(index, word, open && Some(word) == typed.last()) })
        .collect();
    let segments = segments(index, &words);
    Plan { typed, words, segments }
}

/// The words without stop words, or all if there are no others.
fn significant(words: &[String]) -> Vec<&String> {
    let kept: Vec<&String> = words.iter().filter(|word| !STOP_WORDS.contains(&word.as_str())).collect();
    if kept.is_empty() { words.iter().collect() } else { kept }
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
    let mut found = Vec::new();
    let exact = index.surface(word).map(|at| index.surfaces[at].stem);
    if let Some(stem) = exact {
        found.push(Expansion { stem, factor: 1.0, exact: true });
    }
    let length = word.encode_utf16().count();
    if open {
        let stems: BTreeSet<u32> = starting_with(index, word).map(|(_, stem)| stem).filter(|&stem| Some(stem) != exact).collect();
        let cap = PREFIX_CAPS[length.clamp(1, 4) - 1];
        found.extend(most_frequent(index, stems, cap).into_iter().map(|stem| Expansion { stem, factor: PREFIX_FACTOR, exact: false }));
    }
    // A mistyped figure is another figure: only words are mended.
    if !found.is_empty() || word.bytes().any(|byte| byte.is_ascii_digit()) {
        return found;
    }
    let inflected = other_endings(index, word);
    if !inflected.is_empty() {
        return most_frequent(index, inflected, OTHER_CAP)
            .into_iter()
            .map(|stem| Expansion { stem, factor: ENDING_FACTOR, exact: false })
            .collect();
    }
    typos(index, word, length)
}

fn starting_with<'a>(index: &'a Index, start: &'a str) -> impl Iterator<Item = (&'a str, u32)> {
    let from = index.surfaces.partition_point(|surface| surface.word.encode_utf16().lt(start.encode_utf16()));
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

/// One edit in words of 4 letters or more, two from 8 letters; only the nearest are taken, those with the same first letter first.
fn typos(index: &Index, word: &str, length: usize) -> Vec<Expansion> {
    let limit = match length {
        0..=3 => return Vec::new(),
        4..=7 => 1,
        _ => 2,
    };
    let first = word.encode_utf16().next();
    let mut near: BTreeMap<u32, (usize, bool)> = BTreeMap::new();
    for surface in &index.surfaces {
        if index.frequency(surface.stem) == 0 {
            continue;
        }
        if let Some(far) = distance(word, &surface.word, limit) {
            let key = (far, surface.word.encode_utf16().next() != first);
            near.entry(surface.stem).and_modify(|best| *best = key.min(*best)).or_insert(key);
        }
    }
    let Some(least) = near.values().map(|(far, _)| *far).min() else { return Vec::new() };
    let mut near: Vec<(bool, std::cmp::Reverse<u32>, u32)> = near
        .into_iter()
        .filter(|(_, (far, _))| *far == least)
        .map(|(stem, (_, first_differs))| (first_differs, std::cmp::Reverse(index.frequency(stem)), stem))
        .collect();
    near.sort();
    near.truncate(OTHER_CAP);
    near.into_iter().map(|(_, _, stem)| Expansion { stem, factor: TYPO_FACTORS[least], exact: false }).collect()
}

/// Longest names first, from left to right.
fn segments(index: &Index, words: &[Word]) -> Vec<Segment> {
    let groups: Vec<Vec<Vec<u32>>> = index
        .groups
        .iter()
        .map(|names| {
            let stem = |word: &String| index.surface(word).map(|at| index.surfaces[at].stem);
            names.iter().map(|name| significant(name).into_iter().filter_map(stem).collect()).collect()
        })
        .collect();
    let exact = |word: &Word| word.expansions.first().filter(|first| first.exact).map(|first| first.stem);
    let typed: Vec<Option<u32>> = words.iter().map(exact).collect();
    let here = |name: &Vec<u32>, from: usize| {
        from + name.len() <= typed.len() && name.iter().zip(&typed[from..]).all(|(stem, typed)| Some(*stem) == *typed)
    };
    let mut segments = Vec::new();
    let mut from = 0;
    while from < words.len() {
        let longest = groups.iter().flatten().filter(|name| here(name, from)).map(Vec::len).max().unwrap_or(0).max(1);
        let mut alternatives: Vec<Alternative> = Vec::new();
        for names in &groups {
            if !names.iter().any(|name| name.len() == longest && here(name, from)) {
                continue;
            }
            for name in names {
                let own = name.len() == longest && here(name, from);
                if !own && !alternatives.contains(name) && name.iter().all(|&stem| index.frequency(stem) > 0) {
                    alternatives.push(name.clone());
                }
            }
        }
        segments.push(Segment { from, to: from + longest, alternatives });
        from += longest;
    }
    segments
}
