use bluecone::search::{split, stem_analyser};
use tantivy::tokenizer::TokenStream;

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
