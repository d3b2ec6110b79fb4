//! The index as classic scripts, small enough for a phone to read from a folder.
//!
//! Every file is one call, `blueconeSearch.take(name, sum, numbers, text)`: `sum` is the 32-bit FNV-1a hash of the two strings that
//! follow, by UTF-16 code unit, so that a damaged file is noticed; `text` holds strings, `numbers` integers.
//! In `text`, sections end with a form feed, lines with a tab and parts of a line are divided by a vertical tab, none of which
//! JavaScript needs to have escaped. *Front-coded*: a capital letter says how many code units are the same as in the line before
//! (A none, B one … Z 25).
//! In `numbers`, an integer is written in printable characters, so that a compressor sees where each begins: digit d is the d-th
//! character from the space to `~` without `"` and `\`. Digits below 62 end a number and add their value; digit 62 + c goes before,
//! and stands for 62 + c + 31 × (the number that the rest says).
//!
//! `search/words.js` (name `words`), loaded at first use.
//! - Numbers: version 3; documents N; the four field length sums; then counts of postings, text and start files, of surface words W
//!   and of stems T; N kind numbers; 4 N field length codes; W differences between a surface's stem and the one before, zigzag;
//!   T document frequencies; the number of stems in each postings file, of documents in each text file, of starts in each start file.
//! - Text: kinds; those whose documents come after others; titles; other names (parts); addresses (front-coded); ids (an empty line where the address says it); surface words
//!   (front-coded, the capital being the only divider); synonym groups (a line each, names as parts, their words divided by a
//!   space); compounds (the two words divided by a space); starts (front-coded); names of the postings, text and start files.
//!
//! `search/<name>.js`, the name being what the file holds and the first 16 hexadecimal digits of the SHA-256 of `numbers`, a form
//! feed and `text`. What is cut where depends only on the words near the cut, so that a change moves few files.
//! - `postings-…`, a range of stems: the length in characters of each stem's list, then the lists. A list is four columns: for each
//!   document the difference to the one before, less one; its counts, which are 2 × (body count − 1) if it is in the body alone, else
//!   1 + 2 × (flags + 16 × body count) with flags 1 title, 2 names, 4 figures, 8 one of these more than once, and then their counts
//!   follow; its forms, less one, if the stem has several; its places, as the first plus one and the steps to the next, ended by
//!   a zero if there are fewer than body and figures have.
//! - `texts-…`, a range of documents: a line each, its parts being the summary and the pieces of text.
//! - `starts-…`, a range of starts: the length of each list, then the lists: how many documents there are, and the best in order.

use std::fmt::Write as _;

use rayon::prelude::*;
use sha2::{Digest, Sha256};

use super::index::id_of;
use super::rank::best_of_start;
use super::{Document, Index, Posting};

const VERSION: u64 = 3;
/// Sizes of a shard, in bytes as written: from `SMALL` on it is closed at the next item that its hash marks, one in `MARKED`; more
/// than `LARGE` it has only if one item is that large.
const SMALL: usize = 16_000;
const LARGE: usize = 24_000;
const MARKED: u32 = 16;
const LINE: char = '\t';
const SECTION: char = '\u{c}';
const PART: &str = "\u{b}";
/// Digits that end a number, and digits that go before.
const ENDS: u64 = 62;
const MORE: u64 = 31;

/// Everything the page loads: paths relative to the site and their bytes, `search/words.js` first. The same input gives the same bytes.
pub fn files(documents: &[Document], synonyms: &[Vec<String>]) -> Vec<(String, Vec<u8>)> {
    files_of(&Index::build(documents, synonyms))
}

