//! Presses the search of any text: reads lines of `{"id", "title", "text"}` and writes what a site's search loads.
//!
//! usage: bluecone-bench-search DOCUMENTS.jsonl FOLDER
//!
//! Makes `FOLDER/scripts/search.js` and `FOLDER/search/*.js`, where the press puts them. Documents keep their order. Their kind, other
//! names, summary and figures are empty, and there are no synonyms, since the libraries beside ours are given only title and text.

use std::fs;
use std::path::Path;
use std::process::ExitCode;

use bluecone::search::{Document, files, script};

fn main() -> ExitCode {
    let given: Vec<String> = std::env::args().skip(1).collect();
    let [documents, folder] = given.as_slice() else {
        eprintln!("usage: bluecone-bench-search DOCUMENTS.jsonl FOLDER");
        return ExitCode::from(2);
    };
    match run(Path::new(documents), Path::new(folder)) {
        Ok(words) => {
            println!("{words}");
            ExitCode::SUCCESS
        }
        Err(words) => {
            eprintln!("bluecone-bench-search: {words}");
            ExitCode::FAILURE
        }
    }
}

fn run(documents: &Path, folder: &Path) -> Result<String, String> {
    let text = fs::read_to_string(documents).map_err(|error| format!("{}: {error}", documents.display()))?;
    let documents = text.lines().enumerate().map(|(at, line)| document(line).map_err(|error| format!("line {}: {error}", at + 1)));
    let documents: Vec<Document> = documents.collect::<Result<_, String>>()?;
    let mut files = files(&documents, &[]);
    files.push(("scripts/search.js".to_owned(), script().into_bytes()));
    for (path, content) in &files {
        let path = folder.join(path);
        let parent = path.parent().unwrap_or(folder);
        fs::create_dir_all(parent).and_then(|()| fs::write(&path, content)).map_err(|error| format!("{}: {error}", path.display()))?;
    }
    let bytes: usize = files.iter().map(|(_, content)| content.len()).sum();
    Ok(format!("{} documents, {} files, {bytes} bytes", documents.len(), files.len()))
}

fn document(line: &str) -> Result<Document, String> {
    let value: serde_json::Value = serde_json::from_str(line).map_err(|error| error.to_string())?;
    let field = |name: &str| value[name].as_str().map(str::to_owned).ok_or_else(|| format!("expected a string as `{name}`"));
    let id = field("id")?;
    Ok(Document { address: format!("words/{id}.html"), id, title: field("title")?, text: field("text")?, ..Document::default() })
}
