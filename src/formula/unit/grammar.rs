//! The UCUM grammar: `/`, `.`, parentheses, prefixes, exponents, whole-number factors and annotations in braces.

use std::ops::Range;

use super::atoms::{ATOMS, Atom, PREFIXES};
use super::exact::Exact;
use super::spelled;
use crate::formula::dimension::Dimension;

/// A product or quotient of atoms.
pub(super) struct Term {
    pub(super) code: String,
    pub(super) shown: String,
    pub(super) dimension: Dimension,
    pub(super) factor: Exact,
    /// The term is nothing but one temperature scale (`Cel`, `[degF]`).
    pub(super) scale: Option<&'static str>,
    /// How many atoms and numbers it has.
    parts: usize,
    /// One spelling with a product or quotient as its code, which needs parentheses after a `/`.
    joint: bool,
}

/// What cannot be read and where.
pub(super) struct Misread {
    pub(super) range: Range<usize>,
    pub(super) message: String,
    pub(super) what: What,
}

/// What kind of thing cannot be read, for the hint.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum What {
    /// No unit has this symbol.
    Symbol,
    /// A temperature on a scale stands in a product.
    Scale,
    Form,
}

const DEPTH: usize = 8;

/// Reads a whole text whose trade signs (`µ`, `Ω`, `²`) have been turned into UCUM's already.
pub(super) fn parse(text: &str) -> Result<Term, Misread> {
    let mut reader = Reader { text, at: 0 };
    let term = reader.term(0)?;
    if reader.at < text.len() {
        return Err(reader.misread(reader.at..text.len(), "expected `.`, `/` or the end of the unit"));
    }
    Ok(term)
}

struct Reader<'a> {
    text: &'a str,
    at: usize,
}

impl Reader<'_> {
    fn misread(&self, range: Range<usize>, message: impl Into<String>) -> Misread {
        Misread { range, message: message.into(), what: What::Form }
    }

    fn peek(&self) -> Option<char> {
        self.text[self.at..].chars().next()
    }

    fn term(&mut self, depth: usize) -> Result<Term, Misread> {
        if depth > DEPTH {
            return Err(self.misread(self.at..self.text.len(), "parentheses are nested too deep"));
        }
        let mut term = Term {
            code: String::new(),
            shown: String::new(),
            dimension: Dimension::NONE,
            factor: Exact::ONE,
            scale: None,
            parts: 0,
            joint: false,
        };
        let mut divide = self.peek() == Some('/');
        if divide {
            self.at += 1;
            term.code.push('/');
            term.shown.push_str("1/");
            term.parts = 1;
        }
        loop {
            let start = self.at;
            let part = self.component(depth)?;
            term.join(part, divide).ok_or_else(|| self.misread(start..self.at, "the unit is beyond any quantity"))?;
            match self.peek() {
                Some('.') => divide = false,
                Some('/') => divide = true,
                _ => break,
            }
            term.code.push(if divide { '/' } else { '.' });
            term.shown.push(if divide { '/' } else { '·' });
            self.at += 1;
        }
        if term.parts > 1 {
            term.scale = None;
        }
        Ok(term)
    }

    fn component(&mut self, depth: usize) -> Result<Term, Misread> {
        let start = self.at;
        match self.peek() {
            Some('(') => {
                self.at += 1;
                let mut inner = self.term(depth + 1)?;
                if self.peek() != Some(')') {
                    return Err(self.misread(start..self.at, "expected `)` after this"));
                }
                self.at += 1;
                inner.code = format!("({})", inner.code);
                inner.shown = format!("({})", inner.shown);
                Ok(inner)
            }
            Some('{') => {
                let note = self.annotation()?;
                let shown = note.trim_matches(['{', '}']).to_owned();
                Ok(Term { code: note, shown, dimension: Dimension::NONE, factor: Exact::ONE, scale: None, parts: 1, joint: false })
            }
            _ => {
                self.skip_symbol();
                if self.at == start {
                    return Err(self.misread(start..self.text.len(), "expected a unit"));
                }
                let mut part = self.spelling_or_symbol(start)?;
                if self.peek() == Some('{') {
                    part.code += &self.annotation()?;
                }
                Ok(part)
            }
        }
    }

    /// The symbol from `start` on that was just passed, or a spelling of the trade, such as `gpm`, `sq ft` or `in. w.c.`
    fn spelling_or_symbol(&mut self, start: usize) -> Result<Term, Misread> {
        let symbol = self.symbol(start..self.at);
        // Only spellings with a space or a point of their own go past a symbol that is read.
        let run = &self.text[start..];
        if symbol.is_ok() && !run.contains(' ') && !run.contains("./") && !run.contains(".)") && !run.ends_with('.') {
            return symbol;
        }
        match spelled::inside(run) {
            Some((length, code)) if symbol.is_err() || start + length > self.at => {
                self.at = start + length;
                let mut term = Reader { text: code, at: 0 }.term(0)?;
                term.joint = term.parts > 1;
                Ok(term)
            }
            _ => symbol,
        }
    }

    fn annotation(&mut self) -> Result<String, Misread> {
        let start = self.at;
        match self.text[start..].find('}') {
            Some(end) => {
                self.at += end + 1;
                Ok(self.text[start..self.at].to_owned())
            }
            None => Err(self.misread(start..self.text.len(), "expected `}` after this")),
        }
    }

    /// Moves past one symbol with its exponent; brackets may hold any sign.
    fn skip_symbol(&mut self) {
        let mut inside = false;
        for (at, sign) in self.text[self.at..].char_indices() {
            match sign {
                '[' => inside = true,
                ']' => inside = false,
                '.' | '/' | '(' | ')' | '{' | '}' if !inside => {
                    self.at += at;
                    return;
                }
                _ => {}
            }
        }
        self.at = self.text.len();
    }

    fn symbol(&self, range: Range<usize>) -> Result<Term, Misread> {
        let text = &self.text[range.clone()];
        if text.bytes().all(|byte| byte.is_ascii_digit()) {
            let factor = (text.len() <= 9 && !text.starts_with('0')).then(|| Exact::parse(text)).flatten();
            let factor = factor.ok_or_else(|| self.misread(range, "expected a whole number from 1 to 999999999"))?;
            return Ok(Term {
                code: text.into(),
                shown: text.into(),
                dimension: Dimension::NONE,
                factor,
                scale: None,
                parts: 1,
                joint: false,
            });
        }
        if let Some(atom) = ATOMS.iter().find(|atom| atom.trade.contains(&text)) {
            let factor = Exact::parse(atom.factor).ok_or_else(|| self.misread(range, "the unit is beyond any quantity"))?;
            let (code, shown) = (atom.code.into(), atom.shown.into());
            let scale = matches!(atom.code, "Cel" | "[degF]").then_some(atom.code);
            let joint = is_joint(atom);
            return Ok(Term { code, shown, dimension: atom.dimension, factor, scale, parts: 1, joint });
        }
        let digits = text.len() - text.trim_end_matches(|sign: char| sign.is_ascii_digit()).len();
        let mut name = &text[..text.len() - digits];
        if digits > 0 && name.len() > 1 {
            name = name.strip_suffix(['+', '-']).unwrap_or(name);
        }
        let exponent = match &text[name.len()..] {
            "" => Some(1),
            exponent => exponent.parse::<i32>().ok().filter(|exponent| (-18..=18).contains(exponent)),
        };
        let Some(exponent) = exponent else {
            return Err(self.misread(range, "expected an exponent from -18 to 18"));
        };
        let Some((prefix, power, atom)) = find(name) else {
            // Spaces at its ends belong to no name.
            let start = range.start + name.len() - name.trim_start().len();
            let name = name.trim();
            return Err(match name {
                "" => self.misread(range, "expected a unit"),
                _ => Misread { what: What::Symbol, ..self.misread(start..start + name.len(), format!("no unit `{name}`")) },
            });
        };
        if is_joint(atom) && exponent != 1 {
            return Err(self.misread(range, format!("`{name}` is a product and takes no exponent")));
        }
        // `50%5` is a slip of the thumb, not a fifth power.
        if name == "%" && exponent != 1 {
            return Err(self.misread(range, "`%` takes no exponent"));
        }
        let read = || {
            let factor = Exact::parse(atom.factor)?.times(Exact::ten(power)?)?.power(exponent)?;
            Some((factor, atom.dimension.power(exponent)?))
        };
        let (factor, dimension) = read().ok_or_else(|| self.misread(range, "the unit is beyond any quantity"))?;
        let scale = matches!(atom.code, "Cel" | "[degF]").then_some(atom.code);
        let raised = if exponent == 1 { String::new() } else { exponent.to_string() };
        Ok(Term {
            code: format!("{prefix}{}{raised}", atom.code),
            shown: format!("{}{}{}", if prefix == "u" { "µ" } else { prefix }, atom.shown, superscript(&raised)),
            dimension,
            factor,
            scale: if exponent == 1 && prefix.is_empty() { scale } else { scale.map(|_| "") },
            parts: 1,
            joint: is_joint(atom),
        })
    }
}

