use bluecone::search::{Card, Document, Index, files, files_of};
use proptest::prelude::*;
use serde::Deserialize;

use super::page::Page;
use super::{INDEX, SAMPLE, SYNONYMS};

/// Document, counts, forms and places of one posting.
type Unpacking = (u32, [u32; 4], u8, Vec<u16>);

/// What the browser makes of the packed index, spelt out.
#[derive(Debug, Deserialize)]
struct Unpacked {
    surfaces: Vec<(String, u32)>,
    frequencies: Vec<u32>,
    postings: Vec<Vec<Unpacking>>,
    lengths: Vec<u8>,
    totals: [u64; 4],
    groups: Vec<Vec<Vec<String>>>,
    compounds: Vec<[String; 2]>,
    cards: Vec<[String; 4]>,
    lists: Vec<[Vec<String>; 2]>,
}

const UNPACK: &str = "(() => {
    const { titleOf, kindOf, lengthOf, frequencyOf } = blueconeSearch;
    const documents = [...Array(index.count).keys()];
    const lists = [...index.frequencies].map((_, stem) => {
        const list = blueconeSearch.postingsOf(index, stem);
        const counts = blueconeSearch.countsOf(list);
        return [...list.shard.documents.subarray(list.from, list.to)].map((document, at) => {
            const { forms, places } = blueconeSearch.postingOf(index, stem, document);
            return [document, counts[at], forms, [...places]];
        });
    });
    return {
        surfaces: [...index.stemOf].map((stem, at) => [index.surfaces.at(at), stem]), frequencies: [...index.frequencies].map((_, stem) => frequencyOf(index, stem)), postings: lists,
        lengths: documents.flatMap((at) => [0, 1, 2, 3].map((field) => lengthOf(index, at, field))), totals: index.totals, groups: index.groups, compounds: index.compounds.all().map((line) => line.split(' ')),
        cards: documents.map((at) => [blueconeSearch.idOf(index, at), index.kinds[kindOf(index, at)], titleOf(index, at), blueconeSearch.addressOf(index, at)]),
        lists: documents.map((at) => [blueconeSearch.othersOf(index, at), blueconeSearch.textOf(index, at)]),
    };
})()";

fn assert_round_trip(index: &Index) {
    let page = Page::new(&files_of(index));
    let found: Unpacked = page.ask(UNPACK, ());
    assert_eq!(found.surfaces, index.surfaces.iter().map(|surface| (surface.word.clone(), surface.stem)).collect::<Vec<_>>());
    let lists: Vec<_> = (0..index.stems.len() as u32).map(|stem| index.postings(stem)).collect();
    assert_eq!(found.frequencies, lists.iter().map(|list| list.len() as u32).collect::<Vec<_>>());
    let postings: Vec<Vec<_>> = lists
        .iter()
        .map(|list| list.iter().map(|posting| (posting.document, posting.counts, posting.forms, index.places(posting).to_vec())).collect())
        .collect();
    assert_eq!(found.postings, postings);
    assert_eq!(found.lengths, index.lengths.concat());
    assert_eq!(found.totals, index.totals);
    assert_eq!(found.groups, index.groups);
    let compounds: Vec<[String; 2]> = index.compounds.iter().map(|compound| [compound.first.clone(), compound.second.clone()]).collect();
    assert_eq!(found.compounds, compounds);
    let cards: Vec<[String; 4]> =
        index.cards.iter().map(|card| [&card.id, &card.kind, &card.title, &card.address].map(Clone::clone)).collect();
    assert_eq!(found.cards, cards);
    let text = |card: &Card| std::iter::once(&card.summary).chain(&card.text).cloned().collect::<Vec<_>>();
    let lists: Vec<[Vec<String>; 2]> = index.cards.iter().map(|card| [card.names.clone(), text(card)]).collect();
    assert_eq!(found.lists, lists);
}

#[test]
fn the_sample_comes_back_whole() {
    assert_round_trip(&INDEX);
}

/// Enough documents for several files of postings and summaries.
fn many(count: usize) -> Vec<Document> {
    let words: Vec<&str> = INDEX.surfaces.iter().map(|surface| surface.word.as_str()).collect();
    let text = |at: usize, length: usize| -> String {
        (0..length).map(|place| words[(at * 7919 + place * place * 31 + place * at) % words.len()]).collect::<Vec<_>>().join(" ")
    };
    (0..count)
        .map(|at| Document {
            id: format!("entry-{at}"),
            address: format!("checks/entry-{at}.html"),
            kind: "check".into(),
            title: text(at, 4),
            summary: text(at + 1, 9),
            text: text(at + 2, 120),
            ..Document::default()
        })
        .collect()
}

#[test]
fn several_files_come_back_whole() {
    let index = Index::build(many(600), &SYNONYMS);
    let files = files_of(&index);
    assert!(files.len() > 5, "{} files", files.len());
    for (path, bytes) in &files[1..] {
        assert!(bytes.len() < 30_000, "{path} has {} bytes", bytes.len());
    }
    assert_round_trip(&index);
}

#[test]
fn the_same_bytes_twice_and_names_by_content() {
    let first = files(&SAMPLE, &SYNONYMS);
    assert_eq!(first, files(&SAMPLE, &SYNONYMS));
    assert_eq!(first[0].0, "search/words.js");
    let mut changed = SAMPLE.clone();
    changed[0].summary.push('!');
    let second = files(&changed, &SYNONYMS);
    let names = |files: &[(String, Vec<u8>)]| files[1..].iter().map(|(path, _)| path.clone()).collect::<Vec<_>>();
    assert_ne!(names(&first), names(&second), "a changed file has another name");
    let kept = second[1..].iter().filter(|file| first.contains(file)).count();
    assert_eq!(kept, second.len() - 2, "only the file of summaries moved");
}

#[test]
fn no_documents_and_odd_documents_pack() {
    assert_round_trip(&Index::build(&[], &[]));
    assert_round_trip(&Index::build(&[], &SYNONYMS));
    let odd = Document {
        id: "other".into(),
        address: "a b/\"quoted\"\\\u{2028}.html".into(),
        kind: "\t".into(),
        title: "</script>\u{c}\u{b}\n\"\\ \u{0} 火炎 😀".into(),
        also: vec![String::new(), "𝔸𝔹 ꯍ \u{e000}".into()],
        summary: "\\u0041 \r\n".into(),
        ..Document::default()
    };
    assert_round_trip(&Index::build(&[Document::default(), odd.clone(), odd], &[vec!["|".into(), "a".into(), "b c".into()]]));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    #[test]
    fn any_documents_come_back_whole(texts in prop::collection::vec(prop::array::uniform5("\\PC{0,20}|[a-zé𝔸火 ]{0,40}"), 0..8)) {
        let documents: Vec<Document> = texts
            .iter()
            .map(|[id, address, title, also, text]| Document {
                id: id.clone(),
                address: address.clone(),
                title: title.clone(),
                also: vec![also.clone()],
                text: text.repeat(20),
                ..Document::default()
            })
            .collect();
        let groups: Vec<Vec<String>> = texts.iter().map(|names| names.to_vec()).collect();
        assert_round_trip(&Index::build(&documents, &groups));
    }
}
