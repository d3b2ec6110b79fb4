//! `bluecone find`: looks something up in the handbook.

use std::path::PathBuf;

use clap::Args;
use serde_json::json;

use super::{Ending, complain, default_book, say, short, whole_handbook};
use crate::search::Found;

/// Look something up.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  bluecone find no glow
  bluecone find flame curent        typing errors are forgiven
  bluecone find 0.187 --limit 3
  bluecone find lockout --json      for other programs

The order is the same as in the site's own search.")]
pub struct Find {
    /// What to look for
    #[arg(required = true)]
    words: Vec<String>,
    /// The handbook's folder
    #[arg(long, value_name = "DIR", default_value_os_t = default_book())]
    book: PathBuf,
    /// How many entries to show at most
    #[arg(long, value_name = "N", default_value_t = 10)]
    limit: usize,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

pub fn run(call: &Find) -> Ending {
    let query = call.words.join(" ");
    if query.trim().is_empty() {
        complain("expected words to look for, found none; such as `bluecone find no glow`");
        return Ending::WrongCall;
    }
    let handbook = match whole_handbook(&call.book) {
        Ok(handbook) => handbook,
        Err(ending) => return ending,
    };
    match crate::find(&handbook, &query, call.limit) {
        Ok(found) => say(&if call.json { as_json(&query, &found) } else { as_text(&query, &found) }),
        Err(error) => {
            complain(&format!("the search failed: {error}"));
            Ending::MachineFailed
        }
    }
}

fn as_text(query: &str, found: &Found) -> String {
    if found.hits.is_empty() {
        let mut text = format!("nothing found for `{}`\n", short(query));
        if !found.nearest.is_empty() {
            text.push_str(&format!("words near it: {}\n", found.nearest.join(", ")));
        }
        return text;
    }
    let mut text = String::new();
    for hit in &found.hits {
        text.push_str(&format!("{}  [{}]\n    {}\n    {}\n", hit.title, hit.kind, hit.summary, hit.address));
    }
    if found.total > found.hits.len() {
        text.push_str(&format!("{} of {} shown\n", found.hits.len(), found.total));
    }
    text
}

fn as_json(query: &str, found: &Found) -> String {
    format!("{:#}\n", json!({ "query": query, "total": found.total, "hits": found.hits, "nearest": found.nearest }))
}