impl Term {
    fn join(&mut self, part: Term, divide: bool) -> Option<()> {
        (self.dimension, self.factor) = if divide {
            (self.dimension.over(part.dimension)?, self.factor.over(part.factor)?)
        } else {
            (self.dimension.times(part.dimension)?, self.factor.times(part.factor)?)
        };
        let closed = |text: String, signs: &[char]| if divide && part.joint && text.contains(signs) { format!("({text})") } else { text };
        self.code += &closed(part.code, &['.', '/']);
        self.shown += &closed(part.shown, &['·', '/']);
        self.scale = self.scale.or(part.scale);
        self.parts += part.parts;
        Some(())
    }
}

/// Whether the atom is a product with a name of its own, such as `V.A`.
fn is_joint(atom: &Atom) -> bool {
    !atom.code.starts_with('[') && atom.code.contains('.')
}

/// Prefix, its power of ten, and the atom of a symbol without exponent.
pub(super) fn find(name: &str) -> Option<(&'static str, i32, &'static Atom)> {
    // The trade's `ft` would be a femtotonne: a spelling of the trade is never that of another unit here.
    if let Some(atom) = ATOMS.iter().find(|atom| atom.trade.contains(&name)) {
        return Some(("", 0, atom));
    }
    if let Some(atom) = ATOMS.iter().find(|atom| atom.code == name) {
        return Some(("", 0, atom));
    }
    let prefixed = PREFIXES.iter().find_map(|(prefix, power)| {
        let rest = name.strip_prefix(prefix)?;
        let atom = ATOMS.iter().find(|atom| atom.metric && (atom.code == rest || atom.trade.contains(&rest)))?;
        Some((*prefix, *power, atom))
    });
    prefixed.or_else(|| {
        let bracketed = format!("[{name}]");
        ATOMS.iter().find(|atom| atom.code == bracketed).map(|atom| ("", 0, atom))
    })
}

/// Digits and a minus sign, raised.
pub(super) fn superscript(digits: &str) -> String {
    digits
        .chars()
        .map(|digit| match digit {
            '-' => '⁻',
            '1' => '¹',
            '2' => '²',
            '3' => '³',
            digit => digit.to_digit(10).and_then(|value| char::from_u32(0x2070 + value)).unwrap_or(digit),
        })
        .collect()
}
