//! Counting: documents to words, stems and postings.

use std::collections::BTreeSet;

use rayon::prelude::*;

use super::Document;
use super::count::{Share, WordCount, count};
use super::words::split;

/// How many fields a document has for ranking.
pub const FIELDS: usize = 3;

/// Where a word stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Field {
    Title,
    /// Other names, the kind word, and those words of the id that title and other names lack.
    Also,
    /// Summary, figures and text.
    Body,
}

/// How often one stem stands in one document, by field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Posting {
    pub document: u32,
    pub counts: [u32; FIELDS],
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
    pub address: String,
    pub summary: String,
}

/// The counted documents. Documents are numbered in the order given.
#[derive(Debug, Clone, Default)]
pub struct Index {
    pub cards: Vec<Card>,
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
}

impl Index {
    /// Counts the documents. `synonyms` are groups of names for one thing, such as a glossary term's title and other names.
    pub fn build(documents: &[Document], synonyms: &[Vec<String>]) -> Index {
        // Counted by surface first: each distinct word is then stemmed once.
        let (shares, mut words) = count(documents);
        let mut index = Index { cards: documents.par_iter().map(card).collect(), ..Index::default() };
        for (_, lengths) in shares.iter().flat_map(|share| &share.documents) {
            index.totals.iter_mut().zip(lengths).for_each(|(total, length)| *total += u64::from(*length));
            index.lengths.push(lengths.map(length_code));
        }
        let mut known: BTreeSet<Vec<Vec<String>>> = BTreeSet::new();
        for group in synonyms {
            let mut names: Vec<Vec<String>> = Vec::new();
            for name in group {
                let name: Vec<String> = split(name).into_iter().map(|token| token.word).collect();
                if !name.is_empty() && !names.contains(&name) {
                    name.iter().for_each(|word| {
                        words.number(word);
                    });
                    names.push(name);
                }
            }
            if names.len() > 1 && known.insert(names.clone()) {
                index.groups.push(names);
            }
        }

        let words = words.list;
        let stems_of: Vec<String> = words.par_iter().map(|word| stem(word)).collect();
        index.stems = stems_of.iter().collect::<BTreeSet<_>>().into_iter().cloned().collect();
        let numbers: Vec<u32> = stems_of.iter().map(|stem| index.stems.partition_point(|other| other < stem) as u32).collect();

        index.postings = vec![Vec::new(); index.stems.len()];
        for (document, counts) in shares.iter().flat_map(Share::iter).enumerate() {
            for WordCount { word, counts } in counts {
                let list = &mut index.postings[numbers[*word as usize] as usize];
                match list.last_mut() {
                    Some(last) if last.document == document as u32 => {
                        last.counts.iter_mut().zip(counts).for_each(|(sum, count)| *sum += count);
                    }
                    _ => list.push(Posting { document: document as u32, counts: *counts }),
                }
            }
        }
        index.surfaces = words.into_iter().zip(numbers).map(|(word, stem)| Surface { word, stem }).collect();
        index.surfaces.sort_by(|a, b| a.word.encode_utf16().cmp(b.word.encode_utf16()));
        index
    }

    /// The place of a folded word among [`Index::surfaces`].
    pub fn surface(&self, word: &str) -> Option<usize> {
        self.surfaces.binary_search_by(|surface| surface.word.encode_utf16().cmp(word.encode_utf16())).ok()
    }

    /// How many documents have the stem in any field.
    pub fn frequency(&self, stem: u32) -> u32 {
        self.postings.get(stem as usize).map_or(0, |list| list.len() as u32)
    }
}

/// The searchable text of each field, also what the terminal's tantivy index is given.
pub(super) fn field_texts(document: &Document) -> [String; FIELDS] {
    let mut also = document.also.join("\n");
    let named: BTreeSet<String> = split(&document.title).into_iter().chain(split(&also)).map(|token| token.word).collect();
    also.push('\n');
    also.push_str(&document.kind);
    for token in split(&document.id) {
        if !named.contains(&token.word) {
            also.push('\n');
            also.push_str(&token.word);
        }
    }
    let mut body = document.summary.clone();
    for piece in document.figures.iter().chain([&document.text]) {
        body.push('\n');
        body.push_str(piece);
    }
    [document.title.clone(), also, body]
}

fn card(document: &Document) -> Card {
    let address = tidy(&document.address);
    let id = tidy(&document.id);
    Card {
        id: if id.is_empty() { id_of(&address).to_owned() } else { id },
        kind: tidy(&document.kind),
        title: tidy(&document.title),
        address,
        summary: tidy(&document.summary),
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
    use tantivy::tokenizer::{Language, RawTokenizer, Stemmer, TextAnalyzer};
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
    // Lengths rise with the code.
    let (mut code, mut step) = (0_u8, 128_u8);
    while step > 0 {
        if super::field_length(code + step) <= length {
            code += step;
        }
        step /= 2;
    }
    code
}
