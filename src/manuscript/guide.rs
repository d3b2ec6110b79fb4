//! Pages of plain Markdown: `guide/NN-name.md`.

use crate::diagnostic::{Code, Diagnostic, Problems};
use crate::source::{Inset, Placed};

/// One page of the handbook's guide.
#[derive(Debug, Clone)]
pub struct GuidePage {
    /// The file's name without number and ending; the place is the start of the file.
    pub id: Placed<String>,
    /// The number before the name, which orders the pages; pages without one stand last.
    pub number: Option<u32>,
    /// The first `# ` heading.
    pub title: Placed<String>,
    /// The whole file, heading included.
    pub body: Inset,
}

/// A page from its text; `None` after telling that it has no heading.
pub fn page(id: Placed<String>, number: Option<u32>, body: Inset, problems: &mut Problems) -> Option<GuidePage> {
    let Some((start, end)) = heading(&body.text) else {
        problems.add(
            Diagnostic::new(Code::MissingField, id.span, "expected a heading such as `# Title`, found none")
                .hint("the page's first `# ` heading is its title"),
        );
        return None;
    };
    let title = Placed::new(body.text[start..end].to_owned(), body.span(start..end));
    Some(GuidePage { id, number, title, body })
}

/// Where the words of the first `# ` heading stand; headings inside fenced code do not count.
fn heading(text: &str) -> Option<(usize, usize)> {
    let mut start = 0;
    let mut fence: Option<&str> = None;
    for line in text.split_inclusive('\n') {
        let bare = line.trim_start_matches('\u{feff}').trim_start();
        let mark = ["```", "~~~"].into_iter().find(|mark| bare.starts_with(mark));
        match (fence, mark) {
            (None, Some(mark)) => fence = Some(mark),
            (Some(open), Some(mark)) if open == mark => fence = None,
            _ => {}
        }
        if fence.is_none()
            && let Some(words) = bare.strip_prefix("# ")
            && !words.trim().is_empty()
        {
            let from = start + (line.len() - words.len()) + (words.len() - words.trim_start().len());
            return Some((from, from + words.trim().len()));
        }
        start += line.len();
    }
    None
}
