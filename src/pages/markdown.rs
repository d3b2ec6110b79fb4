//! Prose: Markdown to HTML, with links between entries, headings that fit into their page, and code highlighted.
//!
//! Raw HTML never passes: what looks like a tag is shown as text. Links lead to entries, to anchors, or to `http`, `https`
//! and `mailto` addresses; anything else loses its link and keeps its words.

use std::fmt::Write;

use pulldown_cmark::{Alignment, CodeBlockKind, CowStr, Event, HeadingLevel, LinkType, Parser, Tag, TagEnd};

use super::{Address, highlight};
use crate::formula::{escape, push_escaped};
use crate::handbook::{Handbook, Name, Prose, anchor};

/// Where a piece of prose stands.
pub(super) struct Setting<'a> {
    pub handbook: &'a Handbook,
    pub here: &'a Address,
    /// The level that the prose's highest headings get, 1 to 6.
    pub level: u8,
    /// The field's name; headings' ids begin with it, since a page shows several pieces. Empty for a page that is one piece.
    pub part: &'a str,
}

impl Setting<'_> {
    /// The id on the page of a heading with this anchor.
    fn id(&self, anchor: &str) -> String {
        if self.part.is_empty() { anchor.to_owned() } else { format!("{}-{anchor}", self.part) }
    }
}

/// Draws a piece of prose as HTML blocks.
pub(super) fn html(markdown: &str, setting: &Setting) -> String {
    let mut writer = Writer::new(setting);
    writer.highest = highest_heading(markdown);
    for event in Parser::new_ext(markdown, Prose::SYNTAX) {
        writer.event(event);
    }
    writer.out
}

/// Draws a short piece: if it is a single paragraph, without the paragraph's element, so that it can stand in a list or a cell.
pub(super) fn inline(markdown: &str, setting: &Setting) -> String {
    let whole = html(markdown, setting);
    match whole.strip_prefix("<p>").and_then(|rest| rest.strip_suffix("</p>\n")) {
        Some(inside) if !inside.contains("<p>") => inside.to_owned(),
        _ => whole,
    }
}

/// The level of the highest heading as written; 1 without one. Some authors begin with `#`, and some with `##`.
fn highest_heading(markdown: &str) -> u8 {
    // Headings are marked with `#`, or underlined.
    if !markdown.contains(['#', '=', '-']) {
        return 1;
    }
    let levels = Parser::new_ext(markdown, Prose::SYNTAX).filter_map(|event| match event {
        Event::Start(Tag::Heading { level, .. }) => Some(level as u8),
        _ => None,
    });
    levels.min().unwrap_or(1)
}

struct Writer<'a> {
    setting: &'a Setting<'a>,
    out: String,
    /// The level as written of headings that get the setting's level.
    highest: u8,
    /// Level of the last heading written; the next may be one deeper at most.
    level: u8,
    anchors: Vec<String>,
    /// The heading being read: its level and where its text begins in `out`.
    heading: Option<(u8, usize)>,
    /// Plain words of the heading being read.
    words: String,
    /// Closing text of each open link.
    links: Vec<&'static str>,
    /// The reference of an open `<kind:id>` link, whose text is replaced by the entry's title.
    untitled: Option<Name>,
    /// Language and text of the open code block.
    code: Option<(String, String)>,
    alignments: Vec<Alignment>,
    column: usize,
    in_head: bool,
}

impl<'a> Writer<'a> {
    fn new(setting: &'a Setting<'a>) -> Self {
        Self {
            setting,
            out: String::new(),
            highest: 1,
            level: setting.level.saturating_sub(1),
            anchors: Vec::new(),
            heading: None,
            words: String::new(),
            links: Vec::new(),
            untitled: None,
            code: None,
            alignments: Vec::new(),
            column: 0,
            in_head: false,
        }
    }

    fn event(&mut self, event: Event) {
        match event {
            Event::Start(tag) => self.start(tag),
            Event::End(tag) => self.end(tag),
            Event::Text(text) => self.text(&text),
            Event::Code(text) => {
                self.words.push_str(&text);
                let _ = write!(self.out, "<code>{}</code>", escape(&text));
            }
            // A proved handbook holds none; shown as text so that nothing slips through.
            Event::Html(text) | Event::InlineHtml(text) => self.text(&text),
            Event::SoftBreak => self.out.push('\n'),
            Event::HardBreak => self.out.push_str("<br>\n"),
            Event::Rule => self.out.push_str("<hr>\n"),
            Event::TaskListMarker(_) | Event::FootnoteReference(_) | Event::InlineMath(_) | Event::DisplayMath(_) => {}
        }
    }

    fn text(&mut self, text: &str) {
        if let Some((_, code)) = &mut self.code {
            code.push_str(text);
        } else if self.untitled.is_none() {
            self.words.push_str(text);
            push_escaped(&mut self.out, text);
        }
    }

