//! Search: one index, one ranking, two readers (the browser and the terminal).
//!
//! [`Index`] counts words with tantivy's analysers; [`files`] packs it into classic scripts that a page can load from a folder;
//! [`rank`] orders documents and `src/browser/search-*.js` does the same in the page; [`find`] is the terminal's way in.
//! The input is plain [`Document`]s, so that nothing here knows what an entry is.

mod bits;
mod closeness;
mod columns;
mod documents;
mod find;
mod index;
mod near;
mod pack;
mod plan;
mod rank;
mod read;
mod words;

use serde::{Deserialize, Serialize};

pub use closeness::closeness;
pub use documents::{documents, synonyms};
pub use find::{Finder, find};
pub use index::{Card, Compound, FIELDS, Field, Index, Posting, Surface};
pub use near::{distance, start_distance};
pub use pack::{files, files_of};
pub use plan::{Alternative, Expansion, How, Plan, Segment, Word, plan};
pub use rank::{Ranked, field_length, rank, rank_among};
pub use words::{Token, analyser, split, stem_analyser};

/// One thing that can be found.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Document {
    /// The entry's id; a query that equals it puts the document first. If empty, the last part of the address without `.html`.
    #[serde(default)]
    pub id: String,
    /// Site-relative URL, such as `checks/prove-dead.html`.
    pub address: String,
    /// The kind word as shown, such as `check`; also searchable.
    #[serde(default)]
    pub kind: String,
    pub title: String,
    /// Other names that people use for it.
    #[serde(default)]
    pub also: Vec<String>,
    /// One plain sentence, shown under the title.
    #[serde(default)]
    pub summary: String,
    /// Readings and figures as shown, such as `1 µA` or `0.187 in`.
    #[serde(default)]
    pub figures: Vec<String>,
    /// Comes after other documents that fit as well, such as a page for authors or a source.
    #[serde(default)]
    pub background: bool,
    /// Everything else, as plain text.
    #[serde(default)]
    pub text: String,
}

/// One result for the terminal.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Hit {
    pub id: String,
    pub kind: String,
    pub title: String,
    pub address: String,
    pub summary: String,
    /// The query is this document's title or id.
    pub exact: bool,
    /// How many of the query's words the document has, out of [`Hit::of`].
    pub matched: u32,
    pub of: u32,
    /// Weighted BM25, comparable only within one query.
    pub score: f64,
}

/// What a search came to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Found {
    pub hits: Vec<Hit>,
    /// How many documents match, shown or not.
    pub total: usize,
    /// Known words near the unknown ones, for "did you mean"; filled only if nothing was found.
    pub nearest: Vec<String>,
}

/// The page's search script: splitting, decoding, planning, ranking and the results list, in the order in which they must run.
///
/// A classic script that keeps one global name, `blueconeSearch`.
pub fn script() -> String {
    [
        include_str!("../browser/search-words.js"),
        include_str!("../browser/search-bits.js"),
        include_str!("../browser/search-postings.js"),
        include_str!("../browser/search-near.js"),
        include_str!("../browser/search-surfaces.js"),
        include_str!("../browser/search-documents.js"),
        include_str!("../browser/search-index.js"),
        include_str!("../browser/search-plan.js"),
        include_str!("../browser/search-close.js"),
        include_str!("../browser/search-rank.js"),
        include_str!("../browser/search-excerpt.js"),
        include_str!("../browser/search-recent.js"),
        include_str!("../browser/search.js"),
    ]
    .join("\n")
}