/// [`files`] of an index that is there already.
pub fn files_of(index: &Index) -> Vec<(String, Vec<u8>)> {
    let lists: Vec<String> = (0..index.stems.len() as u32).into_par_iter().map(|stem| pack_list(index, stem)).collect();
    let postings = shards("postings", lists.iter().zip(&index.stems), numbered);
    let text = |card: &super::Card| {
        let pieces: Vec<&str> = std::iter::once(&card.summary).chain(&card.text).map(String::as_str).collect();
        pieces.join(PART) + &LINE.to_string()
    };
    let lines: Vec<String> = index.cards.iter().map(text).collect();
    let texts = shards("texts", lines.iter().zip(index.cards.iter().map(|card| &card.id)), |lines| (String::new(), lines.concat()));
    let starts: Vec<&String> = index.starts.iter().collect();
    let lists: Vec<String> = starts
        .par_iter()
        .map(|start| {
            let (total, best) = best_of_start(index, start);
            let mut list = String::new();
            std::iter::once(total as u64).chain(best.into_iter().map(u64::from)).for_each(|number| digits(&mut list, number));
            list
        })
        .collect();
    let starts = shards("starts", lists.iter().zip(starts), numbered);
    let (numbers, text) = pack_words(index, [&postings, &texts, &starts]);
    let mut files = vec![("search/words.js".to_owned(), call("words", &numbers, &text))];
    files.extend([postings, texts, starts].into_iter().flatten().map(|shard| (format!("search/{}.js", shard.name), shard.bytes)));
    // Two ranges may hold the same, such as many documents without a text.
    files[1..].sort();
    files.dedup();
    files
}

/// One file and how many stems, documents or starts it holds.
struct Shard {
    name: String,
    bytes: Vec<u8>,
    count: usize,
}

/// Cuts items into files; each item comes with a text that it can be told by.
fn shards<'a>(what: &str, items: impl Iterator<Item = (&'a String, &'a String)>, join: impl Fn(&[&str]) -> (String, String)) -> Vec<Shard> {
    let mut shards = Vec::new();
    let mut held: Vec<&str> = Vec::new();
    let mut size = 0;
    let mut close = |held: &mut Vec<&str>, size: &mut usize| {
        if !held.is_empty() {
            let (numbers, text) = join(held);
            let digest = Sha256::digest(format!("{numbers}{SECTION}{text}"));
            let name = digest.iter().take(8).fold(format!("{what}-"), |mut name, byte| {
                let _ = write!(name, "{byte:02x}");
                name
            });
            shards.push(Shard { bytes: call(&name, &numbers, &text), name, count: held.len() });
        }
        held.clear();
        *size = 0;
    };
    for (item, told_by) in items {
        if size + item.len() > LARGE {
            close(&mut held, &mut size);
        }
        held.push(item);
        size += item.len() + 1;
        if size > SMALL && hash(told_by.encode_utf16()) % MARKED == 0 {
            close(&mut held, &mut size);
        }
    }
    close(&mut held, &mut size);
    shards
}

fn numbered(lists: &[&str]) -> (String, String) {
    let mut numbers = String::new();
    lists.iter().for_each(|list| digits(&mut numbers, list.len() as u64));
    (numbers + &lists.concat(), String::new())
}

fn pack_words(index: &Index, shards: [&[Shard]; 3]) -> (String, String) {
    let mut numbers = String::new();
    let head = [VERSION, index.cards.len() as u64]
        .into_iter()
        .chain(index.totals)
        .chain(shards.map(<[Shard]>::len).into_iter().chain([index.surfaces.len(), index.stems.len()]).map(|count| count as u64));
    head.for_each(|number| digits(&mut numbers, number));
    for card in &index.cards {
        digits(&mut numbers, index.kinds.partition_point(|kind| **kind < *card.kind) as u64);
    }
    index.lengths.iter().flatten().for_each(|&code| digits(&mut numbers, u64::from(code)));
    let mut before = 0;
    for surface in &index.surfaces {
        let step = i64::from(surface.stem) - before;
        digits(&mut numbers, ((step << 1) ^ (step >> 63)) as u64);
        before = i64::from(surface.stem);
    }
    (0..index.stems.len() as u32).for_each(|stem| digits(&mut numbers, u64::from(index.frequency(stem))));
    shards.into_iter().flatten().for_each(|shard| digits(&mut numbers, shard.count as u64));

    let mut text = String::new();
    lines(&mut text, index.kinds.iter().map(String::as_str));
    lines(&mut text, index.background.iter().map(String::as_str));
    lines(&mut text, index.cards.iter().map(|card| card.title.as_str()));
    lines(&mut text, index.cards.iter().map(|card| card.names.join(PART)));
    front_coded(&mut text, index.cards.iter().map(|card| card.address.as_str()), true);
    lines(&mut text, index.cards.iter().map(|card| if id_of(&card.address) == card.id { "" } else { card.id.as_str() }));
    front_coded(&mut text, index.surfaces.iter().map(|surface| surface.word.as_str()), false);
    lines(&mut text, index.groups.iter().map(|names| names.iter().map(|name| name.join(" ")).collect::<Vec<_>>().join(PART)));
    lines(&mut text, index.compounds.iter().map(|compound| format!("{} {}", compound.first, compound.second)));
    front_coded(&mut text, index.starts.iter().map(String::as_str), true);
    shards.into_iter().for_each(|shards| lines(&mut text, shards.iter().map(|shard| shard.name.as_str())));
    (numbers, text)
}

