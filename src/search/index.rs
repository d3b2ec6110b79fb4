//! Counting: documents to words, stems and postings.

use std::collections::{BTreeMap, BTreeSet};

use rayon::prelude::*;
use rustc_hash::FxHashMap;

use super::Document;
use super::plan::is_stop_word;
use super::words::{Splitter, split};

/// How many fields a document has for ranking.
pub const FIELDS: usize = 4;
/// At most this many forms of a stem are told apart in a posting; the others share the last.
pub const FORMS: u32 = 6;
/// How many places all documents together may keep. A handbook's every word stays below it; of a large collection only the
/// beginnings are kept, since places take more room than all else.
const PLACES: usize = 1_000_000;
/// The least and the most places that one document keeps.
const LEAST_LEAD: usize = 64;
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
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Posting {
    pub document: u32,
    pub counts: [u32; FIELDS],
    /// Which of the stem's surface words stand there, as bits in the order of [`Index::surfaces`]; the sixth and later share a bit.
    pub forms: u32,
    /// Places in the document's beginning: summary, figures and text counted as one row of words, with one place left empty
    /// between pieces so that nothing is next to each other across them. Rising.
    pub places: Box<[u16]>,
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
    /// Rising.
    pub stems: Vec<String>,
    /// By stem; each rising by document. Empty for a stem that only synonyms have.
    pub postings: Vec<Vec<Posting>>,
    /// Field lengths in words, as tantivy's one-byte code.
    pub lengths: Vec<[u8; FIELDS]>,
    /// The exact sums of the field lengths.
    pub totals: [u64; FIELDS],
    /// Groups of names for one thing; each name as its surface words.
    pub groups: Vec<Vec<Vec<String>>>,
    /// Rising.
    pub compounds: Vec<Compound>,
    /// By stem: its surfaces' places in [`Index::surfaces`], rising.
    forms: Vec<Vec<u32>>,
    /// Starts of up to three letters whose best documents are kept ready.
    pub(super) starts: BTreeSet<String>,
}

/// One document's words by number.
struct Read {
    lengths: [usize; FIELDS],
    /// By word: counts and places.
    words: BTreeMap<u32, ([u32; FIELDS], Vec<u16>)>,
    /// Words next to each other, as numbers.
    pairs: BTreeSet<(u32, u32)>,
}

/// Numbers for words, in the order in which they come.
#[derive(Default)]
struct Interner {
    numbers: FxHashMap<String, u32>,
    words: Vec<String>,
}

impl Interner {
    fn number(&mut self, word: &str) -> u32 {
        if let Some(&number) = self.numbers.get(word) {
            return number;
        }
        let number = self.words.len() as u32;
        self.numbers.insert(word.to_owned(), number);
        self.words.push(word.to_owned());
        number
    }
}

impl Index {
    /// Counts the documents. `synonyms` are groups of names for one thing, such as a glossary term's title and other names.
    pub fn build(documents: &[Document], synonyms: &[Vec<String>]) -> Index {
        let lead = (PLACES / documents.len().max(1)).clamp(LEAST_LEAD, MOST_LEAD);
        let mut index = Index { cards: documents.par_iter().map(card).collect(), ..Index::default() };
        index.kinds = index.cards.iter().map(|card| card.kind.as_str()).collect::<BTreeSet<_>>().into_iter().map(str::to_owned).collect();
        let background = |kind: &&String| documents.iter().any(|document| document.background && tidy(&document.kind) == **kind);
        index.background = index.kinds.iter().filter(background).cloned().collect();
        let (mut read, mut interner) = read(documents, lead);
        for document in &read {
            index.totals.iter_mut().zip(document.lengths).for_each(|(sum, length)| *sum += length as u64);
            index.lengths.push(document.lengths.map(|length| length_code(length as u32)));
        }
        index.groups = groups(synonyms, &mut interner);
        index.compounds = compounds(&read, &interner);
        index.sort_words(interner, &mut read);
        index.starts = index.costly_starts();
        index
    }

