//! A text inside another text: a formula or a piece of Markdown inside a YAML scalar.

use std::ops::Range;

use super::{SourceId, Span};

/// The inner text and how its offsets map onto the file that it stands in.
///
/// YAML joins, unescapes and unindents scalars, so one inner stretch may be several outer ones. The map is a list of
/// `(inner offset, outer offset)` starts, rising in both; between two starts the texts run alike, byte for byte.
#[derive(Debug, Clone, Default)]
pub struct Inset {
    pub text: String,
    source: SourceId,
    starts: Vec<(u32, u32)>,
    outer_end: u32,
}

impl Inset {
    /// An inset whose text stands in the file exactly as it is, from `outer_start` on.
    pub fn plain(source: SourceId, text: impl Into<String>, outer_start: usize) -> Self {
        let text = text.into();
        let outer_end = (outer_start + text.len()) as u32;
        Self { text, source, starts: vec![(0, outer_start as u32)], outer_end }
    }

    /// An inset with a piecewise map; `starts` must rise in both offsets and begin with inner offset 0.
    pub fn pieced(source: SourceId, text: impl Into<String>, starts: Vec<(u32, u32)>, outer_end: usize) -> Self {
        Self { text: text.into(), source, starts, outer_end: outer_end as u32 }
    }

    /// The place in the file of a stretch of the inner text.
    pub fn span(&self, range: Range<usize>) -> Span {
        let start = self.outer(range.start);
        let end = if range.end > range.start { self.outer_end_of(range.end - 1) } else { start };
        Span { source: self.source, start, end: end.min(self.outer_end) }
    }

    /// The place in the file of the whole text.
    pub fn whole(&self) -> Span {
        self.span(0..self.text.len())
    }

    /// Where the character that ends with this inner byte ends in the file.
    fn outer_end_of(&self, last: usize) -> u32 {
        let next = self.starts.partition_point(|(start, _)| *start as usize <= last);
        let first = (0..=last).rev().find(|at| self.text.is_char_boundary(*at)).unwrap_or(last);
        let alone = next.checked_sub(1).and_then(|at| self.starts.get(at)).is_some_and(|(start, _)| *start as usize == first);
        let joined = self.text.as_bytes().get(last).is_none_or(|byte| matches!(byte, b' ' | b'\n'));
        // A character with a start of its own may be an escape, longer or shorter in the file than here. Joined lines have
        // such starts too, but what follows them in the file is indentation, which belongs to no place.
        match self.starts.get(next) {
            Some((start, outer)) if alone && !joined && *start as usize == last + 1 => *outer,
            None if alone && !joined && last + 1 == self.text.len() => {
                let written = self.outer_end.saturating_sub(self.outer(first));
                // After an escape at the very end only the closing quote is left.
                if written as usize == last + 1 - first { self.outer_end } else { self.outer_end - 1 }
            }
            _ => self.outer(last) + 1,
        }
    }

    fn outer(&self, inner: usize) -> u32 {
        let at = self.starts.partition_point(|(start, _)| *start as usize <= inner);
        match at.checked_sub(1).and_then(|at| self.starts.get(at)) {
            Some((inner_start, outer_start)) => (outer_start + (inner as u32 - inner_start)).min(self.outer_end),
            None => self.outer_end,
        }
    }
}
