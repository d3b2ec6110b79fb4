//! The files under `cases/`: handbooks in one text each, with the diagnostics that reading them must give.
//!
//! A line `==== path` begins a file of the handbook, `==== expected` the diagnostics. A small handbook.yaml is added unless
//! the case has its own or says `==== without handbook`. `RENEW_CASES=1` writes what reading gives now into the cases; read
//! the difference before you commit it.

use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

use bluecone::diagnostic::Problems;
use bluecone::manuscript::read_texts;
use bluecone::source::Sources;

const HANDBOOK: &str = "title: A handbook\nshop: Quarry Lane Heating\nedition: First\nbook-id: book\nlanguage: en\nunits: us\n\
    caution: Gas and line voltage can kill.\nstages:\n  - {id: run, title: Run, normal: It burns.}\n";

#[test]
fn every_case_gives_its_diagnostics() {
    let mut paths: Vec<PathBuf> = fs::read_dir(folder()).unwrap().map(|item| item.unwrap().path()).collect();
    paths.sort();
    assert!(paths.len() > 10, "the cases are missing");
    let wrong: Vec<String> = paths.iter().filter_map(|path| check(path)).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/manuscript/cases")
}

/// What differs between a case and what reading it gives.
fn check(path: &Path) -> Option<String> {
    let text = fs::read_to_string(path).unwrap();
    let (files, expected) = text.split_once("==== expected\n").unwrap_or((&text, ""));
    let mut texts: Vec<(String, String)> = Vec::new();
    let mut handbook = true;
    for line in files.split_inclusive('\n') {
        match line.strip_prefix("==== ") {
            Some("without handbook\n") => handbook = false,
            Some(name) => texts.push((name.trim_end_matches('\n').to_owned(), String::new())),
            None => texts.last_mut().expect("a case begins with a path").1.push_str(line),
        }
    }
    if handbook && !texts.iter().any(|(path, _)| path == "handbook.yaml") {
        texts.push(("handbook.yaml".to_owned(), HANDBOOK.to_owned()));
    }
    let book = read_texts(texts);
    let found = shown(book.problems, &book.manuscript.sources);
    if std::env::var_os("RENEW_CASES").is_some() {
        fs::write(path, format!("{files}==== expected\n{found}")).unwrap();
        return None;
    }
    (found != expected).then(|| format!("{}\n--- expected\n{expected}--- found\n{found}", path.display()))
}

/// Every problem in lines: the place and message, then label, further places and hints.
pub fn shown(problems: Problems, sources: &Sources) -> String {
    let mut lines = String::new();
    for problem in problems.sorted() {
        writeln!(lines, "{}", problem.in_one_line(sources)).unwrap();
        if !problem.label.is_empty() {
            writeln!(lines, "    label: {}", problem.label).unwrap();
        }
        for (span, words) in &problem.also {
            let source = sources.get(span.source).unwrap();
            let (line, column) = source.line_column(span.start);
            writeln!(lines, "    also {}:{line}:{column} {words}", source.path).unwrap();
        }
        for hint in &problem.hints {
            writeln!(lines, "    hint: {hint}").unwrap();
        }
    }
    lines
}
