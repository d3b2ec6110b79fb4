//! Headings inside prose, as links name them.

use pulldown_cmark::{Event, Parser, Tag, TagEnd};

use super::Prose;

/// A heading's anchor: small letters and digits, other characters as single hyphens.
pub fn slug(text: &str) -> String {
    let mut slug = String::new();
    for letter in text.chars().flat_map(char::to_lowercase) {
        if letter.is_alphanumeric() {
            slug.push(letter);
        } else if !slug.is_empty() && !slug.ends_with('-') {
            slug.push('-');
        }
    }
    slug.truncate(slug.trim_end_matches('-').len());
    if slug.is_empty() { "section".into() } else { slug }
}

/// The anchor of a heading that comes after others with the anchors `before`: a number tells it from one with the same words.
pub fn anchor(words: &str, before: &[String]) -> String {
    let base = slug(words);
    let mut anchor = base.clone();
    let mut number = 2;
    while before.contains(&anchor) {
        anchor = format!("{base}-{number}");
        number += 1;
    }
    anchor
}

/// The anchors of all headings of a piece of Markdown, in order.
pub fn anchors(markdown: &str) -> Vec<String> {
    let mut anchors = Vec::new();
    let mut heading: Option<String> = None;
    for event in Parser::new_ext(markdown, Prose::SYNTAX) {
        match event {
            Event::Start(Tag::Heading { .. }) => heading = Some(String::new()),
            Event::End(TagEnd::Heading(_)) => {
                if let Some(words) = heading.take() {
                    anchors.push(anchor(&words, &anchors));
                }
            }
            Event::Text(text) | Event::Code(text) => {
                if let Some(words) = &mut heading {
                    words.push_str(&text);
                }
            }
            _ => {}
        }
    }
    anchors
}
