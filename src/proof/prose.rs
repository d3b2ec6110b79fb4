//! Markdown is checked where it stands: its links lead somewhere, and it carries no HTML.

use std::ops::Range;

use pulldown_cmark::{Event, LinkType, Parser, Tag};

use super::names::{Names, excerpt};
use crate::diagnostic::{Code, Diagnostic, Problems, nearest};
use crate::handbook::{Kind, Name, Prose, anchors};
use crate::source::Inset;

/// Address schemes that a link to the outside may have.
const OUTSIDE: [&str; 3] = ["https:", "http:", "mailto:"];

/// Checks one text and gives it with the entries that it links to. What is wrong is told, and reading goes on.
pub fn prose(inset: &Inset, names: &mut Names, problems: &mut Problems) -> Prose {
    let mut links: Vec<Name> = Vec::new();
    let mut headings: Vec<(String, Range<usize>)> = Vec::new();
    let mut events = Parser::new_ext(&inset.text, Prose::SYNTAX).into_offset_iter();
    while let Some((event, range)) = events.next() {
        match event {
            // A block of HTML is told once, not line by line: its lines come as `Event::Html`.
            Event::Start(Tag::HtmlBlock) | Event::InlineHtml(_) => html(inset, range, problems),
            Event::Start(Tag::Link { link_type, dest_url, id, .. }) if link_type != LinkType::Email => {
                // The address of `[words][id]` stands elsewhere.
                let definition =
                    events.reference_definitions().get(&id).filter(|_| !matches!(link_type, LinkType::Inline | LinkType::Autolink));
                let at = destination(&inset.text, definition.map_or(range, |definition| definition.span.clone()), &dest_url);
                if let Some(heading) = dest_url.strip_prefix('#') {
                    headings.push((heading.to_owned(), at));
                } else if let Some(name) = link(&dest_url, inset, at, names, problems)
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
    to_headings(inset, &headings, problems);
    Prose { markdown: inset.text.clone(), links }
}

/// Links to headings lead to one of the same text.
fn to_headings(inset: &Inset, wanted: &[(String, Range<usize>)], problems: &mut Problems) {
    if wanted.is_empty() {
        return;
    }
    let known = anchors(&inset.text);
    for (heading, at) in wanted.iter().filter(|(heading, _)| !known.contains(heading)) {
        let message = format!("no heading of this text is called `#{}`", excerpt(heading));
        let diagnostic = Diagnostic::new(Code::BrokenLink, inset.span(at.clone()), message);
        let hint = match known.as_slice() {
            [] => "the text has no headings; a link to another entry is its kind and id, such as `check:prove-dead`".to_owned(),
            _ => format!("its headings: {}", known.iter().map(|known| format!("`#{known}`")).collect::<Vec<_>>().join(", ")),
        };
        problems.add(diagnostic.nearest(heading, known.iter().map(String::as_str)).hint(hint));
    }
}

fn html(inset: &Inset, range: Range<usize>, problems: &mut Problems) {
    let text = &inset.text[range.clone()];
    let shown: Vec<&str> = text.split_whitespace().collect();
    let at = range.start..range.start + text.trim_end().len();
    let message = format!("expected Markdown, found the HTML `{}`", excerpt(&shown.join(" ")));
    let diagnostic = Diagnostic::new(Code::RawHtml, inset.span(at), message);
    problems.add(diagnostic.hint("write Markdown, or `\\<` for a plain less-than sign"));
}

fn link(to: &str, inset: &Inset, at: Range<usize>, names: &mut Names, problems: &mut Problems) -> Option<Name> {
    let is_outside = OUTSIDE.iter().any(|scheme| to.get(..scheme.len()).is_some_and(|start| start.eq_ignore_ascii_case(scheme)));
    if is_outside {
        return None;
    }
    let known_prefix = to.split_once(':').is_some_and(|(prefix, _)| Kind::from_prefix(prefix).is_some());
    if known_prefix {
        return names.resolve(to, inset.span(at), &[], problems);
    }
    let found = if to.is_empty() { "nothing".to_owned() } else { format!("`{}`", excerpt(to)) };
    let message = format!("expected a link to an entry or to an address, found {found}");
    let is_footnote =
        inset.text.get(..at.start).unwrap_or_default().rsplit('\n').next().is_some_and(|line| line.trim_start().starts_with("[^"));
    let mut diagnostic = Diagnostic::new(Code::UnsafeLink, inset.span(at), message);
    if let Some((prefix, id)) = to.split_once(':')
        && let Some(near) = nearest(prefix, Kind::ALL.iter().map(|kind| kind.prefix()))
    {
        diagnostic = diagnostic.hint(format!("did you mean `{near}:{}`?", excerpt(id)));
    }
    if is_footnote {
        problems.add(diagnostic.hint("footnotes are not taken: put the words in brackets, or the source under `sources`"));
        return None;
    }
    problems.add(diagnostic.hint("links may be references such as `check:prove-dead`, `https:` or `mailto:` addresses, or headings of the same text such as `#before-you-start`"));
    None
}

/// Where the address of a link or of a definition stands in the text; the whole of it if it is spelled otherwise there.
fn destination(text: &str, range: Range<usize>, to: &str) -> Range<usize> {
    let Some(link) = text.get(range.clone()).filter(|_| !to.is_empty()) else { return range };
    // The words before the address, and the title behind it, may hold the same text.
    let after_words = link.rfind("](").or_else(|| link.find("]:")).map_or(0, |words| words + 2);
    match link[after_words..].find(to).map(|at| at + after_words).or_else(|| link.find(to)) {
        Some(at) => range.start + at..range.start + at + to.len(),
        None => range,
    }
}
