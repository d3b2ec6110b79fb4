//! Odd queries and damaged data: nothing throws, and what can work does.

use bluecone::search::{Finder, files, plan, rank};
use proptest::prelude::*;

use super::page::Page;
use super::{INDEX, SAMPLE, SYNONYMS};

fn odd_queries() -> Vec<String> {
    let mut queries: Vec<String> = [
        "",
        " ",
        "\0",
        "\u{1b}[31m",
        "the",
        "of the and",
        "<img src=x onerror=alert(1)>",
        "</script>",
        "(a+)+$",
        "[",
        "\\",
        "'; --",
        "😀😀",
        "👩‍🔧 flame",
        "\u{202e}emalf",
        "שלום עולם",
        "火炎",
        "\u{feff}flame\u{200b}",
        "ﬂame ＳＥＮＳＯＲ",
        "constructor",
        "__proto__",
        "toString valueOf",
        "0",
        "-1",
        "1e9",
        "..",
        ".",
        "0.",
        "NaN Infinity",
        "flame\nsensor",
        "flame\tsensor",
        "A\u{301}",
    ]
    .map(String::from)
    .to_vec();
    queries.push("a".repeat(10_000));
    queries.push("flame ".repeat(2_000));
    queries.push("😀".repeat(5_000));
    queries.push(format!("{}😀", "x".repeat(255)));
    queries.push((0..5_000).map(|at| format!("w{at} ")).collect());
    queries
}

#[test]
fn odd_queries_answer_alike() {
    let page = Page::new(&files(&SAMPLE, &SYNONYMS));
    let finder = Finder::new(&SAMPLE, &SYNONYMS).unwrap();
    for query in odd_queries() {
        let here: Vec<u32> = rank(&INDEX, &plan(&INDEX, &query)).iter().map(|one| one.document).collect();
        let there: Vec<(u32, bool, u32, f64)> = page.ask("order(index, input)", &query);
        let start: String = query.chars().take(30).collect();
        assert_eq!(there.iter().map(|one| one.0).collect::<Vec<_>>(), here, "{start:?}");
        assert_eq!(finder.find(&query, 1000).unwrap().total, here.len(), "{start:?}");
        // Marking may find nothing, but must not throw either.
        let _: Vec<usize> = page
            .ask("index.titles.all().map((title) => blueconeSearch.marks(index, blueconeSearch.plan(index, input), title).length)", &query);
    }
    let marked: Vec<String> = page.ask(
        "blueconeSearch.marks(index, blueconeSearch.plan(index, input), 'Clean the Flame sensors').map(({ from, to }) => from + '-' + to)",
        "ﬂame ＳＥＮＳＯＲ",
    );
    assert_eq!(marked, ["10-15"], "`sensors` is no word of the sample");
    let flames = rank(&INDEX, &plan(&INDEX, &"flame ".repeat(2_000)));
    assert!(flames.len() > 5, "the start of a long query still counts");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn any_text_answers_alike(query in any::<String>()) {
        thread_local! { static PAGE: Page = Page::new(&files(&SAMPLE, &SYNONYMS)); }
        let here: Vec<u32> = rank(&INDEX, &plan(&INDEX, &query)).iter().map(|one| one.document).collect();
        let there: Vec<(u32, bool, u32, f64)> = PAGE.with(|page| page.ask("order(index, input)", &query));
        prop_assert_eq!(there.iter().map(|one| one.0).collect::<Vec<_>>(), here);
    }
}

/// Loads the files as a page would, one of them changed.
fn load(files: &[(String, Vec<u8>)]) -> Page {
    let page = Page::new(&[]);
    for (_, bytes) in files {
        // A file that is no longer JavaScript is reported by the browser and changes nothing.
        page.ask::<bool>("(() => { try { (0, eval)(input); return true; } catch { return false; } })()", String::from_utf8_lossy(bytes));
    }
    page.run("const loaded = blueconeSearch.openIndex();");
    page
}

