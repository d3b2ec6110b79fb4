//! Searching from the terminal: tantivy finds, the ranking orders.

use std::collections::BTreeSet;

use tantivy::collector::DocSetCollector;
use tantivy::query::{BooleanQuery, Occur, Query, TermQuery};
use tantivy::schema::{FAST, Field, IndexRecordOption, Schema, TextFieldIndexing, TextOptions};
use tantivy::{TantivyDocument, Term};

use super::index::FIELDS;
use super::near::nearest;
use super::read::field_texts;
use super::{Document, Found, Hit, Index, plan, rank_among, stem_analyser};

/// The least memory that tantivy's writer takes, in bytes; a handbook stays far below it.
const WRITER_MEMORY: usize = 15_000_000;
const NEAREST: usize = 3;
/// The field that holds a document's place in the list given.
const NUMBER: &str = "number";

/// An index kept for several queries.
pub struct Finder {
    index: Index,
    reader: tantivy::IndexReader,
    fields: [Field; FIELDS],
}

impl Finder {
    /// Indexes the documents in memory, with tantivy and for ranking.
    ///
    /// # Errors
    /// Only if tantivy cannot start its writing thread or allocate.
    pub fn new(documents: &[Document], synonyms: &[Vec<String>]) -> tantivy::Result<Finder> {
        let mut schema = Schema::builder();
        let indexing = TextFieldIndexing::default().set_tokenizer("trade").set_index_option(IndexRecordOption::WithFreqs);
        let options = TextOptions::default().set_indexing_options(indexing);
        let fields = ["title", "names", "figures", "body"].map(|name| schema.add_text_field(name, options.clone()));
        let number = schema.add_u64_field(NUMBER, FAST);
        let tantivy = tantivy::Index::create_in_ram(schema.build());
        tantivy.tokenizers().register("trade", stem_analyser());
        let mut writer = tantivy.writer_with_num_threads(1, WRITER_MEMORY)?;
        for (at, document) in documents.iter().enumerate() {
            let mut added = TantivyDocument::default();
            added.add_u64(number, at as u64);
            fields.iter().zip(field_texts(document)).for_each(|(field, text)| added.add_text(*field, text));
            writer.add_document(added)?;
        }
        writer.commit()?;
        let reader = tantivy.reader_builder().reload_policy(tantivy::ReloadPolicy::Manual).try_into()?;
        Ok(Finder { index: Index::build(documents, synonyms), reader, fields })
    }

    /// The best `limit` documents, in the order in which the page shows them.
    ///
    /// # Errors
    /// Only if tantivy fails to read its memory.
    pub fn find(&self, query: &str, limit: usize) -> tantivy::Result<Found> {
        let plan = plan(&self.index, query);
        let stems: BTreeSet<u32> = plan
            .words
            .iter()
            .flat_map(|word| word.expansions.iter().map(|expansion| expansion.stem))
            .chain(plan.segments.iter().flat_map(|segment| segment.alternatives.iter().flat_map(|other| other.stems.iter().copied())))
            .collect();
        let mut terms: Vec<(Occur, Box<dyn Query>)> = Vec::new();
        for stem in stems {
            for field in self.fields {
                let term = Term::from_field_text(field, &self.index.stems[stem as usize]);
                terms.push((Occur::Should, Box::new(TermQuery::new(term, IndexRecordOption::Basic))));
            }
        }
        let searcher = self.reader.searcher();
        let mut among = BTreeSet::new();
        let numbers =
            searcher.segment_readers().iter().map(|segment| segment.fast_fields().u64(NUMBER)).collect::<tantivy::Result<Vec<_>>>()?;
        for address in searcher.search(&BooleanQuery::new(terms), &DocSetCollector)? {
            among.extend(numbers[address.segment_ord as usize].first(address.doc_id).map(|number| number as u32));
        }
        let ranked = rank_among(&self.index, &plan, &among);
        let nearest = match ranked.is_empty() {
            true => plan.words.iter().flat_map(|word| nearest(&self.index, &word.word, NEAREST)).collect(),
            false => Vec::new(),
        };
        let hits = ranked.iter().take(limit).map(|ranked| {
            let card = &self.index.cards[ranked.document as usize];
            Hit {
                id: card.id.clone(),
                kind: card.kind.clone(),
                title: card.title.clone(),
                address: card.address.clone(),
                summary: card.summary.clone(),
                exact: ranked.exact,
                matched: ranked.matched,
                of: plan.words.len() as u32,
                score: ranked.score,
            }
        });
        Ok(Found { hits: hits.collect(), total: ranked.len(), nearest })
    }
}

/// One query over some documents; [`Finder`] is for several.
///
/// # Errors
/// As [`Finder::new`] and [`Finder::find`].
pub fn find(documents: &[Document], synonyms: &[Vec<String>], query: &str, limit: usize) -> tantivy::Result<Found> {
    Finder::new(documents, synonyms)?.find(query, limit)
}
