//! Counting: documents to words, stems and postings.

use std::borrow::Cow;
use std::cmp::Ordering;
use std::collections::BTreeSet;

use indexmap::IndexSet;
use rayon::prelude::*;
use rustc_hash::{FxBuildHasher, FxHashSet};

use super::Document;
use super::closeness::Names;
use super::plan::{is_stop_word, significant};
use super::words::{Splitter, split};

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
#[derive(Debug, Clone, PartialEq, Eq)]
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
    /// By stem; each rising by document. Empty for a stem that only synonyms have.
    pub postings: Vec<Vec<Posting>>,
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

/// One word of a document, by number.
struct Hit {
    word: u32,
    field: Field,
    /// As in [`Index::places`]; [`UNPLACED`] for titles, names and what is beyond the beginning.
    place: u16,
}

/// The place of a word whose place is not kept.
const UNPLACED: u16 = u16::MAX;

/// One document's words.
struct Read {
    lengths: [usize; FIELDS],
    hits: Vec<Hit>,
}

/// What several documents have of each stem, by document and stem; places count from the first of these documents on.
struct Counted {
    stems: Vec<u32>,
    postings: Vec<Posting>,
    places: Vec<u16>,
}

/// Words next to each other, by number.
type Pairs = FxHashSet<(u32, u32)>;

/// Numbers for words, in the order in which they come.
type Interner = IndexSet<Box<str>, FxBuildHasher>;

fn number(interner: &mut Interner, word: &str) -> u32 {
    let known = interner.get_index_of(word);
    known.unwrap_or_else(|| interner.insert_full(word.into()).0) as u32
}

impl Index {
    /// Counts the documents. `synonyms` are groups of names for one thing, such as a glossary term's title and other names.
    pub fn build(documents: &[Document], synonyms: &[Vec<String>]) -> Index {
        let lead = (PLACES / documents.len().max(1)).clamp(LEAST_LEAD, MOST_LEAD);
        let mut index = Index { cards: documents.par_iter().map(card).collect(), lead, ..Index::default() };
        index.kinds = index.cards.iter().map(|card| card.kind.as_str()).collect::<BTreeSet<_>>().into_iter().map(str::to_owned).collect();
        let background = |kind: &&String| documents.iter().any(|document| document.background && tidy(&document.kind) == **kind);
        index.background = index.kinds.iter().filter(background).cloned().collect();
        index.set_back = index.cards.iter().map(|card| index.background.contains(&card.kind)).collect();
        let (read, pairs, mut interner) = read(documents, lead);
        for document in &read {
            index.totals.iter_mut().zip(document.lengths).for_each(|(sum, length)| *sum += length as u64);
            index.lengths.push(document.lengths.map(|length| length_code(length as u32)));
        }
        index.groups = groups(synonyms, &mut interner);
        index.compounds = compounds(&pairs, &interner);
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
            let stem = number(&mut numbers, &stems_of[at as usize]);
            if stem as usize == self.forms.len() {
                self.forms.push(Vec::new());
            }
            let forms = &mut self.forms[stem as usize];
            known[at as usize] = (stem, (forms.len() as u32).min(FORMS - 1));
            forms.push(surface as u32);
            self.surfaces.push(Surface { word: words[at as usize].to_owned(), stem });
        }
        self.stems = numbers.into_iter().map(String::from).collect();

