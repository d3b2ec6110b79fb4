//! The index as classic scripts, small enough for a phone to read from a folder.
//!
//! Every file is one call, `blueconeSearch.take(name, sum, numbers, text)`: `sum` is the 32-bit FNV-1a hash of the two strings that
//! follow, by UTF-16 code unit, so that a damaged file is noticed; `numbers` is base64; `text` holds the strings.
//! In `numbers`, an integer is a varint: seven bits a byte, lowest first, the top bit set on all but the last byte.
//! In `text`, sections end with a form feed and lines with a tab, neither of which JavaScript needs to have escaped.
//! *Front-coded*: a capital letter says how many code units are the same as in the line before (A none, B one … Z 25).
//!
//! `search/words.js` (name `words`), loaded at first use.
//! - Numbers: version 2; documents N; the three field length sums; then counts of postings files P, summary files S, surface words W
//!   and stems T; N kind numbers; 3 N bytes of field lengths; W differences between a surface's stem and the one before, zigzag;
//!   T document frequencies; the number of stems in each postings file; the number of documents in each summary file.
//! - Text: kinds; titles; addresses (front-coded lines); ids (an empty line where the address says it); surface words (front-coded,
//!   the capital being the only divider); synonym groups (a line each, names divided by a vertical tab, their words by a space);
//!   names of the postings files; names of the summary files.
//!
//! `search/<name>.js`, the name being the first 16 hexadecimal digits of the SHA-256 of `numbers`, a form feed and `text`:
//! - postings of a range of stems: the byte length of each stem's list, then the lists: for each document the difference to the one
//!   before, times two, plus one if all that there is to tell is one occurrence in the body; otherwise `flags + 8 × body count`
//!   follows, with flags 1 in the title, 2 in other names, 4 more than once in either, and then both counts follow;
//! - or summaries of a range of documents, as lines.

use std::fmt::Write as _;

use sha2::{Digest, Sha256};

use super::index::id_of;
use super::{Document, Index, Posting};

const VERSION: u32 = 2;
/// Aim for the size of one postings or summary file, in bytes as written.
const SHARD: usize = 20_000;
const LINE: char = '\t';
const SECTION: char = '\u{c}';
const NAME: char = '\u{b}';

/// Everything the page loads: paths relative to the site and their bytes, `search/words.js` first. The same input gives the same bytes.
pub fn files(documents: &[Document], synonyms: &[Vec<String>]) -> Vec<(String, Vec<u8>)> {
    files_of(&Index::build(documents, synonyms))
}

/// [`files`] of an index that is there already.
pub fn files_of(index: &Index) -> Vec<(String, Vec<u8>)> {
    let mut shards = Vec::new();
    let postings = pack_postings(index, &mut shards);
    let summaries = pack_summaries(index, &mut shards);
    let (numbers, text) = pack_words(index, &postings, &summaries);
    let mut files = vec![("search/words.js".to_owned(), call("words", &base64(&numbers), &text))];
    files.extend(shards);
    // Two ranges may hold the same, such as many documents without a summary.
    files[1..].sort();
    files.dedup();
    files
}

/// One shard's name and how many stems or documents it holds.
type Range = (String, usize);

fn pack_words(index: &Index, postings: &[Range], summaries: &[Range]) -> (Vec<u8>, String) {
    let mut kinds: Vec<&str> = index.cards.iter().map(|card| card.kind.as_str()).collect();
    kinds.sort_unstable();
    kinds.dedup();

    let mut numbers = Vec::new();
    let head = [VERSION as u64, index.cards.len() as u64]
        .into_iter()
        .chain(index.totals)
        .chain([postings.len(), summaries.len(), index.surfaces.len(), index.stems.len()].map(|count| count as u64));
    head.for_each(|number| varint(&mut numbers, number));
    for card in &index.cards {
        varint(&mut numbers, kinds.partition_point(|kind| **kind < *card.kind) as u64);
    }
    numbers.extend(index.lengths.iter().flatten());
    let mut before = 0;
    for surface in &index.surfaces {
        let step = i64::from(surface.stem) - before;
        varint(&mut numbers, ((step << 1) ^ (step >> 63)) as u64);
        before = i64::from(surface.stem);
    }
    (0..index.stems.len() as u32).for_each(|stem| varint(&mut numbers, u64::from(index.frequency(stem))));
    postings.iter().chain(summaries).for_each(|(_, count)| varint(&mut numbers, *count as u64));

    let mut text = String::new();
    lines(&mut text, kinds.into_iter());
    lines(&mut text, index.cards.iter().map(|card| card.title.as_str()));
    let mut before = "";
    for card in &index.cards {
        front_code(&mut text, before, &card.address);
        text.push(LINE);
        before = &card.address;
    }
    text.push(SECTION);
    lines(&mut text, index.cards.iter().map(|card| if id_of(&card.address) == card.id { "" } else { card.id.as_str() }));
    let mut before = "";
    for surface in &index.surfaces {
        front_code(&mut text, before, &surface.word);
        before = &surface.word;
    }
    text.push(SECTION);
    for names in &index.groups {
        let names: Vec<String> = names.iter().map(|name| name.join(" ")).collect();
        text.push_str(&names.join(&NAME.to_string()));
        text.push(LINE);
    }
    text.push(SECTION);
    lines(&mut text, postings.iter().map(|(name, _)| name.as_str()));
    lines(&mut text, summaries.iter().map(|(name, _)| name.as_str()));
    (numbers, text)
}

