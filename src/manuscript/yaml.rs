//! YAML text to a tree of nodes, within limits that no entry reaches.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use serde_yaml::Budget;
use serde_yaml::granit_parser::{Event, Parser, ScalarStyle, Span as YamlSpan, Tag, options};

use crate::diagnostic::{Code, Diagnostic, Problems, listed};
use crate::source::{Inset, Placed, SourceId, Span};

use super::node::{Node, NodeKind, shortened};
use super::scalar::{Written, inset};
use super::yaml_error;

/// What one file may cost. The tree is at most as deep as `max_depth`, so whoever walks it by recursion is safe too.
pub fn limits() -> Budget {
    serde_yaml::budget! {
        max_depth: 64,
        flow_nesting_limit: 64,
        max_nodes: 100_000,
        max_anchors: 1_000,
    }
    .unwrap_or_default()
}

/// The most fields that one map may have. Each new one is compared with those before it.
const WIDEST: usize = 1_000;

/// The tree of one file; `None` after telling why it cannot be read.
pub fn parse(source: SourceId, file: &str, problems: &mut Problems) -> Option<Node> {
    let limits = limits();
    let options = options! {
        emit_comments: false,
        flow_nesting_limit: limits.flow_nesting_limit,
        block_nesting_limit: limits.max_depth,
        simple_key_max_lookahead: limits.simple_key_max_lookahead,
    };
    let mut tree = Tree { source, file, limits, nodes: 0, open: Vec::new(), root: None, anchors: BTreeMap::new() };
    for event in Parser::new_from_str_with_options(file, options) {
        let told = match event {
            Ok((event, span)) => tree.take(event, span, problems),
            Err(error) => Err(Box::new(yaml_error::explain(source, file, &error))),
        };
        if let Err(problem) = told {
            problems.add(*problem);
            return None;
        }
    }
    match tree.root {
        Some(root) => Some(root),
        None => {
            problems.add(Diagnostic::new(Code::EmptyFile, Span::new(source, 0, 0), "the file holds nothing but comments"));
            None
        }
    }
}

/// The tree under construction. No recursion: what is open stands on a list.
struct Tree<'a> {
    source: SourceId,
    file: &'a str,
    limits: Budget,
    nodes: usize,
    open: Vec<Open>,
    root: Option<Node>,
    /// Finished nodes that aliases may repeat; `None` while the node is still open.
    anchors: BTreeMap<usize, Option<(Node, usize)>>,
}

/// A list or map that has begun and not ended.
struct Open {
    start: usize,
    anchor: usize,
    /// The count of nodes before it.
    before: usize,
    items: Items,
}

enum Items {
    List(Vec<Node>),
    /// `twice` are the later places of fields that stand twice.
    Map {
        entries: Vec<(Placed<String>, Node)>,
        key: Option<Placed<String>>,
        twice: Vec<Placed<String>>,
    },
}

type Told = Result<(), Box<Diagnostic>>;

