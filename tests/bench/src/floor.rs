//! The least that any press must do with the same handbook, with nothing checked, linked, indexed or drawn: read and parse
//! the same YAML with the same parser into plain values, turn the same Markdown into HTML with the same renderer, and write
//! the same bytes into a fresh folder. All of it on all cores.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Instant;

use rayon::prelude::*;
use serde_json::Value;
use walkdir::WalkDir;

/// Seconds of each part.
#[derive(Default)]
pub struct Parts {
    pub parse: f64,
    pub render: f64,
    pub write: f64,
}

impl Parts {
    pub fn total(&self) -> f64 {
        self.parse + self.render + self.write
    }
}

/// The fields that hold Markdown.
const PROSE: &[&str] = &[
    "body", "seen", "cause", "signs", "remedy", "hazard", "controls", "when", "where", "how", "meter", "means", "steps", "do", "why", "notes", "note",
    "goal", "normal", "says", "notice", "caution",
];

/// The files of a finished site: path below it, and bytes.
pub fn finished(site: &Path) -> std::io::Result<Vec<(PathBuf, Vec<u8>)>> {
    let mut files = Vec::new();
    for entry in WalkDir::new(site).sort_by_file_name() {
        let entry = entry.map_err(std::io::Error::from)?;
        if entry.file_type().is_file() {
            let below = entry.path().strip_prefix(site).unwrap_or(entry.path()).to_owned();
            files.push((below, fs::read(entry.path())?));
        }
    }
    Ok(files)
}

pub fn run(book: &Path, finished: &[(PathBuf, Vec<u8>)], to: &Path) -> Result<Parts, String> {
    let start = Instant::now();
    let paths: Vec<PathBuf> = WalkDir::new(book).into_iter().flatten().filter(|entry| entry.file_type().is_file()).map(|entry| entry.into_path()).collect();
    let parsed: Result<Vec<Value>, String> = paths
        .par_iter()
        .map(|path| {
            let text = fs::read_to_string(path).map_err(|error| format!("{}: {error}", path.display()))?;
            if path.extension().is_some_and(|ending| ending == "yaml") {
                serde_yaml::from_str(&text).map_err(|error| format!("{}: {error}", path.display()))
            } else {
                Ok(serde_json::json!({ "body": text }))
            }
        })
        .collect();
    let parsed = parsed?;
    let parse = start.elapsed().as_secs_f64();

    let start = Instant::now();
    let n_letters: usize = parsed.par_iter().map(|value| render(value, false)).sum();
    if n_letters == 0 {
        return Err("no Markdown was rendered".to_owned());
    }
    let render = start.elapsed().as_secs_f64();

    let start = Instant::now();
    let mut folders: Vec<PathBuf> = finished.iter().filter_map(|(path, _)| path.parent().map(|parent| to.join(parent))).collect();
    folders.sort_unstable();
    folders.dedup();
    for folder in folders {
        fs::create_dir_all(&folder).map_err(|error| error.to_string())?;
    }
    finished.par_iter().try_for_each(|(path, bytes)| fs::write(to.join(path), bytes)).map_err(|error| error.to_string())?;
    Ok(Parts { parse, render, write: start.elapsed().as_secs_f64() })
}

/// Renders every text that stands in a field of prose; gives the letters of HTML made.
fn render(value: &Value, prose: bool) -> usize {
    match value {
        Value::String(text) if prose => {
            let mut html = String::with_capacity(text.len() * 2);
            pulldown_cmark::html::push_html(&mut html, pulldown_cmark::Parser::new(text));
            html.len()
        }
        Value::Array(items) => items.iter().map(|item| render(item, prose)).sum(),
        Value::Object(fields) => fields.iter().map(|(name, field)| render(field, PROSE.contains(&name.as_str()))).sum(),
        _ => 0,
    }
}
