//! Scores and orders against tantivy's own, on exact words.

use std::collections::BTreeMap;

use bluecone::search::{Document, Index, Plan, field_length, plan, rank, stem_analyser};
use proptest::prelude::*;
use tantivy::collector::TopDocs;
use tantivy::query::{BooleanQuery, BoostQuery, Occur, Query, TermQuery};
use tantivy::schema::{Field, IndexRecordOption, Schema, TextFieldIndexing, TextOptions};
use tantivy::{TantivyDocument, Term};

use super::generated::documents;
use super::{INDEX, SAMPLE};

/// A tantivy index written here, with what the fields hold spelt out again, so that it shares only the analyser with the press.
struct Reference {
    searcher: tantivy::Searcher,
    fields: [Field; 4],
}

impl Reference {
    fn new(documents: &[[String; 4]]) -> Reference {
        let mut schema = Schema::builder();
        let indexing = TextFieldIndexing::default().set_tokenizer("trade").set_index_option(IndexRecordOption::WithFreqs);
        let options = TextOptions::default().set_indexing_options(indexing);
        let fields = ["a", "b", "c", "d"].map(|name| schema.add_text_field(name, options.clone()));
        let index = tantivy::Index::create_in_ram(schema.build());
        index.tokenizers().register("trade", stem_analyser());
        let mut writer = index.writer_with_num_threads(1, 15_000_000).unwrap();
        for document in documents {
            let mut added = TantivyDocument::default();
            fields.iter().zip(document).for_each(|(field, text)| added.add_text(*field, text));
            writer.add_document(added).unwrap();
        }
        writer.commit().unwrap();
        let searcher = index.reader().unwrap().searcher();
        assert_eq!(searcher.segment_readers().len(), 1, "document numbers are the order of writing");
        Reference { searcher, fields }
    }

    /// Scores by document for stems, each looked for in each field with the field's weight.
    fn scores(&self, stems: &[&str], weights: [f32; 4]) -> BTreeMap<u32, f32> {
        let mut parts: Vec<(Occur, Box<dyn Query>)> = Vec::new();
        for stem in stems {
            for (field, weight) in self.fields.into_iter().zip(weights) {
                let term = TermQuery::new(Term::from_field_text(field, stem), IndexRecordOption::WithFreqs);
                parts.push((Occur::Should, Box::new(BoostQuery::new(Box::new(term), weight))));
            }
        }
        let collector = TopDocs::with_limit(100_000).order_by_score();
        let found = self.searcher.search(&BooleanQuery::new(parts), &collector).unwrap();
        found.into_iter().map(|(score, address)| (address.doc_id, score)).collect()
    }
}

fn spelt_out(document: &Document) -> [String; 4] {
    let title_and_names = format!("{} {}", document.title, document.also.join(" ")).to_lowercase();
    let known: Vec<&str> = title_and_names.split(|c: char| !c.is_alphanumeric()).collect();
    let id: Vec<&str> = document.id.split('-').filter(|word| !known.contains(word)).collect();
    [
        document.title.clone(),
        format!("{} {} {}", document.also.join(" "), document.kind, id.join(" ")),
        document.figures.join(" "),
        format!("{} {}", document.summary, document.text),
    ]
}

/// Words to query: those that no synonym group has, since synonyms are not tantivy's.
fn plain_words(index: &Index) -> Vec<(String, String)> {
    let grouped: Vec<&String> = index.groups.iter().flatten().flatten().collect();
    let stem = |word: &String| index.stems[index.surfaces[index.surface(word).unwrap()].stem as usize].clone();
    let grouped: Vec<String> = grouped.into_iter().map(stem).collect();
    let words = index.surfaces.iter().map(|surface| (surface.word.clone(), index.stems[surface.stem as usize].clone()));
    words.filter(|(word, stem)| !grouped.contains(stem) && is_alone(index, word)).collect()
}

/// Whether a word of six letters or more is looked for by itself and in no other form.
fn is_alone(index: &Index, word: &str) -> bool {
    let alone = |plan: &Plan| {
        plan.words.iter().all(|word| word.expansions.len() == 1) && plan.segments.iter().all(|segment| segment.alternatives.is_empty())
    };
    word.len() > 5 && alone(&plan(index, &format!("{word} ")))
}

