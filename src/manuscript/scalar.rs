//! The map from a scalar's text to the places of its bytes in the file, for every YAML style.
//!
//! The YAML parser gives the text; this walks the source beside it. Each step is compared with the text, so that a map is
//! never wrong: where the two cannot be matched, the whole text maps to the scalar's start.

use serde_yaml::granit_parser::ScalarStyle;

use crate::source::{Inset, SourceId};

/// Where a scalar stands and how it is written.
pub struct Written<'a> {
    pub source: SourceId,
    /// The whole file.
    pub file: &'a str,
    pub style: ScalarStyle,
    /// The scalar in the file: with its quotes; for block styles the content, without the header line.
    pub start: usize,
    pub end: usize,
    /// How many spaces of indentation a block style's lines have.
    pub indent: Option<usize>,
}

/// A scalar's text with its map onto the file.
pub fn inset(written: &Written, text: String) -> Inset {
    let raw = written.file.get(written.start..written.end).unwrap_or("");
    if written.style == ScalarStyle::Plain && raw == text {
        return Inset::plain(written.source, text, written.start);
    }
    let mut walk = Walk { file: written.file.as_bytes(), text: text.as_bytes(), at: 0, starts: Vec::new() };
    let matched = match written.style {
        ScalarStyle::Plain => walk.flow(written.start, written.end, Quote::None),
        ScalarStyle::SingleQuoted => walk.flow(written.start + 1, written.end - 1, Quote::Single),
        ScalarStyle::DoubleQuoted => walk.flow(written.start + 1, written.end - 1, Quote::Double),
        ScalarStyle::Literal => walk.block(written.start, written.end, written.indent, false),
        ScalarStyle::Folded => walk.block(written.start, written.end, written.indent, true),
    };
    let starts = match matched {
        Some(()) if walk.at == text.len() && !walk.starts.is_empty() => walk.starts,
        _ => vec![(0, written.start as u32)],
    };
    Inset::pieced(written.source, text, starts, written.end)
}

#[derive(Clone, Copy, PartialEq)]
enum Quote {
    None,
    Single,
    Double,
}

/// Goes along the file and the text together; every method gives `None` as soon as they differ.
struct Walk<'a> {
    file: &'a [u8],
    text: &'a [u8],
    /// How much of the text is matched.
    at: usize,
    starts: Vec<(u32, u32)>,
}

