//! The authors' guide: what it shows as YAML must hold.
//!
//! A block that begins with `# shop-book/…`, `# content/…` or `# camp-book/…` is a whole file of that path; one that
//! begins with `# a piece of an entry` is not whole and is only read as YAML.

mod language;
mod own_sum;

use std::collections::BTreeMap;
use std::fs;

use bluecone::diagnostic::{Code, Problems, Severity};
use bluecone::handbook::Kind;
use bluecone::manuscript::parse_yaml;
use bluecone::source::SourceId;

use crate::proof::folder::{Texts, package, proved, shown, texts};

/// One fenced block of YAML: where it stands, and its text without the fence's own indentation.
struct Block {
    place: String,
    text: String,
}

fn blocks() -> Vec<Block> {
    let mut pages: Vec<_> = fs::read_dir(package("content/guide")).unwrap().map(|item| item.unwrap().path()).collect();
    pages.sort();
    let mut blocks = Vec::new();
    for page in pages {
        let name = page.file_name().unwrap().to_str().unwrap().to_owned();
        let text = fs::read_to_string(&page).unwrap();
        let mut open: Option<(usize, Block)> = None;
        for (line, words) in text.lines().enumerate() {
            match &mut open {
                None if words.trim_start() == "```yaml" => {
                    let indent = words.len() - words.trim_start().len();
                    open = Some((indent, Block { place: format!("{name}:{}", line + 1), text: String::new() }));
                }
                None => {}
                Some(_) if words.trim() == "```" => blocks.extend(open.take().map(|(_, block)| block)),
                Some((indent, block)) => {
                    assert!(words.len() < *indent || words[..*indent].trim().is_empty(), "{name}:{}: outside its fence", line + 1);
                    block.text += words.get(*indent..).unwrap_or("");
                    block.text.push('\n');
                }
            }
        }
        assert!(open.is_none(), "{name}: a block is not closed");
    }
    assert!(blocks.len() > 20, "the guide shows only {} blocks of YAML", blocks.len());
    blocks
}

/// Hints send authors to the guide's page on a kind, by the name of its folder.
#[test]
fn the_pages_that_hints_name_are_there() {
    let pages = fs::read_dir(package("content/guide")).unwrap().map(|item| fs::read_to_string(item.unwrap().path()).unwrap());
    let titles: Vec<String> = pages.filter_map(|text| text.lines().next()?.strip_prefix("# ").map(str::to_owned)).collect();
    let kinds = bluecone::manuscript::Kind::ALL.iter().filter(|kind| **kind != bluecone::manuscript::Kind::Guide);
    for about in kinds.map(|kind| kind.folder()).chain(["the handbook file"]) {
        assert!(titles.iter().any(|title| title.to_lowercase().starts_with(about)), "the guide has no page on {about}");
    }
}

/// The whole files of one folder, by path in it, and where each stands in the guide.
fn whole(folder: &str) -> BTreeMap<String, Block> {
    let mut files = BTreeMap::new();
    for block in blocks() {
        let first = block.text.lines().next().unwrap_or("").to_owned();
        if let Some(path) = first.strip_prefix("# ").and_then(|path| path.strip_prefix(folder)) {
            let place = block.place.clone();
            assert!(files.insert(path.to_owned(), block).is_none(), "{place}: {folder}{path} is shown twice");
        }
    }
    files
}

#[test]
fn every_block_says_what_it_is() {
    for block in blocks() {
        let first = block.text.lines().next().unwrap_or("");
        let known = ["# a piece of an entry", "# shop-book/", "# content/", "# camp-book/"];
        assert!(known.iter().any(|known| first.starts_with(known)), "{}: the block begins with `{first}`", block.place);
    }
}

#[test]
fn every_block_can_be_read_as_yaml() {
    for block in blocks() {
        let mut problems = Problems::default();
        let node = parse_yaml(SourceId(0), &block.text, &mut problems);
        // A piece that is nothing but a comment holds nothing, and that is fine.
        let only_comments = block.text.lines().all(|line| line.starts_with('#') || line.trim().is_empty());
        assert!(node.is_some() || only_comments, "{}: {:?}", block.place, problems.sorted());
    }
}

#[test]
fn the_first_handbook_of_the_guide_has_no_problem() {
    let files: Texts = whole("shop-book/").into_iter().map(|(path, block)| (path, block.text)).collect();
    assert!(files.len() >= 5, "the guide's first handbook has only {} files", files.len());
    let (handbook, problems, sources) = proved(&files);
    assert_eq!(shown(&problems, &sources), "");
    assert!(handbook.is_some());
}

#[test]
fn the_entries_that_the_guide_shows_fit_into_the_demo_handbook() {
    let mut files = texts("content");
    let shown_files = whole("content/");
    assert!(shown_files.len() >= 12, "the guide shows only {} whole entries", shown_files.len());
    for (path, block) in shown_files {
        files.insert(path, block.text);
    }
    let (handbook, problems, sources) = proved(&files);
    let errors: Vec<_> = problems.into_iter().filter(|problem| problem.severity() == Severity::Error).collect();
    assert_eq!(shown(&errors, &sources), "");
    assert!(handbook.is_some());
}

#[test]
fn the_demo_handbook_has_no_problem() {
    let (handbook, problems, sources) = proved(&texts("content"));
    assert_eq!(shown(&problems, &sources), "");
    assert!(handbook.unwrap().entries().count() > 100);
}

#[test]
fn the_page_of_problems_tells_of_every_code() {
    let (handbook, _, _) = proved(&texts("content"));
    let handbook = handbook.unwrap();
    let page = handbook.guide.iter().find(|page| page.id == "problems").unwrap();
    for code in Code::ALL {
        assert!(page.text.markdown.contains(&format!("\n## {}\n", code.name())), "{} is missing", code.name());
    }
    let links = handbook.guide.iter().flat_map(|page| &page.text.links);
    assert!(links.filter(|link| link.kind == Kind::Guide).any(|link| link.id == "problems"), "no page of the guide links to it");
}