/// Our scores and order against the reference's; documents are compared among those with equally many words.
fn compare(index: &Index, reference: &Reference, words: &[(String, String)], weights: [f32; 4]) {
    let query: String = words.iter().map(|(word, _)| format!("{word} ")).collect();
    let mut stems: Vec<&str> = Vec::new();
    // The press looks for each word once, and two words of one stem twice, as two terms.
    let mut seen: Vec<&str> = Vec::new();
    for (word, stem) in words {
        if !seen.contains(&word.as_str()) {
            seen.push(word);
            stems.push(stem);
        }
    }
    let ours = rank(index, &plan(index, &query));
    let theirs = reference.scores(&stems, weights);
    assert_eq!(ours.len(), theirs.len(), "{query}: as many documents");
    let near = |a: f64, b: f64| (a - b).abs() <= 2e-5 * a.abs().max(b.abs());
    for one in &ours {
        let other = f64::from(theirs[&one.document]);
        assert!(near(one.bm25, other), "{query}, document {}: {} against {other}", one.document, one.bm25);
    }
}

/// Bodies only, of few words, so that lengths and counts vary widely.
fn corpus() -> (Vec<Document>, Vec<[String; 4]>) {
    const WORDS: [&str; 12] =
        ["igniter", "burner", "flames", "pressures", "manifold", "gasket", "polarity", "crimped", "sensing", "heater", "valve", "cabinet"];
    let mut state = 7_u32;
    let mut next = |below: u32| {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 8) % below
    };
    let mut documents = Vec::new();
    for at in 0..300 {
        // Up to 900 words, to pass many steps of the length code.
        let length = 1 + next(if at % 3 == 0 { 900 } else { 60 });
        let text: Vec<&str> = (0..length).map(|_| WORDS[(next(12) * next(12) / 12) as usize]).collect();
        documents.push(Document { text: text.join(" "), ..Document::default() });
    }
    let texts = documents.iter().map(|document| [String::new(), String::new(), String::new(), document.text.clone()]).collect();
    (documents, texts)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn one_field_scores_as_tantivy_does(picks in prop::collection::vec(any::<prop::sample::Index>(), 1..6)) {
        thread_local! {
            static CORPUS: (Index, Reference, Vec<(String, String)>) = {
                let (documents, texts) = corpus();
                let index = Index::build(&documents, &[]);
                let words = plain_words(&index);
                (index, Reference::new(&texts), words)
            };
        }
        CORPUS.with(|(index, reference, all)| {
            let words: Vec<_> = picks.iter().map(|pick| all[pick.index(all.len())].clone()).collect();
            compare(index, reference, &words, [1.0; 4]);
        });
    }

    #[test]
    fn four_weighted_fields_score_as_tantivy_does(picks in prop::collection::vec(any::<prop::sample::Index>(), 1..6)) {
        thread_local! {
            static REFERENCE: (Reference, Vec<(String, String)>) =
                (Reference::new(&SAMPLE.iter().map(spelt_out).collect::<Vec<_>>()), plain_words(&INDEX));
        }
        REFERENCE.with(|(reference, all)| {
            let words: Vec<_> = picks.iter().map(|pick| all[pick.index(all.len())].clone()).collect();
            compare(&INDEX, reference, &words, [2.0, 1.4, 1.2, 1.0]);
        });
    }
}

/// Five hundred queries over fifteen hundred articles with words as unevenly common as in prose.
#[test]
fn five_hundred_queries_over_long_texts_score_as_tantivy_does() {
    let documents = documents(1_500);
    let index = Index::build(&documents, &[]);
    let reference = Reference::new(&documents.iter().map(spelt_out).collect::<Vec<_>>());
    let mut state = 11_u32;
    let mut next = |below: usize| {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 8) as usize % below
    };
    let mut found = 0;
    for _ in 0..500 {
        let words: Vec<_> = (0..1 + next(5))
            .map(|_| {
                loop {
                    let surface = &index.surfaces[next(index.surfaces.len())];
                    // A word so rare that a likeness is looked for as well is not tantivy's alone.
                    if is_alone(&index, &surface.word) {
                        break (surface.word.clone(), index.stems[surface.stem as usize].clone());
                    }
                }
            })
            .collect();
        compare(&index, &reference, &words, [2.0, 1.4, 1.2, 1.0]);
        found += usize::from(!rank(&index, &plan(&index, &words[0].0)).is_empty());
    }
    assert_eq!(found, 500);
}

#[test]
fn the_length_code_is_tantivys() {
    for code in 0..=u8::MAX {
        assert_eq!(field_length(code), tantivy::fieldnorm::FieldNormReader::id_to_fieldnorm(code), "{code}");
    }
    let (documents, _) = corpus();
    let index = Index::build(&documents, &[]);
    for (document, lengths) in documents.iter().zip(&index.lengths) {
        let length = document.text.split(' ').count() as u32;
        assert_eq!(lengths[3], tantivy::fieldnorm::FieldNormReader::fieldnorm_to_id(length));
    }
}
