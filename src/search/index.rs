//! Counting: numbered words to stems and postings.

use std::cmp::Ordering;
use std::collections::BTreeSet;

use rayon::prelude::*;

use super::Document;
use super::closeness::Names;
use super::plan::significant;
use super::read::{self, Hit, Interner, Read, UNPLACED};

/// How many fields a document has for ranking.
pub const FIELDS: usize = 4;
/// At most this many forms of a stem are told apart in a posting; the others share the last.
pub const FORMS: u32 = 6;
/// How many places all documents together may keep, shared out evenly: some hundreds of words of each of three hundred entries, twenty
/// of each of ten thousand. Beyond them words are found, and not how near each other; places would take more room than all else.
const PLACES: usize = 200_000;
/// The least and the most places that one document keeps.
const LEAST_LEAD: usize = 12;
const MOST_LEAD: usize = 2_048;
/// A start of up to this many letters gets a list of its best documents beforehand, if finding them would read too much.
pub(super) const SHORT_START: usize = 3;

/// Where a word stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Field {
    Title,
    /// Other names, the kind word, and those words of the id that title and other names lack.
    Names,
    Figures,
    /// Summary and text.
    Body,
}

/// How often one stem stands in one document, and where.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Posting {
    pub document: u32,
    pub counts: [u32; FIELDS],
    /// Which of the stem's surface words stand there, as bits in the order of [`Index::surfaces`]; the sixth and later share a bit.
    pub forms: u8,
    /// Where [`Index::places`] finds its places, and how many there are.
    from: u32,
    n_places: u16,
}

/// A word as written (folded) and its stem's number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Surface {
    pub word: String,
    pub stem: u32,
}

/// What a result shows, with every run of white space and control characters made one space.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Card {
    pub id: String,
    pub kind: String,
    pub title: String,
    pub names: Vec<String>,
    pub address: String,
    pub summary: String,
    /// Figures and text, in pieces, for the excerpt.
    pub text: Vec<String>,
}

/// A word that some document has in two: `rollout`, `roll`, `out`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Compound {
    pub whole: String,
    pub first: String,
    pub second: String,
}

/// The counted documents. Documents are numbered in the order given.
#[derive(Debug, Clone, Default)]
pub struct Index {
    pub cards: Vec<Card>,
    /// The cards' kinds, each once, rising.
    pub kinds: Vec<String>,
    /// Those of them whose documents come after others that fit as well.
    pub background: Vec<String>,
    /// Rising by UTF-16 code units, the order in which JavaScript compares strings.
    pub surfaces: Vec<Surface>,
    /// In the order of their first surface words.
    pub stems: Vec<String>,
    /// All postings by stem, and where each stem's end.
    postings: Vec<Posting>,
    ends: Vec<u32>,
    /// Field lengths in words, as tantivy's one-byte code.
    pub lengths: Vec<[u8; FIELDS]>,
    /// The exact sums of the field lengths.
    pub totals: [u64; FIELDS],
    /// Groups of names for one thing; each name as its surface words.
    pub groups: Vec<Vec<Vec<String>>>,
    /// The same with each name as the stems of its words that count, so that a plan need not look them up.
    pub(super) group_stems: Vec<Vec<Vec<u32>>>,
    /// Rising.
    pub compounds: Vec<Compound>,
    /// Places below this are kept.
    pub(super) lead: usize,
    /// All postings' places, by document.
    places: Vec<u16>,
    /// By document: whether its kind is among [`Index::background`].
    set_back: Vec<bool>,
    /// By document, for a close look.
    pub(super) names: Vec<Names>,
    /// By stem: its surfaces' places in [`Index::surfaces`], rising.
    forms: Vec<Vec<u32>>,
    /// Starts of up to three letters whose best documents are kept ready.
    pub(super) starts: BTreeSet<String>,
}

impl Index {
    /// Counts the documents, which are freed as soon as they are read if they were given away. `synonyms` are groups of names for one
    /// thing, such as a glossary term's title and other names.
    pub fn build(given: impl AsRef<[Document]>, synonyms: &[Vec<String>]) -> Index {
        let documents = given.as_ref();
        let lead = (PLACES / documents.len().max(1)).clamp(LEAST_LEAD, MOST_LEAD);
        let mut index = Index { cards: documents.par_iter().map(card).collect(), lead, ..Index::default() };
        index.kinds = index.cards.iter().map(|card| card.kind.as_str()).collect::<BTreeSet<_>>().into_iter().map(str::to_owned).collect();
        let background = |kind: &&String| documents.iter().any(|document| document.background && tidy(&document.kind) == **kind);
        index.background = index.kinds.iter().filter(background).cloned().collect();
        index.set_back = index.cards.iter().map(|card| index.background.contains(&card.kind)).collect();
        let (read, pairs, mut interner) = read::read(documents, lead);
        drop(given);
        for document in &read {
            index.totals.iter_mut().zip(document.lengths).for_each(|(sum, length)| *sum += length as u64);
            index.lengths.push(document.lengths.map(|length| length_code(length as u32)));
        }
        index.groups = read::groups(synonyms, &mut interner);
        index.compounds = read::compounds(&pairs, &interner);
        drop(pairs);
        let known = index.sort_words(&interner, read);
        let stem_of = |word: &str| interner.get_index_of(word).map(|number| known[number].0);
        let stems = |name: &Vec<String>| significant(name).into_iter().filter_map(|word| stem_of(word)).collect();
        index.group_stems = index.groups.par_iter().map(|names| names.iter().map(stems).collect()).collect();
        index.names = index.cards.par_iter().map(|card| Names::of(card, stem_of)).collect();
        index.starts = index.costly_starts();
        index
    }