impl Tree<'_> {
    fn take(&mut self, event: Event, span: YamlSpan, problems: &mut Problems) -> Told {
        let (start, end) = (offset(span.start.byte_offset()), offset(span.end.byte_offset()));
        match event {
            Event::Scalar(text, style, anchor, tag) => {
                self.count(start, 1)?;
                let node = self.scalar(text, style, tag.as_deref(), (start, end), span.indent)?;
                self.finished(node, anchor, 1, problems)
            }
            Event::SequenceStart(_, anchor, tag) => self.begin(start, anchor, tag.as_deref(), Items::List(Vec::new())),
            Event::MappingStart(_, anchor, tag) => {
                self.begin(start, anchor, tag.as_deref(), Items::Map { entries: Vec::new(), key: None, twice: Vec::new() })
            }
            Event::SequenceEnd | Event::MappingEnd => self.end(start, end, problems),
            Event::Alias(anchor) => {
                let place = Span::new(self.source, start, end);
                let Some(Some((node, size))) = self.anchors.get(&anchor) else {
                    return Err(Box::new(Diagnostic::new(Code::YamlLimit, place, "an alias stands inside the value that it repeats")));
                };
                let (node, size) = (node.clone(), *size);
                self.count(start, size)?;
                self.finished(node, 0, size, problems)
            }
            Event::DocumentStart(..) if self.root.is_some() => Err(Box::new(
                Diagnostic::new(
                    Code::YamlSyntax,
                    Span::new(self.source, start, end),
                    "expected one document in the file, found a second one",
                )
                .hint("take out the line `---`; one file is one entry"),
            )),
            _ => Ok(()),
        }
    }

    /// Counts nodes against the limit.
    fn count(&mut self, at: usize, nodes: usize) -> Told {
        self.nodes = self.nodes.saturating_add(nodes);
        if self.nodes <= self.limits.max_nodes {
            return Ok(());
        }
        let message = format!("the file has more than {} values, aliases counted", self.limits.max_nodes);
        let problem = Diagnostic::new(Code::YamlLimit, Span::new(self.source, at, at), message);
        Err(Box::new(problem.hint("split the entry, or write out what the aliases repeat")))
    }

    fn begin(&mut self, start: usize, anchor: usize, tag: Option<&Tag>, items: Items) -> Told {
        self.count(start, 1)?;
        self.no_tag(tag, start)?;
        if self.open.len() >= self.limits.max_depth {
            return Err(Box::new(yaml_error::too_deep(self.source, start, self.limits.max_depth)));
        }
        self.anchored(start, anchor)?;
        self.open.push(Open { start, anchor, before: self.nodes - 1, items });
        Ok(())
    }

    fn anchored(&mut self, at: usize, anchor: usize) -> Told {
        if anchor != 0 {
            self.anchors.insert(anchor, None);
            if self.anchors.len() > self.limits.max_anchors {
                let message = format!("the file has more than {} anchors", self.limits.max_anchors);
                return Err(Box::new(Diagnostic::new(Code::YamlLimit, Span::new(self.source, at, at), message)));
            }
        }
        Ok(())
    }

    fn end(&mut self, start: usize, end: usize, problems: &mut Problems) -> Told {
        let Some(open) = self.open.pop() else { return Ok(()) };
        let closed_by_bracket = end > start;
        let (kind, last) = match open.items {
            Items::List(items) => {
                let last = items.last().map(|item| item.span.end);
                (NodeKind::List(items), last)
            }
            Items::Map { entries, twice, .. } => {
                let last = entries.last().map(|(key, value)| value.span.end.max(key.span.end));
                let item = !closed_by_bracket && matches!(self.open.last(), Some(Open { items: Items::List(_), .. }));
                let run_together = item && twice.len() > 1;
                problems.append(stand_twice(&entries, &twice, run_together));
                (if run_together { NodeKind::Doubtful } else { NodeKind::Map(entries) }, last)
            }
        };
        // A block ends where its last value ends; the parser's end is the start of whatever comes next.
        let end = if closed_by_bracket { end } else { last.map_or(open.start, |last| last as usize) };
        let node = Node { span: Span::new(self.source, open.start, end), kind, inset: Inset::default() };
        let size = self.nodes - open.before;
        self.finished(node, open.anchor, size, problems)
    }

    /// Puts a finished node where it belongs.
    fn finished(&mut self, node: Node, anchor: usize, size: usize, problems: &mut Problems) -> Told {
        if anchor != 0 {
            self.anchored(node.span.start as usize, anchor)?;
            self.anchors.insert(anchor, Some((node.clone(), size)));
        }
        let node = match self.new_item(node, problems) {
            Some(node) => node,
            None => return Ok(()),
        };
        match self.open.last_mut() {
            None => self.root = Some(node),
            Some(Open { items: Items::List(items), .. }) => items.push(node),
            Some(Open { items: Items::Map { entries, key, twice }, .. }) => match key.take() {
                None => *key = Some(key_of(node)?),
                // Some programs put another map's fields in its place; no field has this name, quoted or not.
                Some(key) if key.value == "<<" => problems.add(
                    Diagnostic::new(Code::YamlSyntax, key.span, "the merge key `<<` is not taken")
                        .hint("write the fields out that it stands for; an alias such as `*name` may repeat a whole value"),
                ),
                Some(key) if entries.len() >= WIDEST => {
                    let message = format!("a map has more than {WIDEST} fields");
                    return Err(Box::new(Diagnostic::new(Code::YamlLimit, key.span, message)));
                }
                Some(key) if entries.iter().any(|(known, _)| known.value == key.value) => twice.push(key),
                Some(key) => entries.push((key, node)),
            },
        }
        Ok(())
    }

    /// Where the first field of an item stands again in it, a new item begins without its dash: told of once, and read as meant.
    /// Gives the value back if that is not so.
    fn new_item(&mut self, node: Node, problems: &mut Problems) -> Option<Node> {
        let file = self.file;
        let [.., Open { items: Items::List(list), .. }, Open { start, items: Items::Map { entries, key: slot @ Some(_), twice }, .. }] =
            self.open.as_mut_slice()
        else {
            return Some(node);
        };
        let again = |key: &Placed<String>| entries.len() > 1 && entries[0].0.value == key.value;
        if file.as_bytes().get(*start) == Some(&b'{') || !slot.as_ref().is_some_and(again) {
            return Some(node);
        }
        let key = slot.take()?;
        let problem = Diagnostic::new(Code::DuplicateField, key.span, format!("the field `{}` stands twice", shortened(&key.value)));
        problems.add(
            problem
                .also(entries[0].0.span, "it stands here first")
                .hint(format!("if a new item begins here, write `- {}:`, with the dash below the one above", shortened(&key.value))),
        );
        let end = entries.last().map_or(*start, |(key, value)| value.span.end.max(key.span.end) as usize);
        let begins = key.span.start as usize;
        problems.append(stand_twice(entries, &std::mem::take(twice), false));
        let item = std::mem::replace(entries, vec![(key, node)]);
        list.push(Node { span: Span::new(self.source, *start, end), kind: NodeKind::Map(item), inset: Inset::default() });
        *start = begins;
        None
    }

    fn scalar(
        &self,
        text: Cow<str>,
        style: ScalarStyle,
        tag: Option<&Tag>,
        (start, end): (usize, usize),
        indent: Option<usize>,
    ) -> Result<Node, Box<Diagnostic>> {
        self.no_tag(tag, start)?;
        let span = Span::new(self.source, start, end);
        // For a value that was left out the parser gives `~` without a place.
        let text = if start == end && style == ScalarStyle::Plain { Cow::Borrowed("") } else { text };
        let kind = if style == ScalarStyle::Plain { core_schema(&text) } else { NodeKind::Text };
        let written = Written { source: self.source, file: self.file, style, start, end, indent };
        Ok(Node { span, kind, inset: inset(&written, text.into_owned()) })
    }

    fn no_tag(&self, tag: Option<&Tag>, start: usize) -> Told {
        match tag {
            None => Ok(()),
            Some(tag) => Err(Box::new(
                Diagnostic::new(Code::YamlSyntax, self.place_of_tag(tag, start), "a tag such as `!name` is not taken")
                    .hint("take the tag out; put text that looks like a number in quotes"),
            )),
        }
    }

    /// Where the tag of the value at `start` stands. The parser gives no place for tags, so the last word before the value that
    /// ends as the tag does is looked for; the value's own place stands in if none does.
    fn place_of_tag(&self, tag: &Tag, start: usize) -> Span {
        let begins_word =
            |at: usize| self.file[..at].chars().next_back().is_none_or(|before| before.is_whitespace() || "[{,:".contains(before));
        let word_at = |at: usize| {
            let rest = &self.file[at..];
            let word = match rest.strip_prefix("!<").and_then(|whole| whole.find('>')) {
                Some(end) => &rest[..end + 3],
                None => rest.split(|sign: char| sign.is_whitespace() || "[]{},".contains(sign)).next().unwrap_or_default(),
            };
            word.trim_end_matches('>').ends_with(tag.suffix()).then_some(at + word.len())
        };
        // A value that was left out is placed at its tag, not after it.
        let before = self.file.get(..start).unwrap_or_default();
        let marks = before.rmatch_indices('!').map(|(at, _)| at);
        let here = self.file.get(start..).filter(|rest| rest.starts_with('!')).map(|_| start);
        let found = here.into_iter().chain(marks).filter(|at| begins_word(*at)).find_map(|at| Some((at, word_at(at)?)));
        found.map_or(Span::new(self.source, start, start), |(at, end)| Span::new(self.source, at, end))
    }
}