    /// Stems, surfaces in order, and the postings by stem.
    fn sort_words(&mut self, interner: Interner, read: &mut [Read]) {
        let words = interner.words;
        let stems_of: Vec<String> = words.par_iter().map(|word| stem(word)).collect();
        self.stems = stems_of.iter().collect::<BTreeSet<_>>().into_iter().cloned().collect();
        let mut order: Vec<u32> = (0..words.len() as u32).collect();
        order.sort_by(|&a, &b| words[a as usize].encode_utf16().cmp(words[b as usize].encode_utf16()));
        self.forms = vec![Vec::new(); self.stems.len()];
        // By word: its stem and which of the stem's forms it is.
        let mut known = vec![(0, 0); words.len()];
        for number in order {
            let stem = self.stems.partition_point(|other| *other < stems_of[number as usize]) as u32;
            let forms = &mut self.forms[stem as usize];
            known[number as usize] = (stem, forms.len() as u32);
            forms.push(self.surfaces.len() as u32);
            self.surfaces.push(Surface { word: words[number as usize].clone(), stem });
        }
        self.postings = vec![Vec::new(); self.stems.len()];
        for (document, read) in read.iter_mut().enumerate() {
            for (number, (counts, mut places)) in std::mem::take(&mut read.words) {
                let (stem, form) = known[number as usize];
                let list = &mut self.postings[stem as usize];
                let bit = 1 << form.min(FORMS - 1);
                match list.last_mut() {
                    Some(last) if last.document == document as u32 => {
                        last.counts.iter_mut().zip(counts).for_each(|(sum, count)| *sum += count);
                        last.forms |= bit;
                        places.extend_from_slice(&last.places);
                        places.sort_unstable();
                        last.places = places.into();
                    }
                    _ => list.push(Posting { document: document as u32, counts, forms: bit, places: places.into() }),
                }
            }
        }
    }

    /// The place of a folded word among [`Index::surfaces`].
    pub fn surface(&self, word: &str) -> Option<usize> {
        self.surfaces.binary_search_by(|surface| surface.word.encode_utf16().cmp(word.encode_utf16())).ok()
    }

    /// The stem of a folded word that some document or synonym has.
    pub fn stem_of(&self, word: &str) -> Option<u32> {
        self.surface(word).map(|at| self.surfaces[at].stem)
    }

    /// How many documents have the stem in any field.
    pub fn frequency(&self, stem: u32) -> u32 {
        self.postings.get(stem as usize).map_or(0, |list| list.len() as u32)
    }

    /// How many surface words the stem has.
    pub(super) fn form_count(&self, stem: u32) -> usize {
        self.forms.get(stem as usize).map_or(0, Vec::len)
    }

    /// The bit in [`Posting::forms`] of a surface word.
    pub(super) fn form_bit(&self, surface: usize) -> u32 {
        let forms = &self.forms[self.surfaces[surface].stem as usize];
        1 << (forms.partition_point(|&other| (other as usize) < surface) as u32).min(FORMS - 1)
    }

