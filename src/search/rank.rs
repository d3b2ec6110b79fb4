//! The order of results, on one page.
//!
//! `rank` in `src/browser/search-rank.js` is the same, line for line; both read one file of golden cases.

use std::collections::{BTreeMap, BTreeSet};

use super::index::FIELDS;
use super::plan::{Plan, Segment, Word};
use super::words::split;
use super::{Index, Posting};

const K1: f64 = 1.2;
const B: f64 = 0.75;
/// Title, other names, body.
const FIELD_WEIGHTS: [f64; FIELDS] = [2.0, 1.4, 1.0];
/// How much a document counts that has another name of what was typed.
const ALTERNATIVE_FACTOR: f64 = 0.5;

/// One document that matches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ranked {
    pub document: u32,
    pub exact: bool,
    /// How many words of [`Plan::words`] it has.
    pub matched: u32,
    pub score: f64,
}

/// Orders the documents that have at least one word of the plan.
///
/// Documents are compared by, in turn:
/// 1. **exact**: all the words typed, in their order, are the document's title or its id;
/// 2. **matched**: how many of the plan's words it has, most first, so that every word comes before some words;
/// 3. **score**, largest first, rounded to a millionth so that the last bit of a logarithm cannot turn an order;
/// 4. the order in which the documents were given.
///
/// The score is a sum over the plan's words. A word looks for stems: its own (factor 1), those it begins (0.6, last word only, the
/// most frequent 4, 8, 16 or 32 by letters typed), or, if it is unknown, those with another English ending (0.8), else those one
/// edit away (0.6), else two (0.4, from 8 letters). The word's score in a document is the largest of factor × Σ over fields
/// weight × BM25, with weights title 2, other names 1.4, body 1. BM25 is tantivy's:
/// `ln(1 + (N − n + 0.5) / (n + 0.5)) × 2.2 × tf / (tf + 1.2 × (0.25 + 0.75 × length / average))`, with each field's own n, lengths in
/// tantivy's one-byte code and the exact average. The stems that a word merely begins or resembles share the largest n among them,
/// so that a rare likeness does not beat a common one.
///
/// A stretch of words that is one name of a synonym group is also matched by each other name of the group all of whose words the
/// document has; that counts as all the stretch's words and 0.5 × the sum of the other name's scores. The better of the two counts,
/// by words, then by score.
pub fn rank(index: &Index, plan: &Plan) -> Vec<Ranked> {
    order(index, plan, |_| true)
}

/// [`rank`] among some documents only, such as those that another index has found. Scores are the same as without the limit.
pub fn rank_among(index: &Index, plan: &Plan, among: &BTreeSet<u32>) -> Vec<Ranked> {
    order(index, plan, |document| among.contains(&document))
}

fn order(index: &Index, plan: &Plan, wanted: impl Fn(u32) -> bool) -> Vec<Ranked> {
    let mut sums: BTreeMap<u32, (u32, f64)> = BTreeMap::new();
    for segment in &plan.segments {
        for (document, (matched, score)) in segment_scores(index, plan, segment) {
            let sum = sums.entry(document).or_default();
            sum.0 += matched;
            sum.1 += score;
        }
    }
    let all = plan.words.len() as u32;
    let mut ranked: Vec<Ranked> = sums
        .into_iter()
        .filter(|&(document, _)| wanted(document))
        .map(|(document, (matched, score))| {
            let exact = matched == all && is_exact(index, document, &plan.typed);
            Ranked { document, exact, matched, score }
        })
        .collect();
    let rounded = |score: f64| (score * 1e6).round() as u64;
    ranked.sort_by(|a, b| (b.exact, b.matched, rounded(b.score), a.document).cmp(&(a.exact, a.matched, rounded(a.score), b.document)));
    ranked
}

