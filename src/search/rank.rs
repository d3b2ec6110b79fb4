//! The order of results, on one page.
//!
//! `rank` in `src/browser/search-rank.js` is the same, line for line; both read one file of golden cases.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use super::Index;
use super::closeness::{adjacent, closeness, is_exact};
use super::index::FIELDS;
use super::plan::{How, Plan, Segment, Word, plan};

const K1: f64 = 1.2;
const B: f64 = 0.75;
/// Title, other names, figures, body.
const FIELD_WEIGHTS: [f64; FIELDS] = [2.0, 1.4, 1.2, 1.0];
/// For kinds that come after others that fit as well, such as sources.
const BACKGROUND: f64 = 0.6;
/// How many of the best by words and BM25 are looked at closely.
const CLOSE: usize = 50;
/// How many more are, if all the words stand in title or other names.
const CLOSE_NAMES: usize = 150;
/// How many documents a short start shows.
pub(super) const START_LENGTH: usize = 20;

/// One document that matches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ranked {
    pub document: u32,
    pub exact: bool,
    /// How many words of [`Plan::words`] it has.
    pub matched: u32,
    /// Whether it comes first for having all of them.
    pub lifted: bool,
    /// Weighted BM25, as tantivy's on exact words.
    pub bm25: f64,
    /// The same × share of the words × background × closeness.
    pub score: f64,
}

/// What a document has of a query or of a stretch of it.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
struct Sum {
    matched: u32,
    score: f64,
    /// What the document is put in order by before a close look.
    weighted: f64,
    /// How many of the words stand in the title or other names.
    named: u32,
    /// Whether it comes first for having all the words.
    lifted: bool,
}

/// By document, in no order.
type Sums = Vec<(u32, Sum)>;

/// Orders the documents that have at least one word of the plan.
///
/// Documents are compared by, in turn:
/// 1. **exact**: the words that count, in their order, are the document's title, one of its other names or its id. Words are run
///    together for this, so that `roll out` is `rollout`;
/// 2. **all words**: whether it has all of the plan's words and, if they are several, at least one of them in its title or other
///    names. A long page that happens to have them all somewhere in its text must not come before what is meant;
/// 3. score × share of the words that it has × 0.6 for a background document × closeness, largest first, rounded to a millionth so that the last bit of a logarithm cannot turn an order;
/// 4. the order in which the documents were given.
///
/// The **score** is a sum over the plan's words. A word looks for stems: its own (factor 1); other words for *not* (0.8); those it
/// begins (0.6, last word only, stop words aside, the most frequent 4, 8, 16 or 32 by letters typed); or, if it is unknown, those with another English
/// ending (0.8), else those one edit away (0.6), else two (0.4, from 8 letters), with those whose start is one edit away (0.35, last
/// word only) or those that it begins (0.6, from 3 letters, other words only). A word in one or two documents also looks for words one edit away that are eight times as frequent. The word's score
/// in a document is the largest of factor × Σ over fields weight × BM25, with weights title 2, other names 1.4, figures 1.2, body 1.
/// BM25 is tantivy's:
/// `ln(1 + (N − n + 0.5) / (n + 0.5)) × 2.2 × tf / (tf + 1.2 × (0.25 + 0.75 × length / average))`, with each field's own n, lengths in
/// tantivy's one-byte code and the exact average. The stems that are not the word's own share the largest n among them, so that a
/// rare likeness does not beat a common one.
///
/// A stretch of words is also matched by what else it may be: each other name of a synonym group that it names (0.5), two words
/// written as one (0.9; one of them may be a stop word), one word written as two that stand next to each other (0.9; of a
/// word that nothing is like, one of the two may hold a slip). All of the other's words must be there; that
/// counts as all the stretch's words and factor × the sum of the other's scores. The better of the two counts, by words, then score.
///
/// **Closeness** is looked at for the best 50 by all this without closeness, and the best 150 more whose title and other names have all the
/// words; see [`closeness`]. For the others it is 1.
///
/// A single start of up to three letters that stands for more than 4,000 postings shows only its best 20.
pub fn rank(index: &Index, plan: &Plan) -> Vec<Ranked> {
    order(index, plan, |_| true)
}

