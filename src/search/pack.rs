//! The index as classic scripts, small enough for a phone to read from a folder.
//!
//! Every file is one call, `blueconeSearch.take(name, sum, numbers, text)`: `sum` is the hash of the two strings that follow
//! (see [`checksum`]), so that a damaged file is noticed; `text` holds strings, `numbers` integers.
//! In `text`, sections end with a form feed, lines with a tab and parts of a line are divided by a vertical tab, none of which
//! JavaScript needs to have escaped. *Front-coded*: a capital letter says how many code units are the same as in the line before
//! (A none, B one … Z 25).
//! In `numbers`, an integer is written in printable characters, so that a compressor sees where each begins: digit d is the d-th
//! character from the space to `~` without `"` and `\`. Digits below 62 end a number and add their value; digit 62 + c goes before,
//! and stands for 62 + c + 31 × (the number that the rest says).
//!
//! `search/words.js` (name `words`), loaded at first use.
//! - Numbers: version 6; documents N; how many places of a document's beginning are kept; the four field length sums; then counts of
//!   postings, text and start files, of surface words and of stems, and the digits S of the row of stems; a digit for each of N kinds; a
//!   digit for each of 4 N field length codes, the last digit for those that do not fit; how many these are, and place and code of each;
//!   the number of stems in each postings file, of documents in each text file, of starts in each start file; the digits of each row of
//!   frequencies. Then rows of bits, six to a digit, the highest first. The row of stems: for each surface word 0 if its stem is the next
//!   new one, else 1 and how far back it is from the newest, gamma. For each postings file, its stems' document frequencies, gamma, with
//!   0 and 1 exchanged.
//! - Text: kinds; those whose documents come after others; titles; other names (parts); addresses (see [`addresses`]); ids (an empty line where the address says it); surface words
//!   (128 a line, front-coded with the line's first one whole, the capital being the only divider); synonym groups (a line each, names as parts, their words divided by a
//!   space); compounds (the two words divided by a space); starts (front-coded); names of the postings, text and start files.
//!
//! `search/<name>.js`, the name being what the file holds and the first 12 hexadecimal digits of the SHA-256 of `numbers`, a form
//! feed and `text`. What is cut where depends only on the words near the cut, so that a change moves few files.
//! - `postings-…`, a range of stems: a row of bits, as `columns.rs` says.
//! - `texts-…`, a range of documents: a line each, its parts being the summary and the pieces of text.
//! - `starts-…`, a range of starts: the length of each list, then the lists: how many documents there are, and the best in order.

use std::fmt::Write as _;
use std::ops::Range;

use rayon::prelude::*;
use sha2::{Digest, Sha256};

use super::bits::Bits;
use super::columns::{Columns, columns};
use super::index::id_of;
use super::rank::best_of_start;
use super::{Document, Index};

const VERSION: u64 = 6;
/// Sizes of a shard, in bytes as written: from `SMALL` on it is closed at the next item that its hash marks, one in `MARKED`; more
/// than `LARGE` it has only if one item is that large.
const SMALL: usize = 16_000;
const LARGE: usize = 24_000;
const MARKED: u32 = 16;
/// How many bytes of a digest name a file.
const NAME: usize = 6;
const LINE: char = '\t';
const SECTION: char = '\u{c}';
const PART: &str = "\u{b}";
/// The digit of a field length code that has none of its own.
const LONG: u64 = 92;
/// Surface words on a line.
const WORDS: usize = 128;
/// Digits that end a number, and digits that go before.
const ENDS: u64 = 62;
const MORE: u64 = 31;

/// Everything the page loads: paths relative to the site and their bytes, `search/words.js` first. The same input gives the same bytes.
pub fn files(documents: &[Document], synonyms: &[Vec<String>]) -> Vec<(String, Vec<u8>)> {
    files_of(&Index::build(documents, synonyms))
}