/// Words matched and score, by document.
fn segment_scores(index: &Index, plan: &Plan, segment: &Segment) -> BTreeMap<u32, (u32, f64)> {
    let mut best: BTreeMap<u32, (u32, f64)> = BTreeMap::new();
    for word in &plan.words[segment.from..segment.to] {
        for (document, score) in word_scores(index, word) {
            let own = best.entry(document).or_default();
            own.0 += 1;
            own.1 += score;
        }
    }
    let length = (segment.to - segment.from) as u32;
    for alternative in &segment.alternatives {
        let mut sums: BTreeMap<u32, (usize, f64)> = BTreeMap::new();
        for &stem in alternative {
            for (document, score) in stem_scores(index, stem, frequencies(index, stem)) {
                let sum = sums.entry(document).or_default();
                sum.0 += 1;
                sum.1 += score;
            }
        }
        for (document, (matched, score)) in sums {
            if matched == alternative.len() {
                let other = (length, score * ALTERNATIVE_FACTOR);
                let own = best.entry(document).or_default();
                if other > *own {
                    *own = other;
                }
            }
        }
    }
    best
}

fn word_scores(index: &Index, word: &Word) -> BTreeMap<u32, f64> {
    let mut shared = [0; FIELDS];
    for expansion in word.expansions.iter().filter(|expansion| !expansion.exact) {
        let own = frequencies(index, expansion.stem);
        shared.iter_mut().zip(own).for_each(|(most, own)| *most = own.max(*most));
    }
    let mut best: BTreeMap<u32, f64> = BTreeMap::new();
    for expansion in &word.expansions {
        let frequencies = if expansion.exact { frequencies(index, expansion.stem) } else { shared };
        for (document, score) in stem_scores(index, expansion.stem, frequencies) {
            let most = best.entry(document).or_default();
            *most = most.max(expansion.factor * score);
        }
    }
    best
}

/// How many documents have the stem, by field.
fn frequencies(index: &Index, stem: u32) -> [u32; FIELDS] {
    let mut sums = [0; FIELDS];
    for posting in postings(index, stem) {
        sums.iter_mut().zip(posting.counts).for_each(|(sum, count)| *sum += u32::from(count > 0));
    }
    sums
}

fn stem_scores(index: &Index, stem: u32, frequencies: [u32; FIELDS]) -> impl Iterator<Item = (u32, f64)> {
    let documents = index.cards.len() as f64;
    let idf = frequencies.map(|n| (1.0 + (documents - f64::from(n) + 0.5) / (f64::from(n) + 0.5)).ln());
    let averages = index.totals.map(|total| total as f64 / documents);
    postings(index, stem).iter().map(move |posting| {
        let mut score = 0.0;
        for field in 0..FIELDS {
            let count = f64::from(posting.counts[field]);
            if count > 0.0 {
                let length = f64::from(field_length(index.lengths[posting.document as usize][field]));
                let norm = K1 * (1.0 - B + B * length / averages[field]);
                score += FIELD_WEIGHTS[field] * idf[field] * (K1 + 1.0) * (count / (count + norm));
            }
        }
        (posting.document, score)
    })
}

fn postings(index: &Index, stem: u32) -> &[Posting] {
    index.postings.get(stem as usize).map_or(&[], Vec::as_slice)
}

/// The field length that a one-byte code stands for, in words, as in tantivy: exact to 40, then with three bits after the first.
pub fn field_length(code: u8) -> u32 {
    let code = u32::from(code);
    if code < 24 {
        return code;
    }
    let (bits, shift) = ((code - 24) & 7, (code - 24) >> 3);
    24 + if shift == 0 { bits } else { (bits | 8) << (shift - 1) }
}

fn is_exact(index: &Index, document: u32, typed: &[String]) -> bool {
    let card = &index.cards[document as usize];
    let same = |text: &str| split(text).into_iter().map(|token| token.word).eq(typed.iter().cloned());
    let title_length = field_length(index.lengths[document as usize][0]) as usize;
    // Most documents are told apart by the length of the title and the first letter of the id.
    (title_length == typed.len() && same(&card.title))
        || (!typed.is_empty() && card.id.chars().next() == typed[0].chars().next() && !card.id.is_empty() && same(&card.id))
}