/// [`rank`] among some documents only, such as those that another index has found. Scores are the same as without the limit.
pub fn rank_among(index: &Index, plan: &Plan, among: &BTreeSet<u32>) -> Vec<Ranked> {
    order(index, plan, |document| among.contains(&document))
}

/// Which documents a short start finds: how many, and the best in order.
pub(super) fn best_of_start(index: &Index, start: &str) -> (usize, Vec<u32>) {
    let plan = plan(index, start);
    let (close, far) = parted(index, &plan, |_| true);
    let n_found = close.len() + far.len();
    // A close look only raises a score, and it takes more than are shown.
    const { assert!(START_LENGTH <= CLOSE) };
    let mut ranked: Vec<Ranked> = close.into_iter().map(|found| look(index, &plan, found)).collect();
    ranked.sort_unstable_by_key(place);
    (n_found, ranked.into_iter().take(START_LENGTH).map(|one| one.document).collect())
}

fn order(index: &Index, plan: &Plan, wanted: impl Fn(u32) -> bool) -> Vec<Ranked> {
    let (close, far) = parted(index, plan, wanted);
    let mut ranked: Vec<Ranked> = close.into_iter().map(|found| look(index, plan, found)).collect();
    ranked.extend(far.into_iter().map(|(document, sum)| ranked_so_far(document, sum)));
    ranked.sort_unstable_by_key(place);
    if plan.start {
        ranked.truncate(START_LENGTH);
    }
    ranked
}

/// The documents found that are looked at closely, and the others; neither in order.
fn parted(index: &Index, plan: &Plan, wanted: impl Fn(u32) -> bool) -> (Sums, Sums) {
    let mut sums: Tally<Sum> = Tally::new(index);
    for segment in &plan.segments {
        for (document, part) in segment_sums(index, plan, segment).into_iter() {
            let sum = sums.at(document);
            sum.matched += part.matched;
            sum.score += part.score;
            sum.named += part.named;
        }
    }
    let all = plan.words.len() as u32;
    let mut found: Sums = sums.into_iter().filter(|&(document, _)| wanted(document)).collect();
    for (document, sum) in &mut found {
        sum.weighted = sum.score * f64::from(sum.matched) / f64::from(all);
        if index.is_background(*document) {
            sum.weighted *= BACKGROUND;
        }
        sum.lifted = sum.matched == all && (all == 1 || sum.named > 0);
    }
    let before_a_look = |&(document, sum): &(u32, Sum)| (Reverse((sum.lifted, rounded(sum.weighted))), document);
    let take_first = |from: &mut Sums, count: usize| {
        if from.len() > count {
            from.select_nth_unstable_by_key(count, before_a_look);
        }
        from.drain(..count.min(from.len())).collect::<Sums>()
    };
    let mut close = take_first(&mut found, CLOSE);
    let (mut named, mut far): (Sums, Sums) = found.into_iter().partition(|(_, sum)| sum.named >= all);
    close.extend(take_first(&mut named, CLOSE_NAMES));
    far.extend(named);
    (close, far)
}

fn look(index: &Index, plan: &Plan, (document, sum): (u32, Sum)) -> Ranked {
    let exact = sum.matched == plan.words.len() as u32 && is_exact(index, document, &plan.key);
    Ranked { exact, score: sum.weighted * closeness(index, plan, document), ..ranked_so_far(document, sum) }
}

/// What the results are put in order by.
fn place(one: &Ranked) -> (Reverse<(bool, bool, u64)>, u32) {
    (Reverse((one.exact, one.lifted, rounded(one.score))), one.document)
}

fn ranked_so_far(document: u32, sum: Sum) -> Ranked {
    Ranked { document, exact: false, matched: sum.matched, lifted: sum.lifted, bm25: sum.score, score: sum.weighted }
}

fn rounded(score: f64) -> u64 {
    (score * 1e6).round() as u64
}