fn lines(text: &mut String, lines: impl Iterator<Item = impl AsRef<str>>) {
    for line in lines {
        text.push_str(line.as_ref());
        text.push(LINE);
    }
    text.push(SECTION);
}

fn front_coded<'a>(text: &mut String, words: impl Iterator<Item = &'a str>, divided: bool) {
    let mut before = "";
    for word in words {
        let mut same = 0;
        let mut rest = word;
        for (a, b) in before.chars().zip(word.chars()) {
            if a != b || same + a.len_utf16() > 25 {
                break;
            }
            same += a.len_utf16();
            rest = &rest[b.len_utf8()..];
        }
        text.push((b'A' + same as u8) as char);
        text.push_str(rest);
        if divided {
            text.push(LINE);
        }
        before = word;
    }
    text.push(SECTION);
}

fn pack_list(index: &Index, stem: u32) -> String {
    let postings = &index.postings[stem as usize];
    let mut list = String::new();
    let mut next = 0;
    for posting in postings {
        digits(&mut list, u64::from(posting.document - next));
        next = posting.document + 1;
    }
    postings.iter().for_each(|posting| pack_counts(&mut list, posting));
    if index.form_count(stem) > 1 {
        postings.iter().for_each(|posting| digits(&mut list, u64::from(posting.forms - 1)));
    }
    for posting in postings {
        let mut before = -1;
        for &place in &posting.places {
            digits(&mut list, (i64::from(place) - before) as u64);
            before = i64::from(place);
        }
        if posting.places.len() < (posting.counts[2] + posting.counts[3]) as usize {
            digits(&mut list, 0);
        }
    }
    list
}

fn pack_counts(list: &mut String, posting: &Posting) {
    let [title, names, figures, body] = posting.counts.map(u64::from);
    if title + names + figures == 0 {
        digits(list, 2 * (body - 1));
        return;
    }
    let many = title > 1 || names > 1 || figures > 1;
    let flags = u64::from(title > 0) | u64::from(names > 0) << 1 | u64::from(figures > 0) << 2 | u64::from(many) << 3;
    digits(list, 1 + 2 * (flags + 16 * body));
    if many {
        [title, names, figures].into_iter().for_each(|count| digits(list, count));
    }
}

/// The 32-bit FNV-1a hash of a row of UTF-16 code units.
fn hash(units: impl Iterator<Item = u16>) -> u32 {
    units.fold(0x811c_9dc5, |sum: u32, unit| (sum ^ u32::from(unit)).wrapping_mul(0x0100_0193))
}

fn call(name: &str, numbers: &str, text: &str) -> Vec<u8> {
    let sum = hash(numbers.encode_utf16().chain(text.encode_utf16()));
    let mut quoted = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '"' | '\\' => quoted.extend(['\\', c]),
            '\n' | '\r' | '\u{2028}' | '\u{2029}' | '\0' => {
                let _ = write!(quoted, "\\u{:04x}", c as u32);
            }
            c => quoted.push(c),
        }
    }
    format!("blueconeSearch.take(\"{name}\",{sum},\"{numbers}\",\"{quoted}\");\n").into_bytes()
}

fn digits(text: &mut String, mut number: u64) {
    let mut push = |digit: u64| {
        let code = b' ' + digit as u8;
        let code = code + u8::from(code >= b'"');
        text.push((code + u8::from(code >= b'\\')) as char);
    };
    while number >= ENDS {
        number -= ENDS;
        push(ENDS + number % MORE);
        number /= MORE;
    }
    push(number);
}