    /// Stems, surfaces in order, and the postings by stem; gives, by word, its stem and which of the stem's forms it is.
    fn sort_words(&mut self, words: &Interner, read: Vec<Read>) -> Vec<(u32, u32)> {
        let words: Vec<&str> = words.iter().map(|word| &**word).collect();
        let stems_of: Vec<String> = words.par_iter().map(|word| stem(word)).collect();
        let mut order: Vec<u32> = (0..words.len() as u32).collect();
        order.par_sort_unstable_by(|&a, &b| utf16_order(words[a as usize], words[b as usize]));
        let mut numbers: Interner = Interner::default();
        let mut known = vec![(0, 0); words.len()];
        for (surface, at) in order.into_iter().enumerate() {
            let stem = read::number(&mut numbers, &stems_of[at as usize]);
            if stem as usize == self.forms.len() {
                self.forms.push(Vec::new());
            }
            let forms = &mut self.forms[stem as usize];
            known[at as usize] = (stem, (forms.len() as u32).min(FORMS - 1));
            forms.push(surface as u32);
            self.surfaces.push(Surface { word: words[at as usize].to_owned(), stem });
        }
        self.stems = numbers.into_iter().map(String::from).collect();

        self.ends = ends(&read, &known, self.stems.len());
        self.postings = vec![Posting::default(); self.ends.last().map_or(0, |last| *last as usize)];
        let mut next: Vec<u32> = std::iter::once(0).chain(self.ends.iter().copied()).collect();
        let mut keys = Vec::new();
        for (document, one) in (0..).zip(read) {
            self.add(document, &one.hits, &known, &mut next, &mut keys);
        }
        known
    }

    /// Adds a document's postings. `known` gives, by word, its stem and which of the stem's forms it is; `next`, by stem, the place of
    /// its next posting; `keys` is room to sort in.
    fn add(&mut self, document: u32, hits: &[Hit], known: &[(u32, u32)], next: &mut [u32], keys: &mut Vec<u64>) {
        keys.clear();
        // What is sorted by, from the top: stem, place, field, form.
        keys.extend(hits.iter().map(|hit| {
            let (stem, form) = known[hit.word as usize];
            u64::from(stem) << 32 | u64::from(hit.place) << 16 | (hit.field as u64) << 8 | u64::from(form)
        }));
        keys.sort_unstable();
        for same in keys.chunk_by(|a, b| a >> 32 == b >> 32) {
            let from = self.places.len();
            let mut posting = Posting { document, from: from as u32, ..Posting::default() };
            for key in same {
                posting.counts[(key >> 8 & 0xff) as usize] += 1;
                posting.forms |= 1 << (key & 0xff);
                self.places.extend(Some((key >> 16) as u16).filter(|&place| place != UNPLACED));
            }
            posting.n_places = (self.places.len() - from) as u16;
            let next = &mut next[(same[0] >> 32) as usize];
            self.postings[*next as usize] = posting;
            *next += 1;
        }
    }

    /// What the documents have of a stem, rising by document; empty for a stem that only synonyms have.
    pub fn postings(&self, stem: u32) -> &[Posting] {
        let Some(&end) = self.ends.get(stem as usize) else { return &[] };
        let start = stem.checked_sub(1).map_or(0, |before| self.ends[before as usize]);
        &self.postings[start as usize..end as usize]
    }

    /// Where a posting's stem stands in the document's beginning: summary, figures and text counted as one row of words without
    /// stop words, as a plan has none either, with one place left empty between pieces so that nothing is next to each other across
    /// them. Rising.
    pub fn places(&self, posting: &Posting) -> &[u16] {
        &self.places[posting.from as usize..][..usize::from(posting.n_places)]
    }

    /// The place of a folded word among [`Index::surfaces`].
    pub fn surface(&self, word: &str) -> Option<usize> {
        self.surfaces.binary_search_by(|surface| utf16_order(&surface.word, word)).ok()
    }

    /// The stem of a folded word that some document or synonym has.
    pub fn stem_of(&self, word: &str) -> Option<u32> {
        self.surface(word).map(|at| self.surfaces[at].stem)
    }

    /// How many documents have the stem in any field.
    pub fn frequency(&self, stem: u32) -> u32 {
        self.postings(stem).len() as u32
    }

    /// How many surface words the stem has.
    pub(super) fn form_count(&self, stem: u32) -> usize {
        self.forms.get(stem as usize).map_or(0, Vec::len)
    }