const WORKS: &str = "(() => {
    if (loaded === null) return null;
    const plan = blueconeSearch.plan(loaded, input);
    const came = [...blueconeSearch.needed(loaded, plan)].map(blueconeSearch.fill);
    loaded.titles.all().forEach((_, at) => blueconeSearch.textOf(loaded, at));
    return [blueconeSearch.rank(loaded, plan).length, came.every((one) => one)];
})()";

#[test]
fn a_missing_shard_leaves_the_rest() {
    let all = files(&super::generated::documents(300), &[]);
    let index = bluecone::search::Index::build(super::generated::documents(300), &[]);
    let postings_files = all.len();
    assert!(postings_files > 3);
    let words: Vec<&str> = index.surfaces.iter().step_by(50).map(|surface| surface.word.as_str()).collect();
    let mut partly = 0;
    for gone in (1..all.len()).step_by(7) {
        let mut rest = all.clone();
        rest.remove(gone);
        let page = load(&rest);
        let answers: Vec<Option<(usize, bool)>> = words.iter().map(|word| page.ask(WORKS, format!("{word} "))).collect();
        let answers: Vec<(usize, bool)> = answers.into_iter().map(|answer| answer.expect("the words are there")).collect();
        assert!(answers.iter().any(|(found, came)| *found > 0 && *came), "other words are still found");
        assert!(answers.iter().all(|(found, came)| *came || *found == 0), "what is missing is said to be");
        partly += usize::from(answers.iter().any(|(_, came)| !came));
    }
    assert!(partly > 0, "some of the files hold postings");
}

#[test]
fn damage_anywhere_is_noticed_and_nothing_throws() {
    let all = files(&SAMPLE, &SYNONYMS);
    let mut state = 3_u32;
    let mut next = |below: usize| {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 8) as usize % below
    };
    let intact: Option<(usize, bool)> = load(&all).ask(WORKS, "flame sensor ");
    assert!(intact.is_some_and(|(found, came)| found > 5 && came));
    for at in 0..all.len() {
        for round in 0..60 {
            let mut damaged = all.clone();
            let bytes = &mut damaged[at].1;
            let place = next(bytes.len());
            match round % 3 {
                0 => bytes[place] ^= 1 << next(7),
                1 => bytes.truncate(place),
                _ => {
                    bytes.remove(place);
                }
            }
            let page = load(&damaged);
            let answer: Option<(usize, bool)> = page.ask(WORKS, "flame sensor ");
            // Either it is noticed, or the change did not touch what is read (a space, the last line's end).
            assert!(answer.is_none_or(|answer| !answer.1 || Some(answer) == intact), "file {at}, round {round}: {answer:?}");
        }
    }
}

/// Damage that the checksum cannot see, as a careless writer could make it: decoding still never throws.
#[test]
fn wrong_numbers_with_a_right_sum_do_not_throw() {
    let all = files(&SAMPLE, &SYNONYMS);
    let mut state = 11_u32;
    let mut next = |below: usize| {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 8) as usize % below
    };
    for at in 0..all.len() {
        for _ in 0..60 {
            let mut changed = all.clone();
            let text = String::from_utf8(changed[at].1.clone()).unwrap();
            let mut parts: Vec<String> = text.split('"').map(str::to_owned).collect();
            let mut numbers: Vec<char> = parts[3].chars().collect();
            if numbers.is_empty() {
                continue;
            }
            let place = next(numbers.len());
            numbers[place] = ['A', '/', 'g', '8', 'z'][next(5)];
            parts[3] = numbers.into_iter().collect();
            let step = |sum: u32, unit: u16| (sum ^ u32::from(unit)).wrapping_mul(0x0100_0193);
            let sum = parts[3].encode_utf16().chain(parts[5].encode_utf16()).fold(0x811c_9dc5, step);
            parts[2] = format!(",{sum},");
            changed[at].1 = parts.join("\"").into_bytes();
            let page = load(&changed);
            for query in ["flame sensor ", "ign", "presure", "0.187"] {
                let _: Option<(usize, bool)> = page.ask(WORKS, query);
            }
        }
    }
}