fn lines<'a>(text: &mut String, lines: impl Iterator<Item = &'a str>) {
    for line in lines {
        text.push_str(line);
        text.push(LINE);
    }
    text.push(SECTION);
}

fn front_code(text: &mut String, before: &str, word: &str) {
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
}

fn pack_postings(index: &Index, shards: &mut Vec<(String, Vec<u8>)>) -> Vec<Range> {
    let mut ranges = Vec::new();
    let (mut lengths, mut lists, mut count) = (Vec::new(), Vec::new(), 0);
    for postings in &index.postings {
        let list = pack_list(postings);
        // Base64 makes four bytes of three.
        if count > 0 && (lengths.len() + lists.len() + list.len()) * 4 / 3 > SHARD {
            ranges.push((shard(shards, &[lengths, lists].concat(), ""), count));
            (lengths, lists, count) = (Vec::new(), Vec::new(), 0);
        }
        varint(&mut lengths, list.len() as u64);
        lists.extend(list);
        count += 1;
    }
    if count > 0 {
        ranges.push((shard(shards, &[lengths, lists].concat(), ""), count));
    }
    ranges
}

fn pack_list(postings: &[Posting]) -> Vec<u8> {
    let mut list = Vec::new();
    let mut before = 0;
    for posting in postings {
        let step = u64::from(posting.document - before) << 1;
        before = posting.document;
        let [title, also, body] = posting.counts;
        if posting.counts == [0, 0, 1] {
            varint(&mut list, step | 1);
            continue;
        }
        varint(&mut list, step);
        let many = title > 1 || also > 1;
        varint(&mut list, u64::from(title > 0) | u64::from(also > 0) << 1 | u64::from(many) << 2 | u64::from(body) << 3);
        if many {
            varint(&mut list, u64::from(title));
            varint(&mut list, u64::from(also));
        }
    }
    list
}

fn pack_summaries(index: &Index, shards: &mut Vec<(String, Vec<u8>)>) -> Vec<Range> {
    let mut ranges = Vec::new();
    let (mut text, mut count) = (String::new(), 0);
    for card in &index.cards {
        if count > 0 && text.len() + card.summary.len() > SHARD {
            ranges.push((shard(shards, &[], &text), count));
            (text, count) = (String::new(), 0);
        }
        text.push_str(&card.summary);
        text.push(LINE);
        count += 1;
    }
    if count > 0 {
        ranges.push((shard(shards, &[], &text), count));
    }
    ranges
}

/// Adds a file and gives its name.
fn shard(shards: &mut Vec<(String, Vec<u8>)>, numbers: &[u8], text: &str) -> String {
    let numbers = base64(numbers);
    let digest = Sha256::digest(format!("{numbers}{SECTION}{text}"));
    let name = digest.iter().take(8).fold(String::new(), |mut name, byte| {
        let _ = write!(name, "{byte:02x}");
        name
    });
    shards.push((format!("search/{name}.js"), call(&name, &numbers, text)));
    name
}

fn call(name: &str, numbers: &str, text: &str) -> Vec<u8> {
    let step = |sum: u32, unit: u16| (sum ^ u32::from(unit)).wrapping_mul(0x0100_0193);
    let sum = numbers.encode_utf16().chain(text.encode_utf16()).fold(0x811c_9dc5, step);
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

fn varint(bytes: &mut Vec<u8>, mut number: u64) {
    while number >= 0x80 {
        bytes.push(number as u8 | 0x80);
        number >>= 7;
    }
    bytes.push(number as u8);
}

fn base64(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let group = three.iter().fold(0_u32, |group, byte| group << 8 | u32::from(*byte)) << (8 * (3 - three.len()));
        for place in 0..4 {
            let digit = DIGITS[(group >> (18 - 6 * place) & 63) as usize] as char;
            text.push(if place <= three.len() { digit } else { '=' });
        }
    }
    text
}
