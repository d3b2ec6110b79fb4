//! What README.md and DEVELOPERS.md name exists.

use pulldown_cmark::{Event, Parser, Tag};

use super::root;

const DOCUMENTS: [&str; 2] = ["README.md", "DEVELOPERS.md"];

/// Made by a press or a build, so not in a fresh clone.
const MADE: [&str; 2] = ["site/", "target/"];

fn read(document: &str) -> String {
    std::fs::read_to_string(root().join(document)).unwrap_or_else(|error| panic!("{document}: {error}"))
}

/// Every link's target and every piece of code in running text.
fn named(text: &str) -> (Vec<String>, Vec<String>) {
    let mut links = Vec::new();
    let mut codes = Vec::new();
    for event in Parser::new(text) {
        match event {
            Event::Start(Tag::Link { dest_url, .. } | Tag::Image { dest_url, .. }) => links.push(dest_url.into_string()),
            Event::Code(code) => codes.push(code.into_string()),
            _ => {}
        }
    }
    (links, codes)
}

fn exists(path: &str) -> bool {
    MADE.iter().any(|made| path.starts_with(made)) || root().join(path).exists()
}

#[test]
fn links_lead_to_files_that_exist() {
    let mut wrong = Vec::new();
    for document in DOCUMENTS {
        for link in named(&read(document)).0 {
            let path = link.split('#').next().unwrap_or("");
            let outside = link.contains("://") || link.starts_with("mailto:");
            if !outside && !path.is_empty() && !exists(path) {
                wrong.push(format!("{document}: {link}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:?}");
}

/// A piece of code that begins with a folder of the repository is a path, and must be there.
#[test]
fn paths_in_the_text_exist() {
    let tops: Vec<String> = std::fs::read_dir(root())
        .expect("the repository")
        .filter_map(|entry| entry.ok().filter(|entry| entry.path().is_dir()))
        .map(|entry| format!("{}/", entry.file_name().to_string_lossy()))
        .collect();
    let mut wrong = Vec::new();
    let mut n_paths = 0;
    for document in DOCUMENTS {
        for code in named(&read(document)).1 {
            let is_path = tops.iter().any(|top| code.starts_with(top.as_str())) && !code.contains(['…', '*', ' ', '<', '{']);
            if is_path {
                n_paths += 1;
                if !exists(code.trim_end_matches('/')) && !exists(&code) {
                    wrong.push(format!("{document}: {code}"));
                }
            }
        }
    }
    assert!(n_paths > 0, "the documents name no path");
    assert!(wrong.is_empty(), "{wrong:?}");
}

#[test]
fn the_readme_names_the_two_commands() {
    let text = read("README.md");
    for command in ["cargo run --release -- press", "tests/run"] {
        assert!(text.contains(command), "README.md does not say `{command}`");
    }
}
