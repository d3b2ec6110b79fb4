//! A formula's text as tokens.

use std::ops::Range;

use super::quotes::in_double_quotes;
use super::unit::Unit;
use crate::diagnostic::{Code, Diagnostic};
use crate::source::Inset;

#[derive(Debug, Clone, PartialEq)]
pub(super) enum Token {
    Number(f64),
    /// The text between a literal's unit brackets.
    Unit(String),
    Text(String),
    /// A name or a word of the language.
    Word(String),
    /// An operator, a parenthesis or a comma.
    Sign(&'static str),
}

/// Longest first, so that `<=` is not read as `<`.
const SIGNS: &[&str] = &["<=", ">=", "==", "!=", "<", ">", "+", "-", "*", "/", "^", "(", ")", ","];

/// Cuts the text into tokens with their places.
///
/// # Errors
/// A sign that the language does not have, an unclosed bracket or quote, a number that is none.
pub(super) fn tokens(inset: &Inset) -> Result<Vec<(Token, Range<usize>)>, Diagnostic> {
    let text = inset.text.as_str();
    let mut tokens = Vec::new();
    let mut at = 0;
    while let Some(sign) = text[at..].chars().next() {
        let start = at;
        if sign.is_whitespace() {
            at += sign.len_utf8();
            continue;
        }
        let token = if sign.is_ascii_digit() || (sign == '.' && next_is_digit(text, at + 1)) {
            at = number_end(text, at);
            let digits = &text[start..at];
            match digits.parse::<f64>() {
                Ok(value) if value.is_finite() => Token::Number(value),
                _ => return Err(syntax(inset, start..at, format!("`{digits}` is not a number that can be held"))),
            }
        } else if sign.is_ascii_lowercase() {
            at += text[at..]
                .find(|sign: char| !(sign.is_ascii_lowercase() || sign.is_ascii_digit() || sign == '_'))
                .unwrap_or(text.len() - at);
            Token::Word(text[start..at].to_owned())
        } else if sign == '[' {
            at = bracket_end(text, at).ok_or_else(|| syntax(inset, start..text.len(), "the unit's bracket `[` is not closed"))?;
            Token::Unit(text[start + 1..at - 1].to_owned())
        } else if sign == '"' {
            let length = text[at + 1..].find('"').ok_or_else(|| syntax(inset, start..text.len(), "the text's quote is not closed"))?;
            at += length + 2;
            Token::Text(text[start + 1..at - 1].to_owned())
        } else if text[at..].starts_with("<>") {
            let problem = syntax(inset, at..at + 2, "the language has no sign `<>`");
            return Err(problem.hint("what is not equal is compared with `!=`"));
        } else if let Some(known) = SIGNS.iter().find(|known| text[at..].starts_with(**known)) {
            at += known.len();
            Token::Sign(known)
        } else {
            return Err(unknown_sign(inset, start, sign));
        };
        tokens.push((token, start..at));
    }
    Ok(tokens)
}

fn syntax(inset: &Inset, range: Range<usize>, message: impl Into<String>) -> Diagnostic {
    Diagnostic::new(Code::FormulaSyntax, inset.span(range), message)
}

fn unknown_sign(inset: &Inset, at: usize, sign: char) -> Diagnostic {
    let shown = if sign.is_control() { sign.escape_default().to_string() } else { sign.to_string() };
    let problem = syntax(inset, at..at + sign.len_utf8(), format!("the language has no sign `{shown}`"));
    match sign {
        '×' | '·' => problem.hint("multiply with `*`"),
        '÷' => problem.hint("divide with `/`"),
        '−' | '–' => problem.hint("subtract with `-`"),
        '=' if inset.text[..at].trim().is_empty() => problem.hint("a formula begins without `=`"),
        '=' if inset.text[..at].ends_with('/') => problem.hint("what is not equal is compared with `!=`"),
        '=' if inset.text[at..].starts_with("=>") => problem.hint("write `>=`"),
        '=' if inset.text[at..].starts_with("=<") => problem.hint("write `<=`"),
        '=' => problem.hint("compare with `==`"),
        '≤' => problem.hint("write `<=`"),
        '≥' => problem.hint("write `>=`"),
        '\'' | '‘' | '’' | '“' | '”' => problem.hint(in_double_quotes(&inset.text)),
        '%' if !inset.text[..at].trim_end().ends_with(|before: char| before.is_ascii_digit()) => {
            problem.hint("write the percent sign as a unit: `25 [%]`")
        }
        'O' if inset.text[..at].ends_with(|before: char| before.is_ascii_digit()) => {
            problem.hint("write the digit `0` in place of the letter")
        }
        sign => match bare_unit(&inset.text, at) {
            Some(hint) => problem.hint(hint),
            None if sign.is_ascii_uppercase() => problem.hint("names are written in small letters"),
            None => problem,
        },
    }
}

/// If a unit without its brackets stands there, right after a number: how it is written.
pub(super) fn bare_unit(text: &str, at: usize) -> Option<String> {
    let before = text[..at].trim_end();
    let number = before.rfind(|sign: char| !(sign.is_ascii_digit() || sign == '.')).map_or(0, |sign| sign + 1);
    let number = before.get(number..).filter(|number| number.ends_with(|sign: char| sign.is_ascii_digit()))?;
    let ends = |sign: char| sign.is_whitespace() || "+-*<>=!(),\"".contains(sign);
    let unit = text[at..].split(ends).next()?.trim_end_matches(['/', '^', '.']);
    Unit::known(unit).map(|_| format!("a unit stands in brackets: `{number} [{unit}]`"))
}

fn next_is_digit(text: &str, at: usize) -> bool {
    text.as_bytes().get(at).is_some_and(u8::is_ascii_digit)
}

/// Digits, a point with digits, an exponent with digits.
fn number_end(text: &str, start: usize) -> usize {
    let bytes = text.as_bytes();
    let digits = |mut at: usize| {
        while bytes.get(at).is_some_and(u8::is_ascii_digit) {
            at += 1;
        }
        at
    };
    let mut at = digits(start);
    if bytes.get(at) == Some(&b'.') && next_is_digit(text, at + 1) {
        at = digits(at + 1);
    }
    if matches!(bytes.get(at), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(at + 1), Some(b'+' | b'-')));
        if next_is_digit(text, at + 1 + sign) {
            at = digits(at + 1 + sign);
        }
    }
    at
}

fn bracket_end(text: &str, start: usize) -> Option<usize> {
    let mut open = 0usize;
    for (at, sign) in text[start..].char_indices() {
        match sign {
            '[' => open += 1,
            ']' => open -= 1,
            _ => {}
        }
        if open == 0 {
            return Some(start + at + 1);
        }
    }
    None
}
