//! Handbooks as texts in memory, and problems as lines.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

use bluecone::diagnostic::Diagnostic;
use bluecone::handbook::Handbook;
use bluecone::manuscript::read_texts;
use bluecone::source::Sources;

/// Texts by path.
pub type Texts = BTreeMap<String, String>;

/// A place in this package.
pub fn package(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// All files below a folder of this package.
pub fn texts(folder: &str) -> Texts {
    fn walk(folder: &Path, root: &Path, texts: &mut Texts) {
        for item in fs::read_dir(folder).unwrap() {
            let path = item.unwrap().path();
            if path.is_dir() {
                walk(&path, root, texts);
            } else {
                let name = path.strip_prefix(root).unwrap().to_str().unwrap().replace('\\', "/");
                texts.insert(name, fs::read_to_string(&path).unwrap());
            }
        }
    }
    let mut found = Texts::new();
    walk(&package(folder), &package(folder), &mut found);
    assert!(!found.is_empty(), "{folder} holds no files");
    found
}

/// Reads and proves; gives the handbook if there is one, the problems in order, and the texts that their places are in.
pub fn proved(texts: &Texts) -> (Option<Handbook>, Vec<Diagnostic>, Sources) {
    let book = read_texts(texts.iter().map(|(path, text)| (path.clone(), text.clone())));
    let (handbook, problems) = bluecone::proof::proof(&book.manuscript, book.problems);
    (handbook, problems.sorted(), book.manuscript.sources)
}

/// Every problem in lines: the place and message, what stands there, then label, further places and hints.
pub fn shown(problems: &[Diagnostic], sources: &Sources) -> String {
    let mut lines = String::new();
    for problem in problems {
        writeln!(lines, "{}", problem.in_one_line(sources)).unwrap();
        writeln!(lines, "    at: {}", excerpt(sources.slice(problem.span))).unwrap();
        if !problem.label.is_empty() {
            writeln!(lines, "    label: {}", problem.label).unwrap();
        }
        for (span, words) in &problem.also {
            let source = sources.get(span.source).unwrap();
            let (line, column) = source.line_column(span.start);
            writeln!(lines, "    also {}:{line}:{column} `{}` {words}", source.path, excerpt(sources.slice(*span))).unwrap();
        }
        for hint in &problem.hints {
            writeln!(lines, "    hint: {hint}").unwrap();
        }
    }
    lines
}

/// What a place covers, on one line.
fn excerpt(text: &str) -> String {
    let line = text.replace('\n', "⏎");
    if line.chars().count() <= 60 { line } else { line.chars().take(59).chain(['…']).collect() }
}