fn segment_sums(index: &Index, plan: &Plan, segment: &Segment) -> Tally<Sum> {
    let mut best: Tally<Sum> = Tally::new(index);
    for word in &plan.words[segment.from..segment.to] {
        for (document, (score, named)) in word_scores(index, word).into_iter() {
            let own = best.at(document);
            own.matched += 1;
            own.score += score;
            own.named += u32::from(named);
        }
    }
    let length = (segment.to - segment.from) as u32;
    for alternative in &segment.alternatives {
        let mut sums: Tally<(usize, f64, usize)> = Tally::new(index);
        for &stem in &alternative.stems {
            for (document, score, named) in stem_scores(index, stem, frequencies(index, stem)) {
                let sum = sums.at(document);
                sum.0 += 1;
                sum.1 += score;
                sum.2 += usize::from(named);
            }
        }
        for (document, (matched, score, named)) in sums.into_iter() {
            if matched < alternative.stems.len() || (alternative.adjacent && !adjacent(index, document, &alternative.stems)) {
                continue;
            }
            let own = best.at(document);
            if named == matched {
                own.named = own.named.max(length);
            }
            let score = score * alternative.factor;
            if length > own.matched || (length == own.matched && score > own.score) {
                (own.matched, own.score) = (length, score);
            }
        }
    }
    best
}

/// Each document's score, and whether the word stands in its title or other names.
fn word_scores(index: &Index, word: &Word) -> Tally<(f64, bool)> {
    let mut shared = [0; FIELDS];
    for expansion in word.expansions.iter().filter(|expansion| expansion.how != How::Own) {
        let own = frequencies(index, expansion.stem);
        shared.iter_mut().zip(own).for_each(|(most, own)| *most = own.max(*most));
    }
    let mut best: Tally<(f64, bool)> = Tally::new(index);
    for expansion in &word.expansions {
        let frequencies = if expansion.how == How::Own { frequencies(index, expansion.stem) } else { shared };
        for (document, score, named) in stem_scores(index, expansion.stem, frequencies) {
            let most = best.at(document);
            most.0 = most.0.max(expansion.factor * score);
            most.1 |= named;
        }
    }
    best
}

/// A value for each document that was asked for.
struct Tally<T> {
    values: Vec<Option<T>>,
    touched: Vec<u32>,
}

impl<T: Copy + Default> Tally<T> {
    fn new(index: &Index) -> Tally<T> {
        Tally { values: vec![None; index.cards.len()], touched: Vec::new() }
    }

    fn at(&mut self, document: u32) -> &mut T {
        let value = &mut self.values[document as usize];
        if value.is_none() {
            self.touched.push(document);
        }
        value.get_or_insert_default()
    }

    fn into_iter(self) -> impl Iterator<Item = (u32, T)> {
        let values = self.values;
        self.touched.into_iter().map(move |document| (document, values[document as usize].unwrap_or_default()))
    }
}

/// How many documents have the stem, by field.
fn frequencies(index: &Index, stem: u32) -> [u32; FIELDS] {
    let mut sums = [0; FIELDS];
    for posting in index.postings(stem) {
        sums.iter_mut().zip(posting.counts).for_each(|(sum, count)| *sum += u32::from(count > 0));
    }
    sums
}

fn stem_scores(index: &Index, stem: u32, frequencies: [u32; FIELDS]) -> impl Iterator<Item = (u32, f64, bool)> {
    let documents = index.cards.len() as f64;
    let idf = frequencies.map(|n| (1.0 + (documents - f64::from(n) + 0.5) / (f64::from(n) + 0.5)).ln());
    let averages = index.totals.map(|total| total as f64 / documents);
    index.postings(stem).iter().map(move |posting| {
        let mut score = 0.0;
        for field in 0..FIELDS {
            let count = f64::from(posting.counts[field]);
            if count > 0.0 {
                let length = f64::from(field_length(index.lengths[posting.document as usize][field]));
                let norm = K1 * (1.0 - B + B * length / averages[field]);
                score += FIELD_WEIGHTS[field] * idf[field] * (K1 + 1.0) * (count / (count + norm));
            }
        }
        (posting.document, score, posting.counts[0] > 0 || posting.counts[1] > 0)
    })
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
