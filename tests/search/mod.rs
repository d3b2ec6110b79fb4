//! Search: words, ranking, packing, in Rust and in the browser's script.

mod bm25;
mod generated;
mod golden;
mod hostile;
mod judged;
mod near;
mod node;
mod pack;
mod page;
mod words;

use std::path::PathBuf;
use std::sync::LazyLock;

use bluecone::search::{Document, Index};

fn read(name: &str) -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/search").join(name);
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// Forty short entries.
static SAMPLE: LazyLock<Vec<Document>> = LazyLock::new(|| serde_yaml::from_str(&read("sample.yaml")).unwrap());
static SYNONYMS: LazyLock<Vec<Vec<String>>> = LazyLock::new(|| serde_yaml::from_str(&read("synonyms.yaml")).unwrap());
static INDEX: LazyLock<Index> = LazyLock::new(|| Index::build(SAMPLE.as_slice(), &SYNONYMS));

/// Lines of a file of cases: `left => right`, `#` for remarks.
fn cases(text: &str) -> Vec<(String, String)> {
    text.lines()
        .filter(|line| !line.starts_with('#') && !line.is_empty())
        .map(|line| {
            let (left, right) = line.split_once("=>").unwrap_or_else(|| panic!("no => in {line}"));
            (left.strip_suffix(' ').unwrap_or(left).to_owned(), right.trim().to_owned())
        })
        .collect()
}
