//! Prose without its marks, for readers that show plain text: quizzes and the terminal.

use pulldown_cmark::{Event, LinkType, Options, Parser, Tag, TagEnd};

use super::{Handbook, Name, Prose};

impl Handbook {
    /// The prose as one line of plain words; bare links become the title of what they lead to.
    pub fn plain(&self, prose: &Prose) -> String {
        let mut text = String::new();
        let mut bare = false;
        for event in Parser::new_ext(&prose.markdown, Options::ENABLE_TABLES) {
            match event {
                Event::Start(Tag::Link { link_type: LinkType::Autolink, dest_url, .. }) => {
                    bare = true;
                    match Name::parse(&dest_url).and_then(|name| self.title(&name).map(str::to_owned)) {
                        Some(title) => text.push_str(&format!("\u{201c}{title}\u{201d}")),
                        None => text.push_str(&dest_url),
                    }
                }
                Event::End(TagEnd::Link) => bare = false,
                Event::Text(words) if !bare => text.push_str(&words),
                Event::Code(words) => text.push_str(&words),
                Event::SoftBreak
                | Event::HardBreak
                | Event::End(TagEnd::Paragraph | TagEnd::Item | TagEnd::TableCell | TagEnd::Heading(_)) => text.push(' '),
                _ => {}
            }
        }
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    }
}