/// Tells of the fields of a map that stand twice in it. Of two items of a list that were run together it tells once.
fn stand_twice(entries: &[(Placed<String>, Node)], twice: &[Placed<String>], run_together: bool) -> Problems {
    let first = |key: &Placed<String>| entries.iter().find(|(first, _)| first.value == key.value).map_or(key.span, |(first, _)| first.span);
    let mut problems = Problems::default();
    if run_together {
        let names: BTreeSet<String> = twice.iter().map(|key| shortened(&key.value)).collect();
        let message = format!("expected the fields of one item, found {} twice", listed(names.iter().map(String::as_str)));
        let problem = Diagnostic::new(Code::DuplicateField, twice[0].span, message).also(first(&twice[0]), "it stands here first");
        problems.add(problem.hint("if a new item begins here, write `- ` before its first field"));
        return problems;
    }
    for key in twice {
        let message = format!("the field `{}` stands twice", shortened(&key.value));
        problems.add(Diagnostic::new(Code::DuplicateField, key.span, message).also(first(key), "it stands here first"));
    }
    problems
}

fn offset(bytes: Option<usize>) -> usize {
    bytes.unwrap_or(0) // always there when the parser reads from a `str`
}

fn key_of(node: Node) -> Result<Placed<String>, Box<Diagnostic>> {
    match node.kind {
        NodeKind::List(_) | NodeKind::Map(_) => {
            Err(Box::new(Diagnostic::new(Code::YamlSyntax, node.place(), format!("expected the name of a field, found {}", node.found()))))
        }
        _ => Ok(Placed::new(node.inset.text, node.span)),
    }
}