    /// What a document has of a stem.
    pub(super) fn posting(&self, stem: u32, document: u32) -> Option<&Posting> {
        let list = self.postings.get(stem as usize)?;
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

/// Splits and counts every document, on all cores; the numbers of words do not depend on how many there are.
fn read(documents: &[Document], lead: usize) -> (Vec<Read>, Interner) {
    const CHUNK: usize = 64;
    let chunks: Vec<(Vec<Read>, Interner)> = documents
        .par_chunks(CHUNK)
        .map(|chunk| {
            let mut interner = Interner::default();
            let mut splitter = Splitter::default();
            let read = chunk.iter().map(|document| read_one(document, lead, &mut splitter, &mut interner)).collect();
            (read, interner)
        })
        .collect();
    let mut interner = Interner::default();
    let mut all = Vec::with_capacity(documents.len());
    for (read, local) in chunks {
        let numbers: Vec<u32> = local.words.iter().map(|word| interner.number(word)).collect();
        all.extend(read.into_iter().map(|one| Read {
            lengths: one.lengths,
            words: one.words.into_iter().map(|(word, counted)| (numbers[word as usize], counted)).collect(),
            pairs: one.pairs.into_iter().map(|(a, b)| (numbers[a as usize], numbers[b as usize])).collect(),
        }));
    }
    (all, interner)
}

fn read_one(document: &Document, lead: usize, splitter: &mut Splitter, interner: &mut Interner) -> Read {
    let mut read = Read { lengths: [0; FIELDS], words: BTreeMap::new(), pairs: BTreeSet::new() };
    let mut place = 0;
    for (field, piece) in pieces(document) {
        let mut before = None;
        let placed = matches!(field, Field::Figures | Field::Body);
        splitter.each(&piece, |word, _, _| {
            let number = interner.number(word);
            let (counts, places) = read.words.entry(number).or_default();
            counts[field as usize] += 1;
            read.lengths[field as usize] += 1;
            if placed && place < lead {
                places.push(place as u16);
            }
            place += usize::from(placed);
            if let Some(before) = before.replace(number) {
                read.pairs.insert((before, number));
            }
        });
        place += usize::from(placed);
    }
    read
}

fn groups(synonyms: &[Vec<String>], interner: &mut Interner) -> Vec<Vec<Vec<String>>> {
    let mut groups = Vec::new();
    let mut known = BTreeSet::new();
    for group in synonyms {
        let mut names: Vec<Vec<String>> = Vec::new();
        for name in group {
            let name: Vec<String> = split(name).into_iter().map(|token| token.word).collect();
            if !name.is_empty() && !names.contains(&name) {
                name.iter().for_each(|word| {
                    interner.number(word);
                });
                names.push(name);
            }
        }
        if names.len() > 1 && known.insert(names.clone()) {
            groups.push(names);
        }
    }
    groups
}

/// Words next to each other that stand somewhere else as one.
fn compounds(read: &[Read], interner: &Interner) -> Vec<Compound> {
    let pairs: BTreeSet<(u32, u32)> = read.par_iter().flat_map_iter(|read| read.pairs.iter().copied()).collect();
    let part = |word: &String| word.len() > 1 && !is_stop_word(word) && !word.bytes().any(|byte| byte.is_ascii_digit());
    let mut compounds: Vec<Compound> = pairs
        .into_iter()
        .filter_map(|(first, second)| {
            let (first, second) = (&interner.words[first as usize], &interner.words[second as usize]);
            let whole = format!("{first}{second}");
            (part(first) && part(second) && interner.numbers.contains_key(&whole)).then(|| Compound {
                whole,
                first: first.clone(),
                second: second.clone(),
            })
        })
        .collect();
    compounds.sort();
    compounds
}

/// What is searched of a document, field by field, in the order in which the body's places are counted.
fn pieces(document: &Document) -> Vec<(Field, String)> {
    let mut pieces = vec![(Field::Title, document.title.clone())];
    pieces.extend(document.also.iter().map(|name| (Field::Names, name.clone())));
    let named: BTreeSet<String> = pieces.iter().flat_map(|(_, text)| split(text)).map(|token| token.word).collect();
    pieces.push((Field::Names, document.kind.clone()));
    let unnamed = split(&document.id).into_iter().filter(|token| !named.contains(&token.word));
    pieces.extend(unnamed.map(|token| (Field::Names, token.word)));
    pieces.push((Field::Body, document.summary.clone()));
    pieces.extend(document.figures.iter().map(|figure| (Field::Figures, figure.clone())));
    pieces.extend(document.text.split('\n').map(|piece| (Field::Body, piece.to_owned())));
    pieces
}

/// The searchable text of each field, as the terminal's tantivy index is given it.
pub(super) fn field_texts(document: &Document) -> [String; FIELDS] {
    let mut texts = [const { String::new() }; FIELDS];
    for (field, piece) in pieces(document) {
        let text = &mut texts[field as usize];
        text.push_str(&piece);
        text.push('\n');
    }
    texts
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
    text.split(|c: char| c.is_whitespace() || c.is_control()).filter(|piece| !piece.is_empty()).collect::<Vec<_>>().join(" ")
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
