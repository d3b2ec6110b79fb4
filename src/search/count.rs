//! Documents to counted words, on all cores.

use rayon::prelude::*;
use rustc_hash::FxHashMap;

use super::Document;
use super::index::{FIELDS, field_texts};
use super::words::Splitter;

/// How many documents one core counts before it takes the next: enough that most of their words are shared.
const SHARE: usize = 128;

/// How often one word stands in one document, by field.
#[derive(Clone, Copy)]
pub struct WordCount {
    /// The word's number in [`Words`].
    pub word: u32,
    pub counts: [u32; FIELDS],
}

/// The counted words of some documents that follow one another.
#[derive(Default)]
pub struct Share {
    /// Document after document; within one in no order.
    pub counts: Vec<WordCount>,
    /// By document: where its counts end, and its field lengths in words.
    pub documents: Vec<(usize, [u32; FIELDS])>,
}

impl Share {
    /// The counts of each document.
    pub fn iter(&self) -> impl Iterator<Item = &[WordCount]> {
        let starts = std::iter::once(0).chain(self.documents.iter().map(|(end, _)| *end));
        starts.zip(&self.documents).map(|(start, (end, _))| &self.counts[start..*end])
    }
}

/// Distinct folded words, numbered in the order in which they were first seen.
#[derive(Default)]
pub struct Words {
    numbers: FxHashMap<String, u32>,
    pub list: Vec<String>,
}

impl Words {
    /// The word's number; a word not seen before is given the next.
    pub fn number(&mut self, word: &str) -> u32 {
        if let Some(&number) = self.numbers.get(word) {
            return number;
        }
        let number = self.list.len() as u32;
        self.numbers.insert(word.to_owned(), number);
        self.list.push(word.to_owned());
        number
    }
}

/// Counts the words of documents, which stay in the order given.
pub fn count(documents: &[Document]) -> (Vec<Share>, Words) {
    let (mut shares, owns): (Vec<Share>, Vec<Words>) = documents.par_chunks(SHARE).map(count_share).unzip();
    let mut words = Words::default();
    let numbers: Vec<Vec<u32>> = owns.into_iter().map(|own| own.list.iter().map(|word| words.number(word)).collect()).collect();
    shares.par_iter_mut().zip(numbers).for_each(|(share, numbers)| {
        share.counts.iter_mut().for_each(|count| count.word = numbers[count.word as usize]);
    });
    (shares, words)
}

fn count_share(documents: &[Document]) -> (Share, Words) {
    let mut splitter = Splitter::default();
    let mut words = Words::default();
    let mut share = Share::default();
    // By the word's number: its place among the share's counts, one past it, if that is of the document at hand.
    let mut places: Vec<usize> = Vec::new();
    for document in documents {
        let mut lengths = [0; FIELDS];
        let start = share.counts.len();
        for (field, text) in field_texts(document).iter().enumerate() {
            splitter.each(text, |word, _, _| {
                lengths[field] += 1;
                let word = words.number(word);
                if word as usize == places.len() {
                    places.push(0);
                }
                let place = &mut places[word as usize];
                if *place <= start {
                    share.counts.push(WordCount { word, counts: [0; FIELDS] });
                    *place = share.counts.len();
                }
                share.counts[*place - 1].counts[field] += 1;
            });
        }
        share.documents.push((share.counts.len(), lengths));
    }
    (share, words)
}
