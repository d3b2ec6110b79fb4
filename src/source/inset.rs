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
        let (start, _) = self.outer(range.start);
        let end = match range.end.checked_sub(1).filter(|last| *last >= range.start) {
            Some(last) => self.end_of(last),
            None => start,
        };
        Span { source: self.source, start, end: end.max(start) }
    }

    /// The place in the file of the whole text.
    pub fn whole(&self) -> Span {
        self.span(0..self.text.len())
    }

    /// Where the character whose last inner byte this is ends in the file.
    fn end_of(&self, last: usize) -> u32 {
        let (outer, limit) = self.outer(last);
        let first = (0..=last).rev().find(|at| self.text.is_char_boundary(*at)).unwrap_or(last);
        let next = self.starts.partition_point(|(start, _)| *start as usize <= last);
        let alone = next.checked_sub(1).is_some_and(|at| self.starts[at].0 as usize == first);
        // A character with a stretch of its own may be an escape, which is longer in the file than here. Joined lines have
        // such stretches too, but there what follows in the file is indentation, which belongs to no place.
        let joined = matches!(self.text.as_bytes().get(last), None | Some(b' ' | b'\n'));
        let ends_stretch = self.starts.get(next).map_or(self.text.len(), |(start, _)| *start as usize) == last + 1;
        if !alone || joined || !ends_stretch {
            return (outer + 1).min(limit);
        }
        let written = limit.saturating_sub(self.outer(first).0) as usize;
        let quoted = next == self.starts.len() && written > last + 1 - first;
        if quoted { limit - 1 } else { limit }
    }

    /// The outer offset of an inner one, and the one where its stretch ends.
    ///
    /// An escape may be shorter than its character (`\L` stands for three bytes), so the stretch's end is a limit.
    fn outer(&self, inner: usize) -> (u32, u32) {
        let at = self.starts.partition_point(|(start, _)| *start as usize <= inner);
        let limit = self.starts.get(at).map_or(self.outer_end, |(_, outer)| *outer);
        match at.checked_sub(1).and_then(|at| self.starts.get(at)) {
            Some((inner_start, outer_start)) => ((outer_start + (inner as u32 - inner_start)).min(limit), limit),
            None => (self.outer_end, self.outer_end),
        }
    }
}