/// What a plain scalar is by YAML 1.2's core schema. Numbers that are infinite, vanish or are not a number stay text.
fn core_schema(text: &str) -> NodeKind {
    match text {
        "" | "~" | "null" | "Null" | "NULL" => NodeKind::Null,
        "true" | "True" | "TRUE" => NodeKind::Bool(true),
        "false" | "False" | "FALSE" => NodeKind::Bool(false),
        _ => number(text).map_or(NodeKind::Text, NodeKind::Number),
    }
}

fn number(text: &str) -> Option<f64> {
    if let Some(digits) = text.strip_prefix("0x") {
        return digits.bytes().all(|b| b.is_ascii_hexdigit()).then(|| u32::from_str_radix(digits, 16).ok()).flatten().map(f64::from);
    }
    if let Some(digits) = text.strip_prefix("0o") {
        return digits.bytes().all(|b| b.is_ascii_digit()).then(|| u32::from_str_radix(digits, 8).ok()).flatten().map(f64::from);
    }
    // Rust's own parser also takes `inf`, `nan` and `infinity`, so letters other than the exponent's are refused first.
    let shaped = text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'.' | b'e' | b'E' | b'+' | b'-'));
    let starts = text.trim_start_matches(['+', '-']).starts_with(|c: char| c.is_ascii_digit() || c == '.');
    let number = (shaped && starts).then(|| text.parse::<f64>().ok()).flatten()?;
    // Figures that are too small to be told from zero are no zero.
    let vanishes =
        number.abs() < f64::MIN_POSITIVE && text.split(['e', 'E']).next().is_some_and(|digits| digits.contains(|c| matches!(c, '1'..='9')));
    (number.is_finite() && !vanishes).then_some(number)
}