/// [`files`] of an index that is there already.
pub fn files_of(index: &Index) -> Vec<(String, Vec<u8>)> {
    let lists: Vec<Columns> = (0..index.stems.len() as u32).into_par_iter().map(|stem| columns(index, stem)).collect();
    let sizes = lists.iter().map(|list| list.iter().map(Bits::len).sum::<usize>().div_ceil(6));
    let postings = shards("postings", sizes.zip(&index.stems), |range| (by_column(&lists[range]), String::new()));
    // Each piece with what divides it from the next, or ends the line, and one more for the card's place.
    let sizes =
        index.cards.iter().map(|card| card.summary.len() + card.text.iter().map(|piece| PART.len() + piece.len()).sum::<usize>() + 2);
    let texts = shards("texts", sizes.zip(index.cards.iter().map(|card| &card.id)), |range| {
        let mut text = String::with_capacity(2 * LARGE);
        for card in &index.cards[range] {
            text.push_str(&card.summary);
            card.text.iter().for_each(|piece| text.extend([PART, piece]));
            text.push(LINE);
        }
        (String::new(), text)
    });
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
    let starts = shards("starts", lists.iter().map(|list| list.len() + 1).zip(starts), |range| (numbered(&lists[range]), String::new()));
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

/// Cuts items into files; each item comes as its size and a text that it can be told by.
fn shards<'a>(
    what: &str,
    items: impl ExactSizeIterator<Item = (usize, &'a String)>,
    join: impl Fn(Range<usize>) -> (String, String),
) -> Vec<Shard> {
    let mut shards = Vec::new();
    let mut close = |range: Range<usize>| {
        if range.is_empty() {
            return;
        }
        let count = range.len();
        let (numbers, text) = join(range);
        let whole = Sha256::new().chain_update(&numbers).chain_update(SECTION.encode_utf8(&mut [0])).chain_update(&text);
        let name = whole.finalize().iter().take(NAME).fold(format!("{what}-"), |mut name, byte| {
            let _ = write!(name, "{byte:02x}");
            name
        });
        shards.push(Shard { bytes: call(&name, &numbers, &text), name, count });
    };
    let end = items.len();
    let (mut from, mut held) = (0, 0);
    for (at, (size, told_by)) in items.enumerate() {
        if held + size > LARGE {
            close(from..at);
            (from, held) = (at, 0);
        }
        held += size;
        if held > SMALL && hash(told_by.encode_utf16()) % MARKED == 0 {
            close(from..at + 1);
            (from, held) = (at + 1, 0);
        }
    }
    close(from..end);
    shards
}

/// The first column of all lists, then the second of all, and so on.
fn by_column(lists: &[Columns]) -> String {
    let mut bits = Bits::default();
    for column in 0..lists.first().map_or(0, |columns| columns.len()) {
        lists.iter().for_each(|list| bits.append(&list[column]));
    }
    bits.characters(|six| digit(six.into()))
}

fn numbered(lists: &[String]) -> String {
    let mut numbers = String::new();
    lists.iter().for_each(|list| digits(&mut numbers, list.len() as u64));
    numbers + &lists.concat()
}

fn pack_words(index: &Index, shards: [&[Shard]; 3]) -> (String, String) {
    let stem_row = stem_row(index);
    let mut stems = 0;
    let frequency_rows = shards[0].iter().map(|shard| {
        stems += shard.count;
        frequency_row(index, stems - shard.count..stems)
    });
    let frequency_rows: Vec<String> = frequency_rows.collect();

    let mut numbers = String::new();
    let counts = shards.map(<[Shard]>::len).into_iter().chain([index.surfaces.len(), index.stems.len(), stem_row.len()]);
    let head = [VERSION, index.cards.len() as u64, index.lead as u64].into_iter().chain(index.totals);
    head.chain(counts.map(|count| count as u64)).for_each(|number| digits(&mut numbers, number));
    numbers.extend(index.cards.iter().map(|card| digit(index.kinds.partition_point(|kind| **kind < *card.kind) as u64)));
    let lengths: Vec<u64> = index.lengths.iter().flatten().map(|&code| u64::from(code)).collect();
    numbers.extend(lengths.iter().map(|&code| digit(code.min(LONG))));
    let longs: Vec<(usize, u64)> = lengths.into_iter().enumerate().filter(|(_, code)| *code >= LONG).collect();
    digits(&mut numbers, longs.len() as u64);
    longs.into_iter().flat_map(|(place, code)| [place as u64, code]).for_each(|number| digits(&mut numbers, number));
    shards.into_iter().flatten().for_each(|shard| digits(&mut numbers, shard.count as u64));
    frequency_rows.iter().for_each(|row| digits(&mut numbers, row.len() as u64));
    numbers += &stem_row;
    numbers.extend(frequency_rows);

    let mut text = String::new();
    lines(&mut text, index.kinds.iter().map(String::as_str));
    lines(&mut text, index.background.iter().map(String::as_str));
    lines(&mut text, index.cards.iter().map(|card| card.title.as_str()));
    lines(&mut text, index.cards.iter().map(|card| card.names.join(PART)));
    lines(&mut text, addresses(&index.cards).into_iter());
    lines(&mut text, index.cards.iter().map(|card| if id_of(&card.address) == card.id { "" } else { card.id.as_str() }));
    lines(&mut text, index.surfaces.chunks(WORDS).map(|words| front_coded(words.iter().map(|surface| surface.word.as_str())).concat()));
    lines(&mut text, index.groups.iter().map(|names| names.iter().map(|name| name.join(" ")).collect::<Vec<_>>().join(PART)));
    lines(&mut text, index.compounds.iter().map(|compound| format!("{} {}", compound.first, compound.second)));
    lines(&mut text, front_coded(index.starts.iter().map(String::as_str)).into_iter());
    shards.into_iter().for_each(|shards| lines(&mut text, shards.iter().map(|shard| shard.name.as_str())));
    (numbers, text)
}

/// Which stem each surface word has.
fn stem_row(index: &Index) -> String {
    let mut bits = Bits::default();
    let mut stems = 0;
    for surface in &index.surfaces {
        let is_new = surface.stem == stems;
        bits.below(u64::from(!is_new), 2);
        if !is_new {
            bits.gamma(u64::from(stems - 1 - surface.stem));
        }
        stems += u32::from(is_new);
    }
    bits.characters(|six| digit(six.into()))
}

/// In how many documents each of some stems is.
fn frequency_row(index: &Index, stems: Range<usize>) -> String {
    let mut bits = Bits::default();
    for stem in stems {
        // Nearly all stems are in one document or more, and most in one.
        let frequency = u64::from(index.frequency(stem as u32));
        bits.gamma(if frequency < 2 { 1 - frequency } else { frequency });
    }
    bits.characters(|six| digit(six.into()))
}

/// Each address: if it is the folder of the one before, the first words of the title with hyphens between and `.html`, then how many
/// words, or nothing for all; else `A` and the whole of it, so that each can be read without all before.
fn addresses(cards: &[super::Card]) -> Vec<String> {
    let mut before = "";
    let code = |card: &super::Card, before: &str| {
        let folder = &before[..before.rfind('/').map_or(0, |at| at + 1)];
        let name = card.address.strip_prefix(folder).and_then(|name| name.strip_suffix(".html"));
        let words: Vec<String> = id_words(&card.title);
        let fits = (1..=words.len()).find(|&count| name == Some(words[..count].join("-").as_str()));
        match fits {
            Some(count) if count == words.len() => String::new(),
            Some(count) => count.to_string(),
            None => front_code("", &card.address),
        }
    };
    let coded = cards.iter().map(|card| {
        let coded = code(card, before);
        before = &card.address;
        coded
    });
    coded.collect()
}

/// A title's words as an id has them.
fn id_words(title: &str) -> Vec<String> {
    let words = title.split(|c: char| !c.is_ascii_alphanumeric()).filter(|word| !word.is_empty());
    words.map(str::to_ascii_lowercase).collect()
}

fn lines(text: &mut String, lines: impl Iterator<Item = impl AsRef<str>>) {
    for line in lines {
        text.push_str(line.as_ref());
        text.push(LINE);
    }
    text.push(SECTION);
}

fn front_coded<'a>(words: impl Iterator<Item = &'a str>) -> Vec<String> {
    let mut before = "";
    let code = |word| front_code(std::mem::replace(&mut before, word), word);
    words.map(code).collect()
}

