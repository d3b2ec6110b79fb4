//! Markdown is checked where it stands: its links lead somewhere, and it carries no HTML.

use pulldown_cmark::{Event, LinkType, Options, Parser, Tag};

use super::names::Names;
use crate::diagnostic::{Code, Diagnostic, Problems};
use crate::handbook::{Kind, Name, Prose};
use crate::source::Inset;

/// The extensions that prose may use; the pages read it with the same.
pub const MARKDOWN: Options = Options::ENABLE_TABLES;

/// Address schemes that a link to the outside may have.
const OUTSIDE: [&str; 3] = ["https:", "http:", "mailto:"];

/// Checks one text and gives it with the entries that it links to. What is wrong is told, and reading goes on.
pub fn prose(inset: &Inset, names: &mut Names, problems: &mut Problems) -> Prose {
    let mut links: Vec<Name> = Vec::new();
    for (event, range) in Parser::new_ext(&inset.text, MARKDOWN).into_offset_iter() {
        match event {
            Event::Html(html) | Event::InlineHtml(html) => {
                let shown: String = html.trim().chars().take(40).collect();
                let diagnostic = Diagnostic::new(Code::RawHtml, inset.span(range), format!("expected Markdown, found the HTML `{shown}`"));
                problems.add(diagnostic.hint("write Markdown, or `\\<` for a plain less-than sign"));
            }
            Event::Start(Tag::Link { link_type, dest_url, .. }) if link_type != LinkType::Email => {
                let at = destination(&inset.text, range, &dest_url);
                if let Some(name) = link(&dest_url, inset, at, names, problems)
                    && !links.contains(&name)
                {
                    links.push(name);
                }
            }
            Event::Start(Tag::Image { .. }) => {
                let message = "expected words, found a picture; prose carries no pictures";
                problems.add(Diagnostic::new(Code::UnsafeLink, inset.span(range), message));
            }
            _ => {}
        }
    }
    Prose { markdown: inset.text.clone(), links }
}

fn link(to: &str, inset: &Inset, at: std::ops::Range<usize>, names: &mut Names, problems: &mut Problems) -> Option<Name> {
    let is_outside = OUTSIDE.iter().any(|scheme| to.get(..scheme.len()).is_some_and(|start| start.eq_ignore_ascii_case(scheme)));
    if is_outside || to.starts_with('#') {
        return None;
    }
    let known_prefix = to.split_once(':').is_some_and(|(prefix, _)| Kind::from_prefix(prefix).is_some());
    if known_prefix {
        return names.resolve(to, inset.span(at), &[], problems);
    }
    let message = format!("expected a link to an entry or to an address, found `{to}`");
    let diagnostic = Diagnostic::new(Code::UnsafeLink, inset.span(at), message);
    let diagnostic = match to.split_once(':') {
        Some((prefix, _)) => diagnostic.nearest(prefix, Kind::ALL.iter().map(|kind| kind.prefix())),
        None => diagnostic,
    };
    problems.add(diagnostic.hint("links may be references such as `check:prove-dead`, `https:` or `mailto:` addresses, or `#` anchors"));
    None
}

/// Where the address of a link stands in the text; the whole link if it stands elsewhere (a reference definition).
fn destination(text: &str, range: std::ops::Range<usize>, to: &str) -> std::ops::Range<usize> {
    match text.get(range.clone()).and_then(|link| link.rfind(to)) {
        Some(at) if !to.is_empty() => range.start + at..range.start + at + to.len(),
        _ => range,
    }
}
