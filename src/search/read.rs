//! Reading: documents to numbered words.

use std::borrow::Cow;
use std::collections::BTreeSet;

use indexmap::IndexSet;
use rayon::prelude::*;
use rustc_hash::{FxBuildHasher, FxHashSet};

use super::Document;
use super::index::{Compound, FIELDS, Field};
use super::plan::is_stop_word;
use super::words::{Splitter, split};

/// One word of a document, by number.
#[derive(Clone, Copy)]
pub(super) struct Hit {
    pub word: u32,
    pub field: Field,
    /// As in [`Index::places`](super::Index::places); [`UNPLACED`] for titles, names and what is beyond the beginning.
    pub place: u16,
}

/// The place of a word whose place is not kept.
pub(super) const UNPLACED: u16 = u16::MAX;

/// One document's words.
pub(super) struct Read {
    pub lengths: [usize; FIELDS],
    pub hits: Box<[Hit]>,
}

/// Words next to each other, by number.
pub(super) type Pairs = FxHashSet<(u32, u32)>;

/// Numbers for words, in the order in which they come.
pub(super) type Interner = IndexSet<Box<str>, FxBuildHasher>;

pub(super) fn number(interner: &mut Interner, word: &str) -> u32 {
    let known = interner.get_index_of(word);
    known.unwrap_or_else(|| interner.insert_full(word.into()).0) as u32
}

/// Reads documents one after another; words are numbered as they come.
#[derive(Default)]
struct Reader {
    splitter: Splitter,
    words: Interner,
    /// By word: whether a plan leaves it out, and whether it may be half of a compound.
    about: Vec<(bool, bool)>,
    pairs: Pairs,
    /// Those of the document being read.
    hits: Vec<Hit>,
}

impl Reader {
    fn read(&mut self, document: &Document, lead: usize) -> Read {
        let Self { splitter, words, about, pairs, hits } = self;
        hits.clear();
        let mut lengths = [0; FIELDS];
        let mut place = 0;
        for (field, piece) in pieces(document) {
            // The word before, if a compound may begin with it.
            let mut before: Option<u32> = None;
            let placed = matches!(field, Field::Figures | Field::Body);
            splitter.each(&piece, |written, _, _| {
                let word = number(words, written);
                if word as usize == about.len() {
                    let stop = is_stop_word(written);
                    about.push((stop, !stop && written.len() > 1 && !written.bytes().any(|byte| byte.is_ascii_digit())));
                }
                let (stop, half) = about[word as usize];
                lengths[field as usize] += 1;
                let counts = placed && !stop;
                let kept = counts && place < lead;
                hits.push(Hit { word, field, place: if kept { place as u16 } else { UNPLACED } });
                place += usize::from(counts);
                if half && let Some(before) = before {
                    pairs.insert((before, word));
                }
                before = half.then_some(word);
            });
            place += usize::from(placed);
        }
        Read { lengths, hits: hits.as_slice().into() }
    }
}

/// Splits every document, on all cores; the numbers of words do not depend on how many there are.
pub(super) fn read(documents: &[Document], lead: usize) -> (Vec<Read>, Pairs, Interner) {
    const CHUNK: usize = 512;
    let at_own_reader = |chunk: &[Document]| {
        let mut reader = Reader::default();
        let read: Vec<Read> = chunk.iter().map(|document| reader.read(document, lead)).collect();
        (read, reader.pairs, reader.words)
    };
    let chunks: Vec<(Vec<Read>, Pairs, Interner)> = documents.par_chunks(CHUNK).map(at_own_reader).collect();
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

/// The groups of names for one thing, each name as its words; words that no document has get numbers, too.
pub(super) fn groups(synonyms: &[Vec<String>], interner: &mut Interner) -> Vec<Vec<Vec<String>>> {
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
pub(super) fn compounds(pairs: &Pairs, words: &Interner) -> Vec<Compound> {
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