impl Walk<'_> {
    /// Notes that the next byte of the text stands at `outer`.
    fn place(&mut self, outer: usize) {
        let follows = |(inner, start): &(u32, u32)| outer as u32 == start + (self.at as u32 - inner);
        if !self.starts.last().is_some_and(follows) {
            self.starts.push((self.at as u32, outer as u32));
        }
    }

    /// Matches bytes that stand alike in both.
    fn copy(&mut self, from: usize, to: usize) -> Option<()> {
        let bytes = self.file.get(from..to)?;
        if !self.text[self.at..].starts_with(bytes) {
            return None;
        }
        if !bytes.is_empty() {
            self.place(from);
            self.at += bytes.len();
        }
        Some(())
    }

    /// Matches one byte of the text that stands for something else at `outer`.
    fn stand_in(&mut self, byte: u8, outer: usize) -> Option<()> {
        (*self.text.get(self.at)? == byte).then(|| {
            self.place(outer);
            self.at += 1;
        })
    }

    /// The end of the line break at `at`, if there is one.
    fn after_break(&self, at: usize) -> Option<usize> {
        match (self.file.get(at)?, self.file.get(at + 1)) {
            (b'\r', Some(b'\n')) => Some(at + 2),
            (b'\r' | b'\n', _) => Some(at + 1),
            _ => None,
        }
    }

    fn after_blanks(&self, mut at: usize) -> usize {
        while matches!(self.file.get(at), Some(b' ' | b'\t')) {
            at += 1;
        }
        at
    }

    /// Plain and quoted styles, `start..end` without the quotes.
    fn flow(&mut self, start: usize, end: usize, quote: Quote) -> Option<()> {
        let mut at = start;
        let mut copied = start; // everything before stands in the map
        while at < end {
            match self.file[at] {
                b'\'' if quote == Quote::Single => {
                    self.copy(copied, at)?;
                    self.stand_in(b'\'', at)?;
                    at += 2;
                    copied = at;
                }
                b'\\' if quote == Quote::Double => {
                    self.copy(copied, at)?;
                    at = match self.after_break(at + 1) {
                        Some(after) => self.fold(after, true)?,
                        None => self.escape(at)?,
                    };
                    copied = at;
                }
                b' ' | b'\t' | b'\r' | b'\n' => {
                    let blanks_end = self.after_blanks(at);
                    match self.after_break(blanks_end).filter(|_| blanks_end < end) {
                        Some(_) => {
                            self.copy(copied, at)?;
                            at = self.fold(blanks_end, false)?;
                            copied = at;
                        }
                        None => at = blanks_end,
                    }
                }
                _ => at += 1,
            }
        }
        self.copy(copied, end)
    }

    /// The line breaks from `at` on and the blanks around them: one break stands for a space, more for one break less.
    /// After an escaped break every further break stands for itself. Gives where the text goes on.
    fn fold(&mut self, at: usize, escaped: bool) -> Option<usize> {
        let mut breaks = Vec::new();
        let mut next = at;
        loop {
            let blanks_end = self.after_blanks(next);
            let Some(after) = self.after_break(blanks_end) else {
                next = blanks_end;
                break;
            };
            breaks.push(blanks_end);
            next = after;
        }
        match breaks[..] {
            [only] if !escaped => self.stand_in(b' ', only)?,
            _ => {
                for place in breaks.into_iter().skip(usize::from(!escaped)) {
                    self.stand_in(b'\n', place)?;
                }
            }
        }
        Some(next)
    }

    /// One escape of the double-quoted style; gives its end.
    fn escape(&mut self, at: usize) -> Option<usize> {
        let letter = *self.file.get(at + 1)?;
        let mut end = at
            + match letter {
                b'x' => 4,
                b'u' => 6,
                b'U' => 10,
                _ => 1 + utf8_length(letter),
            };
        let first = *self.text.get(self.at)?;
        let length = utf8_length(first);
        if letter == b'u' && length == 4 {
            end += 6; // two escapes of a surrogate pair make one character
        }
        // An escape is at least as long as its character, but for a few of three bytes; see `Inset::span`.
        self.starts.push((self.at as u32, at as u32));
        self.at += length;
        Some(end)
    }

    /// Block styles; `start` is the first byte of the first line that is not blank, after its indentation.
    fn block(&mut self, start: usize, end: usize, indent: Option<usize>, folded: bool) -> Option<()> {
        let indent = indent?;
        self.leading_breaks(start.checked_sub(indent)?)?;
        let mut breaks = Vec::new();
        let mut at = start;
        loop {
            let line_end = (at..end).find(|at| matches!(self.file[*at], b'\n' | b'\r')).unwrap_or(end);
            if line_end > at {
                let line = &self.file[at..line_end];
                self.between(&breaks, line, folded)?;
                breaks.clear();
                self.copy(at, line_end)?;
            }
            breaks.push(line_end);
            let Some(after) = self.after_break(line_end).filter(|after| *after < end) else { break };
            at = (after..end).take(indent).take_while(|at| self.file[*at] == b' ').last().map_or(after, |at| at + 1);
        }
        // What the chomping left of the last breaks; a file that ends within the scalar may lack its last one.
        for place in breaks {
            if self.at < self.text.len() {
                self.stand_in(b'\n', place)?;
            }
        }
        Some(())
    }

    /// The breaks of blank lines above the first line, which starts at `line_start`.
    fn leading_breaks(&mut self, line_start: usize) -> Option<()> {
        let count = self.text.iter().take_while(|byte| **byte == b'\n').count();
        let mut places = Vec::with_capacity(count);
        let mut at = line_start;
        while places.len() < count {
            at = at.checked_sub(1)?;
            match self.file[at] {
                b'\n' if at > 0 && self.file[at - 1] == b'\r' => {
                    at -= 1;
                    places.push(at);
                }
                b'\n' | b'\r' => places.push(at),
                b' ' => {}
                _ => return None,
            }
        }
        places.into_iter().rev().try_for_each(|place| self.stand_in(b'\n', place))
    }

    /// The breaks between two lines with text, before `line`.
    fn between(&mut self, breaks: &[usize], line: &[u8], folded: bool) -> Option<()> {
        let rest = &self.text[self.at..];
        let kept = rest.iter().take_while(|byte| **byte == b'\n').count();
        let all = kept >= breaks.len() && rest[breaks.len()..].starts_with(line);
        match breaks {
            [] => Some(()),
            [only] if folded && kept == 0 => self.stand_in(b' ', *only),
            breaks if all || !folded => breaks.iter().try_for_each(|place| self.stand_in(b'\n', *place)),
            [_, rest @ ..] => rest.iter().try_for_each(|place| self.stand_in(b'\n', *place)),
        }
    }
}

/// How many bytes the character has that begins with this byte.
fn utf8_length(first: u8) -> usize {
    match first {
        0..0x80 => 1,
        0x80..0xe0 => 2,
        0xe0..0xf0 => 3,
        _ => 4,
    }
}