        const CHUNK: usize = 256;
        let counted = |(at, chunk): (usize, &[Read])| {
            // Room for every word; what is not used is never touched.
            let room = chunk.iter().map(|one| one.hits.len()).sum();
            let (stems, postings, places) = (Vec::with_capacity(room), Vec::with_capacity(room), Vec::with_capacity(room));
            let mut counted = Counted { stems, postings, places };
            let mut keys = Vec::new();
            chunk.iter().zip(at * CHUNK..).for_each(|(one, document)| counted.add(document as u32, &one.hits, &known, &mut keys));
            counted
        };
        let chunks: Vec<Counted> = read.par_chunks(CHUNK).enumerate().map(counted).collect();
        drop(read);
        let mut lengths = vec![0; self.stems.len()];
        chunks.iter().flat_map(|chunk| &chunk.stems).for_each(|&stem| lengths[stem as usize] += 1);
        self.postings = lengths.into_iter().map(Vec::with_capacity).collect();
        self.places.reserve_exact(chunks.iter().map(|chunk| chunk.places.len()).sum());
        for Counted { stems, postings, places } in chunks {
            let base = self.places.len() as u32;
            for (stem, posting) in stems.into_iter().zip(postings) {
                self.postings[stem as usize].push(Posting { from: base + posting.from, ..posting });
            }
            self.places.extend(places);
        }
        known
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
        self.postings.get(stem as usize).map_or(0, |list| list.len() as u32)
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

/// The words met while reading, and what a reader needs to know about each.
#[derive(Default)]
struct Vocabulary {
    words: Interner,
    /// By word: whether a plan leaves it out, and whether it may be half of a compound.
    about: Vec<(bool, bool)>,
}

impl Vocabulary {
    fn number(&mut self, word: &str) -> u32 {
        let number = number(&mut self.words, word);
        if number as usize == self.about.len() {
            let stop = is_stop_word(word);
            self.about.push((stop, !stop && word.len() > 1 && !word.bytes().any(|byte| byte.is_ascii_digit())));
        }
        number
    }
}

/// Splits every document, on all cores; the numbers of words do not depend on how many there are.
fn read(documents: &[Document], lead: usize) -> (Vec<Read>, Pairs, Interner) {
    const CHUNK: usize = 512;
    let chunks: Vec<(Vec<Read>, Pairs, Interner)> = documents
        .par_chunks(CHUNK)
        .map(|chunk| {
            let mut vocabulary = Vocabulary::default();
            let mut splitter = Splitter::default();
            let mut pairs = Pairs::default();
            let read = chunk.iter().map(|document| read_one(document, lead, &mut splitter, &mut vocabulary, &mut pairs)).collect();
            (read, pairs, vocabulary.words)
        })
        .collect();
    let mut interner = Interner::default();
    let mut all = Vec::with_capacity(documents.len());
    let mut all_pairs = Pairs::default();
    for (mut read, pairs, local) in chunks {
        let numbers: Vec<u32> = local.iter().map(|word| number(&mut interner, word)).collect();
        read.iter_mut().flat_map(|one| &mut one.hits).for_each(|hit| hit.word = numbers[hit.word as usize]);
        all.extend(read);
        all_pairs.extend(pairs.into_iter().map(|(a, b)| (numbers[a as usize], numbers[b as usize])));
    }
    (all, all_pairs, interner)
}

fn read_one(document: &Document, lead: usize, splitter: &mut Splitter, vocabulary: &mut Vocabulary, pairs: &mut Pairs) -> Read {
    let mut read = Read { lengths: [0; FIELDS], hits: Vec::with_capacity(document.text.len() / 6) };
    let mut place = 0;
    for (field, piece) in pieces(document) {
        // The word before, if a compound may begin with it.
        let mut before: Option<u32> = None;
        let placed = matches!(field, Field::Figures | Field::Body);
        splitter.each(&piece, |word, _, _| {
            let word = vocabulary.number(word);
            let (stop, half) = vocabulary.about[word as usize];
            let counts = placed && !stop;
            read.lengths[field as usize] += 1;
            let kept = counts && place < lead;
            read.hits.push(Hit { word, field, place: if kept { place as u16 } else { UNPLACED } });
            place += usize::from(counts);
            if half && let Some(before) = before {
                pairs.insert((before, word));
            }
            before = half.then_some(word);
        });
        place += usize::from(placed);
    }
    read
}

impl Counted {
    /// Adds a document. `known` gives, by word, its stem and which of the stem's forms it is; `keys` is room to sort in.
    fn add(&mut self, document: u32, hits: &[Hit], known: &[(u32, u32)], keys: &mut Vec<u64>) {
        keys.clear();
        // What is sorted by, from the top: stem, place, field, form.
        keys.extend(hits.iter().map(|hit| {
            let (stem, form) = known[hit.word as usize];
            u64::from(stem) << 32 | u64::from(hit.place) << 16 | (hit.field as u64) << 8 | u64::from(form)
        }));
        keys.sort_unstable();
        for same in keys.chunk_by(|a, b| a >> 32 == b >> 32) {
            let from = self.places.len();
            let mut posting = Posting { document, counts: [0; FIELDS], forms: 0, from: from as u32, n_places: 0 };
            for key in same {
                posting.counts[(key >> 8 & 0xff) as usize] += 1;
                posting.forms |= 1 << (key & 0xff);
                self.places.extend(Some((key >> 16) as u16).filter(|&place| place != UNPLACED));
            }
            posting.n_places = (self.places.len() - from) as u16;
            self.stems.push((same[0] >> 32) as u32);
            self.postings.push(posting);
        }
    }
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
                    number(interner, word);
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

/// Words next to each other that stand somewhere else as one, rising.
fn compounds(pairs: &Pairs, words: &Interner) -> Vec<Compound> {
    let mut whole = String::new();
    let mut compounds = Vec::new();
    for &(first, second) in pairs {
        let (first, second) = (&words[first as usize], &words[second as usize]);
        whole.clear();
        whole.extend([&**first, &**second]);
        if words.contains(whole.as_str()) {
            compounds.push(Compound { whole: whole.clone(), first: first.to_string(), second: second.to_string() });
        }
    }
    compounds.sort();
    compounds
}

/// What is searched of a document, field by field, in the order in which the body's places are counted.
fn pieces(document: &Document) -> Vec<(Field, Cow<'_, str>)> {
    let mut pieces = vec![(Field::Title, Cow::from(&document.title))];
    pieces.extend(document.also.iter().map(|name| (Field::Names, name.into())));
    let named: BTreeSet<String> = pieces.iter().flat_map(|(_, text)| split(text)).map(|token| token.word).collect();
    pieces.push((Field::Names, (&document.kind).into()));
    let unnamed = split(&document.id).into_iter().filter(|token| !named.contains(&token.word));
    pieces.extend(unnamed.map(|token| (Field::Names, token.word.into())));
    pieces.push((Field::Body, (&document.summary).into()));
    pieces.extend(document.figures.iter().map(|figure| (Field::Figures, figure.into())));
    pieces.extend(document.text.split('\n').map(|piece| (Field::Body, piece.into())));
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
