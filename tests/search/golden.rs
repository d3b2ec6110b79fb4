use bluecone::search::{Finder, plan, rank};
use proptest::prelude::*;

use super::page::Page;
use super::{INDEX, SAMPLE, SYNONYMS, cases, read};

/// Document, exact, matched, score.
type Row = (u32, bool, u32, f64);

thread_local! { static PAGE: Page = Page::new(&bluecone::search::files_of(&INDEX)); }

fn rust(query: &str) -> Vec<Row> {
    rank(&INDEX, &plan(&INDEX, query)).iter().map(|one| (one.document, one.exact, one.matched, one.score)).collect()
}

fn javascript(query: &str) -> Vec<Row> {
    PAGE.with(|page| page.ask("order(index, input)", query))
}

fn ids(rows: &[Row]) -> Vec<&str> {
    rows.iter().map(|row| SAMPLE[row.0 as usize].id.as_str()).collect()
}

/// The same documents in the same order, with scores equal but for the last bits of logarithms.
fn same(here: &[Row], there: &[Row]) -> bool {
    here.len() == there.len()
        && here.iter().zip(there).all(|(a, b)| (a.0, a.1, a.2) == (b.0, b.1, b.2) && (a.3 - b.3).abs() <= 1e-12 * a.3.abs())
}

#[test]
fn golden_queries_come_out_in_rust_in_javascript_and_in_the_terminal() {
    let finder = Finder::new(&SAMPLE, &SYNONYMS).unwrap();
    let cases = cases(&read("golden.txt"));
    let mut wrong = Vec::new();
    for (query, wanted) in &cases {
        let wanted: Vec<&str> = wanted.split_whitespace().collect();
        let here = rust(query);
        let found = ids(&here);
        let right = if wanted.is_empty() { found.is_empty() } else { found.starts_with(&wanted) };
        if !right {
            wrong.push(format!("{query} => {}", found.iter().take(6).copied().collect::<Vec<_>>().join(" ")));
        }
        let there = javascript(query);
        assert!(same(&here, &there), "{query}: Rust {:?}, JavaScript {:?}", here, there);
        let terminal = finder.find(query, usize::MAX).unwrap();
        assert_eq!(terminal.hits.iter().map(|hit| hit.id.as_str()).collect::<Vec<_>>(), found, "{query} in the terminal");
        assert_eq!(terminal.total, found.len());
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(cases.len() >= 40);
}

#[test]
fn nearest_words_are_the_same() {
    let finder = Finder::new(&SAMPLE, &SYNONYMS).unwrap();
    for query in ["thermocupel", "xyzzy qqqq", "ignnitterr", "9999"] {
        let found = finder.find(query, 5).unwrap();
        assert!(found.hits.is_empty(), "{query}");
        let there: Vec<Vec<String>> =
            PAGE.with(|page| page.ask("blueconeSearch.nearest(index, blueconeSearch.plan(index, input), 3)", query));
        assert_eq!(found.nearest, there.concat(), "{query}");
    }
    assert_eq!(finder.find("manometters", 5).unwrap().hits[0].id, "inlet-gas-pressure", "two letters away from eight letters");
}

/// Words of the sample, whole, cut, mistyped or with a stranger among them.
fn query() -> impl Strategy<Value = String> {
    let words: Vec<String> = INDEX.surfaces.iter().map(|surface| surface.word.clone()).collect();
    let word = (prop::sample::select(words), 0_usize..8, any::<prop::sample::Index>(), prop::char::range('a', 'z')).prop_map(
        |(word, change, at, letter)| {
            let mut letters: Vec<char> = word.chars().collect();
            let at = at.index(letters.len());
            match change {
                0 => letters.truncate(at + 1),
                1 => letters.insert(at, letter),
                2 => letters[at] = letter,
                3 if at > 0 => letters.swap(at - 1, at),
                4 => letters.extend(['i', 'n', 'g']),
                _ => {}
            }
            letters.into_iter().collect::<String>()
        },
    );
    (prop::collection::vec(word, 1..5), prop::sample::select(vec!["", " ", "?"])).prop_map(|(words, end)| words.join(" ") + end)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, ..ProptestConfig::default() })]

    #[test]
    fn rust_and_javascript_agree_on_any_query(query in query()) {
        let (here, there) = (rust(&query), javascript(&query));
        prop_assert!(same(&here, &there), "{:?}: {:?} and {:?}", query, here, there);
    }
}

#[test]
fn the_terminal_answers_two_hundred_documents_fast() {
    let many: Vec<_> = SAMPLE.iter().cycle().take(200).cloned().collect();
    let start = std::time::Instant::now();
    let found = bluecone::search::find(&many, &SYNONYMS, "flame signal", 10).unwrap();
    println!("200 documents indexed and searched in {:?}", start.elapsed());
    assert_eq!(found.hits.len(), 10);
}