fn front_code(before: &str, word: &str) -> String {
    let mut same = 0;
    let mut rest = word;
    for (a, b) in before.chars().zip(word.chars()) {
        if a != b || same + a.len_utf16() > 25 {
            break;
        }
        same += a.len_utf16();
        rest = &rest[b.len_utf8()..];
    }
    format!("{}{rest}", (b'A' + same as u8) as char)
}

/// The 32-bit FNV-1a hash of a row of UTF-16 code units.
fn hash(units: impl Iterator<Item = u16>) -> u32 {
    units.fold(0x811c_9dc5, |sum: u32, unit| (sum ^ u32::from(unit)).wrapping_mul(0x0100_0193))
}

/// FNV-1a of two strings, one after the other, by four UTF-16 code units at a time, each moved five bits further than the one before:
/// a page reads a megabyte in a quarter of the steps. What is left at the end of each goes unit by unit.
fn checksum(numbers: &str, text: &str) -> u32 {
    let step = |sum: u32, units: u32| (sum ^ units).wrapping_mul(0x0100_0193);
    let mut sum = 0x811c_9dc5;
    for string in [numbers, text] {
        let mut four = [0_u32; 4];
        let mut held = 0;
        for unit in string.encode_utf16() {
            four[held] = unit.into();
            held += 1;
            if held == 4 {
                sum = step(sum, four[0] ^ (four[1] << 5) ^ (four[2] << 10) ^ (four[3] << 15));
                held = 0;
            }
        }
        sum = four[..held].iter().fold(sum, |sum, unit| step(sum, *unit));
    }
    sum
}

fn call(name: &str, numbers: &str, text: &str) -> Vec<u8> {
    let sum = checksum(numbers, text);
    let mut call = String::with_capacity(name.len() + numbers.len() + text.len() + text.len() / 16 + 64);
    let _ = write!(call, "blueconeSearch.take(\"{name}\",{sum},\"{numbers}\",\"");
    for piece in text.split_inclusive(['"', '\\', '\n', '\r', '\u{2028}', '\u{2029}', '\0']) {
        let mut plain = piece.chars();
        let _ = match plain.next_back() {
            Some(c @ ('"' | '\\')) => write!(call, "{}\\{c}", plain.as_str()),
            Some(c @ ('\n' | '\r' | '\u{2028}' | '\u{2029}' | '\0')) => write!(call, "{}\\u{:04x}", plain.as_str(), c as u32),
            _ => write!(call, "{piece}"),
        };
    }
    call.push_str("\");\n");
    call.into_bytes()
}

fn digit(digit: u64) -> char {
    let code = b' ' + digit as u8;
    let code = code + u8::from(code >= b'"');
    (code + u8::from(code >= b'\\')) as char
}

fn digits(text: &mut String, mut number: u64) {
    while number >= ENDS {
        number -= ENDS;
        text.push(digit(ENDS + number % MORE));
        number /= MORE;
    }
    text.push(digit(number));
}