    /// Whether a document comes after others that fit as well.
    pub(super) fn is_background(&self, document: u32) -> bool {
        self.set_back[document as usize]
    }

    /// Whether a posting of a surface word's stem has this very word, or shares its bit.
    pub(super) fn has_form(&self, posting: &Posting, surface: usize) -> bool {
        let forms = &self.forms[self.surfaces[surface].stem as usize];
        let form = (forms.partition_point(|&other| (other as usize) < surface) as u32).min(FORMS - 1);
        posting.forms & 1 << form != 0
    }

    /// What a document has of a stem.
    pub(super) fn posting(&self, stem: u32, document: u32) -> Option<&Posting> {
        let list = self.postings(stem);
        list.binary_search_by_key(&document, |posting| posting.document).ok().map(|at| &list[at])
    }

    /// Starts of a word whose best documents cost too much to find while someone types.
    fn costly_starts(&self) -> BTreeSet<String> {
        let mut starts = BTreeSet::new();
        for surface in &self.surfaces {
            for length in 1..=SHORT_START {
                let end = surface.word.char_indices().nth(length).map_or(surface.word.len(), |(at, _)| at);
                if surface.word.is_char_boundary(end) && surface.word.is_ascii() {
                    starts.insert(&surface.word[..end]);
                }
            }
        }
        let costly = |start: &&str| super::plan::start_cost(self, start) > super::plan::START_COST;
        starts.into_iter().filter(costly).map(str::to_owned).collect()
    }
}

/// By stem, where the list of its postings ends if all lists lie in one row.
fn ends(read: &[Read], known: &[(u32, u32)], n_stems: usize) -> Vec<u32> {
    let mut ends = vec![0; n_stems];
    // By stem: the last document that has it, counted from 1.
    let mut last = vec![0; n_stems];
    for (document, one) in (1..).zip(read) {
        for hit in &one.hits {
            let stem = known[hit.word as usize].0 as usize;
            if last[stem] != document {
                last[stem] = document;
                ends[stem] += 1;
            }
        }
    }
    let mut sum = 0;
    ends.iter_mut().for_each(|end| {
        sum += *end;
        *end = sum;
    });
    ends
}

fn card(document: &Document) -> Card {
    let address = tidy(&document.address);
    let id = tidy(&document.id);
    let all = |texts: &mut dyn Iterator<Item = &str>| -> Vec<String> { texts.map(tidy).filter(|text| !text.is_empty()).collect() };
    Card {
        id: if id.is_empty() { id_of(&address).to_owned() } else { id },
        kind: tidy(&document.kind),
        title: tidy(&document.title),
        names: all(&mut document.also.iter().map(String::as_str)),
        address,
        summary: tidy(&document.summary),
        text: all(&mut document.figures.iter().map(String::as_str).chain(document.text.split('\n'))),
    }
}

/// The id that an address says: its last part, without `.html`.
pub(super) fn id_of(address: &str) -> &str {
    let last = address.rsplit('/').next().unwrap_or(address);
    last.strip_suffix(".html").unwrap_or(last)
}

fn tidy(text: &str) -> String {
    let gap = |two: &[u8]| two == b"  ";
    let plain = text.bytes().all(|byte| (b' '..0x7f).contains(&byte)) && !text.as_bytes().windows(2).any(gap);
    if plain {
        return text.trim_matches(' ').to_owned();
    }
    text.split(|c: char| c.is_whitespace() || c.is_control()).filter(|piece| !piece.is_empty()).collect::<Vec<_>>().join(" ")
}

/// The order by UTF-16 code units, in which JavaScript compares strings: that of the bytes, but characters beyond the basic plane
/// (surrogates in UTF-16, first byte F0 and up in UTF-8) come before U+E000 to U+FFFF (first bytes EE and EF).
pub(super) fn utf16_order(a: &str, b: &str) -> Ordering {
    let rank = |byte: u8| match byte {
        0xee | 0xef => (2, byte),
        0xf0.. => (1, byte),
        _ => (0, byte),
    };
    let differing = a.bytes().zip(b.bytes()).find(|(x, y)| x != y);
    differing.map_or_else(|| a.len().cmp(&b.len()), |(x, y)| rank(x).cmp(&rank(y)))
}

/// The English stem of a folded word.
fn stem(word: &str) -> String {
    use tantivy::tokenizer::{Language, RawTokenizer, Stemmer, TextAnalyzer, TokenStream};
    thread_local! {
        static STEMMER: std::cell::RefCell<TextAnalyzer> =
            std::cell::RefCell::new(TextAnalyzer::builder(RawTokenizer::default()).filter(Stemmer::new(Language::English)).build());
    }
    STEMMER.with(|stemmer| {
        let mut stemmer = stemmer.borrow_mut();
        let mut stream = stemmer.token_stream(word);
        if stream.advance() { stream.token().text.clone() } else { word.to_owned() }
    })
}

/// Tantivy's one-byte code of a field length: exact to 40, then the largest codable length that is not longer.
pub(super) fn length_code(length: u32) -> u8 {
    (0..=u8::MAX).rev().find(|&code| super::field_length(code) <= length).unwrap_or(0)
}
