//! The source tree keeps its own rules: who may import whom, who prints, how long files are, and that what the documents name exists.

mod documents;
mod imports;

use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Files below a folder of the repository with this ending: path from the root, and text.
fn texts(folder: &str, ending: &str) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for entry in walkdir::WalkDir::new(root().join(folder)).sort_by_file_name() {
        let entry = entry.expect("an entry");
        if entry.file_type().is_file() && entry.path().extension().is_some_and(|found| found == ending) {
            let text = std::fs::read_to_string(entry.path()).expect("a text file");
            found.push((from_root(entry.path()), text));
        }
    }
    assert!(!found.is_empty(), "no .{ending} file below {folder}");
    found
}

fn from_root(path: &Path) -> String {
    path.strip_prefix(root()).expect("a path in the repository").to_string_lossy().into_owned()
}