    fn start(&mut self, tag: Tag) {
        match tag {
            Tag::Paragraph => self.out.push_str("<p>"),
            Tag::Heading { level, .. } => self.start_heading(level),
            Tag::BlockQuote(_) => self.out.push_str("<blockquote>\n"),
            Tag::CodeBlock(kind) => {
                let language = match kind {
                    CodeBlockKind::Fenced(info) => info.split_whitespace().next().unwrap_or("").to_owned(),
                    CodeBlockKind::Indented => String::new(),
                };
                self.code = Some((language, String::new()));
            }
            Tag::List(None) => self.out.push_str("<ul>\n"),
            Tag::List(Some(1)) => self.out.push_str("<ol>\n"),
            Tag::List(Some(start)) => {
                let _ = writeln!(self.out, "<ol start=\"{start}\">");
            }
            Tag::Item => self.out.push_str("<li>"),
            Tag::Emphasis => self.out.push_str("<em>"),
            Tag::Strong => self.out.push_str("<strong>"),
            Tag::Strikethrough => self.out.push_str("<del>"),
            Tag::Link { link_type, dest_url, .. } => self.start_link(link_type, &dest_url),
            // A handbook has no pictures of its own: the words that stand for one are shown.
            Tag::Image { .. } => self.out.push_str("<em>"),
            Tag::Table(alignments) => {
                self.alignments = alignments;
                // A wide table scrolls inside its own box, which the keyboard must be able to reach.
                self.out.push_str("<div class=\"scroll\" role=\"group\" aria-label=\"Table\" tabindex=\"0\"><table>\n");
            }
            Tag::TableHead => {
                self.in_head = true;
                self.column = 0;
                self.out.push_str("<thead><tr>");
            }
            Tag::TableRow => {
                self.column = 0;
                self.out.push_str("<tr>");
            }
            Tag::TableCell => {
                let class = match self.alignments.get(self.column) {
                    Some(Alignment::Right) => " class=\"end\"",
                    Some(Alignment::Center) => " class=\"mid\"",
                    _ => "",
                };
                self.column += 1;
                let (name, scope) = if self.in_head { ("th", " scope=\"col\"") } else { ("td", "") };
                let _ = write!(self.out, "<{name}{scope}{class}>");
            }
            _ => {}
        }
    }

    fn end(&mut self, tag: TagEnd) {
        match tag {
            TagEnd::Paragraph => self.out.push_str("</p>\n"),
            TagEnd::Heading(_) => self.end_heading(),
            TagEnd::BlockQuote(_) => self.out.push_str("</blockquote>\n"),
            TagEnd::CodeBlock => {
                if let Some((language, code)) = self.code.take() {
                    self.out.push_str(&highlight::block(&language, &code));
                }
            }
            TagEnd::List(ordered) => self.out.push_str(if ordered { "</ol>\n" } else { "</ul>\n" }),
            TagEnd::Item => self.out.push_str("</li>\n"),
            TagEnd::Emphasis | TagEnd::Image => self.out.push_str("</em>"),
            TagEnd::Strong => self.out.push_str("</strong>"),
            TagEnd::Strikethrough => self.out.push_str("</del>"),
            TagEnd::Link => self.end_link(),
            TagEnd::Table => self.out.push_str("</tbody></table></div>\n"),
            TagEnd::TableHead => {
                self.in_head = false;
                self.out.push_str("</tr></thead>\n<tbody>\n");
            }
            TagEnd::TableRow => self.out.push_str("</tr>\n"),
            TagEnd::TableCell => self.out.push_str(if self.in_head { "</th>" } else { "</td>" }),
            _ => {}
        }
    }

    fn start_heading(&mut self, level: HeadingLevel) {
        let wanted = self.setting.level.saturating_add(level as u8 - self.highest);
        self.level = wanted.min(self.level + 1).clamp(1, 6);
        self.words.clear();
        self.heading = Some((self.level, self.out.len()));
    }

    fn end_heading(&mut self) {
        let Some((level, at)) = self.heading.take() else { return };
        let anchor = anchor(&self.words, &self.anchors);
        let inside = self.out.split_off(at);
        let _ = writeln!(self.out, "<h{level} id=\"{}\">{inside}</h{level}>", escape(&self.setting.id(&anchor)));
        self.anchors.push(anchor);
    }

    fn start_link(&mut self, link_type: LinkType, target: &CowStr) {
        let (reference, anchor) = target.split_once('#').map_or((target.as_ref(), ""), |(name, anchor)| (name, anchor));
        if let Some(name) = Name::parse(reference).filter(|name| self.setting.handbook.title(name).is_some()) {
            let href = Address::entry(&name).from(self.setting.here);
            let anchor = if anchor.is_empty() { String::new() } else { format!("#{anchor}") };
            let _ = write!(self.out, "<a href=\"{}{}\">", escape(&href), escape(&anchor));
            self.links.push("</a>");
            if link_type == LinkType::Autolink {
                self.untitled = Some(name);
            }
            return;
        }
        let outside = ["http://", "https://", "mailto:"].iter().any(|scheme| starts_with_ignoring_case(target, scheme));
        if outside || link_type == LinkType::Email {
            let mail = if link_type == LinkType::Email { "mailto:" } else { "" };
            let _ = write!(self.out, "<a href=\"{mail}{}\" rel=\"noopener noreferrer\">", escape(target));
            self.links.push("</a>");
        } else if let Some(anchor) = target.strip_prefix('#') {
            let _ = write!(self.out, "<a href=\"#{}\">", escape(&self.setting.id(anchor)));
            self.links.push("</a>");
        } else {
            self.links.push("");
        }
    }

    fn end_link(&mut self) {
        if let Some(title) = self.untitled.take().and_then(|name| self.setting.handbook.title(&name)) {
            self.words.push_str(title);
            push_escaped(&mut self.out, title);
        }
        self.out.push_str(self.links.pop().unwrap_or(""));
    }
}

fn starts_with_ignoring_case(text: &str, start: &str) -> bool {
    text.get(..start.len()).is_some_and(|head| head.eq_ignore_ascii_case(start))
}
