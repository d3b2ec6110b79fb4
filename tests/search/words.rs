use bluecone::search::{analyser, split, stem_analyser};
use proptest::prelude::*;
use tantivy::tokenizer::{SimpleTokenizer, TokenStream, Tokenizer};

use super::page::Page;
use super::{cases, read};

fn unescape(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some(at) = rest.find("\\u{") {
        let end = at + rest[at..].find('}').unwrap();
        out.push_str(&rest[..at]);
        out.push(char::from_u32(u32::from_str_radix(&rest[at + 3..end], 16).unwrap()).unwrap());
        rest = &rest[end + 1..];
    }
    out + rest
}

#[test]
fn cases_split_and_fold_alike_in_rust_and_javascript() {
    let page = Page::new(&[]);
    let cases = cases(&read("words.txt"));
    assert!(cases.len() > 50);
    for (text, wanted) in cases {
        let (text, wanted) = (unescape(&text), unescape(&wanted));
        let words: Vec<&str> = wanted.split(' ').filter(|word| !word.is_empty()).map(|word| word.split('/').next().unwrap()).collect();
        let stems: Vec<&str> = wanted.split(' ').filter(|word| !word.is_empty()).map(|word| word.split('/').next_back().unwrap()).collect();
        let found = split(&text);
        assert_eq!(found.iter().map(|token| token.word.as_str()).collect::<Vec<_>>(), words, "{text:?} in Rust");

        let mut analyser = stem_analyser();
        let mut stream = analyser.token_stream(&text);
        let mut stemmed = Vec::new();
        while stream.advance() {
            stemmed.push(stream.token().text.clone());
        }
        assert_eq!(stemmed, stems, "{text:?} stemmed");

        // Places too, as the text that they cut out.
        let here: Vec<(String, String)> = found.into_iter().map(|token| (token.word, text[token.from..token.to].to_owned())).collect();
        let there: Vec<(String, String)> =
            page.ask("blueconeSearch.split(input).map(({ word, from, to }) => [word, input.slice(from, to)])", &text);
        assert_eq!(there, here, "{text:?} in JavaScript");
    }
}

#[test]
fn every_character_folds_alike() {
    let page = Page::new(&[]);
    let all: Vec<String> = ('\0'..=char::MAX).filter(|c| c.is_alphanumeric()).map(|c| c.to_string()).collect();
    assert!(all.len() > 100_000);
    let fold = |text: &str| split(text).into_iter().map(|token| token.word).collect::<Vec<_>>();
    let script = "input.map((text) => blueconeSearch.split(text).map(({ word }) => word))";
    // Many at once, and one by one only where they differ.
    let chunks: Vec<String> = all.chunks(50).map(|chunk| chunk.join(" ")).collect();
    let there: Vec<Vec<String>> = page.ask(script, &chunks);
    let differing = all.chunks(50).zip(chunks.iter().zip(&there)).filter(|(_, (text, there))| fold(text) != **there);
    let suspects: Vec<&String> = differing.flat_map(|(chunk, _)| chunk).collect();
    let there: Vec<Vec<String>> = page.ask(script, &suspects);
    let differ: Vec<_> = suspects
        .iter()
        .zip(there)
        .map(|(text, there)| (text, fold(text).join(" "), there.join(" ")))
        .filter(|(_, here, there)| here != there)
        .collect();
    // Letters newer than one side's edition of Unicode are not in any handbook; a handful may differ.
    let ascii: Vec<_> = differ.iter().filter(|(_, here, there)| here.is_ascii() || there.is_ascii()).collect();
    assert!(ascii.iter().all(|(_, here, there)| here.is_empty() || there.is_empty()), "{ascii:?}");
    assert!(differ.len() < 100, "{} differ: {differ:?}", differ.len());
}

#[test]
fn what_splits_is_the_same_for_every_character() {
    let page = Page::new(&[]);
    let all: Vec<String> = ('\0'..='\u{2fff}').filter(|c| !c.is_alphanumeric()).map(|c| format!("a{c}b")).collect();
    let there: Vec<usize> = page.ask("input.map((text) => blueconeSearch.split(text).length)", &all);
    let differ: Vec<_> = all.iter().zip(there).filter(|(text, there)| split(text).len() != *there).collect();
    assert!(differ.len() < 20, "{differ:?}");
}

proptest::proptest! {
    #[test]
    fn any_text_splits_alike(text in "[ -~µΩé0-9.,]{0,60}|\\PC{0,30}") {
        thread_local! { static PAGE: Page = Page::new(&[]); }
        let here: Vec<String> = split(&text).into_iter().map(|token| token.word).collect();
        let there: Vec<String> = PAGE.with(|page| page.ask("blueconeSearch.split(input).map(({ word }) => word)", &text));
        proptest::prop_assert_eq!(there, here);
    }
}

/// What tantivy's own filters make of a text: word, and the place of what was written.
fn analysed(text: &str) -> Vec<(String, usize, usize)> {
    let mut analyser = analyser();
    let mut stream = analyser.token_stream(text);
    let mut words = Vec::new();
    while stream.advance() {
        let token = stream.token();
        words.push((token.text.clone(), token.offset_from, token.offset_to));
    }
    words
}

proptest! {
    #[test]
    fn splitting_is_what_the_analyser_does(text in "([a-zA-Z0-9.,µΩéIǅßK½² -]{0,12}|[a-z0-9]{36,44}|\\PC{0,8}){0,6}") {
        let found: Vec<_> = split(&text).into_iter().map(|token| (token.word, token.from, token.to)).collect();
        prop_assert_eq!(found, analysed(&text));
    }

    #[test]
    fn without_figures_and_short_forms_a_text_splits_as_tantivy_splits_it(text in "(\\PC{0,8}|[a-z ,;é\u{3000}]{0,12}){0,6}") {
        let text: String = text.chars().filter(|c| !c.is_ascii_digit() && !".'\u{2019}".contains(*c)).collect();
        let mut tokenizer = SimpleTokenizer::default();
        let mut stream = tokenizer.token_stream(&text);
        let mut places = Vec::new();
        while stream.advance() {
            places.push((stream.token().offset_from, stream.token().offset_to));
        }
        places.retain(|(from, to)| to - from < 40);
        prop_assert_eq!(split(&text).into_iter().map(|token| (token.from, token.to)).collect::<Vec<_>>(), places);
    }
}

/// Words whose stem the algorithm has changed since the vocabulary was published (recalled: its third version keeps `add` whole, takes
/// `-ogist` to `-og`, and tells `internal` from `intern`).
const REVISED: &str = "added adding apologists archaeologists ebbed ebbing emergency entomologist erred erring evening evenings genealogist \
    geologist geologists interfered interfering internal internally international interval intervals lateral laterally offing organic \
    organically organism organization organizations organized ornithologist ornithologists pasted psychologist universal universally university";

/// The stems of the index against the vocabulary that the Snowball project publishes with its English algorithm: 29,399 words.
#[test]
fn stems_are_those_of_the_published_vocabulary() {
    let text = read("snowball-english.txt");
    let mut analyser = stem_analyser();
    let (mut tried, mut differing) = (0, Vec::new());
    for line in text.lines().filter(|line| !line.starts_with('#')) {
        let (word, published) = line.split_once(' ').unwrap_or((line, line));
        let mut stream = analyser.token_stream(word);
        assert!(stream.advance(), "{word} is no word");
        tried += 1;
        if stream.token().text != published {
            differing.push(word);
        }
    }
    assert_eq!(tried, 29_399);
    assert_eq!(differing, REVISED.split_whitespace().collect::<Vec<_>>());
}
