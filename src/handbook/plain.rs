//! Prose without its marks, for readers that take plain text: quizzes, the terminal, search.

use pulldown_cmark::{Event, LinkType, Parser, Tag, TagEnd};

use super::{Handbook, Name, Prose};

impl Handbook {
    /// The prose as one line of plain words; bare links become the title of what they lead to.
    pub fn plain(&self, prose: &Prose) -> String {
        let title = |link: &str| match Name::parse(link).and_then(|name| self.title(&name)) {
            Some(title) => format!("\u{201c}{title}\u{201d}"),
            None => link.to_owned(),
        };
        prose.without_marks(title).split_whitespace().collect::<Vec<_>>().join(" ")
    }
}

impl Prose {
    /// The words without Markdown's marks; paragraphs, headings, items and cells end a line. `bare` says what stands for a
    /// link that is nothing but its target, such as `<check:prove-dead>`.
    pub fn without_marks(&self, bare: impl Fn(&str) -> String) -> String {
        let mut text = String::new();
        let mut in_bare_link = false;
        for event in Parser::new_ext(&self.markdown, Self::SYNTAX) {
            match event {
                Event::Start(Tag::Link { link_type: LinkType::Autolink, dest_url, .. }) => {
                    in_bare_link = true;
                    text.push_str(&bare(&dest_url));
                }
                Event::End(TagEnd::Link) => in_bare_link = false,
                Event::Text(words) if !in_bare_link => text.push_str(&words),
                Event::Code(words) => text.push_str(&words),
                Event::SoftBreak | Event::HardBreak => text.push(' '),
                Event::End(TagEnd::Paragraph | TagEnd::Heading(_) | TagEnd::Item | TagEnd::TableCell | TagEnd::CodeBlock) => {
                    text.push('\n');
                }
                _ => {}
            }
        }
        text.truncate(text.trim_end().len());
        text
    }
}
