//! What to write in place of a text that is no unit.

use super::grammar::{self, Misread};
use super::spelled::folded;
use super::{SCALE, Unit, spellings};
use crate::diagnostic::nearest;

/// `text`: what was written, trimmed; `plain`: the same with UCUM's signs; `misread` has its place there.
pub(super) fn hint(text: &str, plain: &str, misread: &Misread) -> Option<String> {
    if misread.message == SCALE {
        return Some("write `K` or `[degR]` for a temperature difference".to_owned());
    }
    let wrong = plain.get(misread.range.clone()).unwrap_or(plain).trim();
    raised(text).or_else(|| multiplied(text)).or_else(|| alone(wrong, text)).or_else(|| cased(wrong)).or_else(|| {
        // A whole quotient that is near is told before a part of it.
        let product = |known: &&str| !text.contains(['.', '/']) || known.contains(['.', '/', ' ']);
        let known = near(text, product).or_else(|| near(wrong, |_| true))?;
        Some(format!("did you mean `{known}`?"))
    })
}

/// `m^2`, `m**2`.
fn raised(text: &str) -> Option<String> {
    let sign = ["**", "^"].into_iter().find(|sign| text.contains(sign))?;
    let code = text.replace(sign, "");
    Unit::known(&code)?;
    let mut raised = String::new();
    for (at, part) in text.split(sign).enumerate() {
        let end = part.find(|letter: char| !letter.is_ascii_digit() && letter != '-').unwrap_or(part.len());
        let (power, rest) = part.split_at(if at == 0 { 0 } else { end });
        raised += &grammar::superscript(power);
        raised += rest;
    }
    Some(format!("write `{code}` or `{raised}`"))
}

/// `kg m2`, `kW*h`, `V-A`, and spaces beside signs.
fn multiplied(text: &str) -> Option<String> {
    if text.starts_with(|sign: char| sign.is_ascii_digit()) {
        return None;
    }
    let words: Vec<&str> = text.split_whitespace().collect();
    let mut close = words.join(" ");
    for sign in ["/", ".", "·", "*", "×", "(", ")"] {
        close = close.replace(&format!(" {sign}"), sign).replace(&format!("{sign} "), sign);
    }
    if close != text && Unit::known(&close).is_some() {
        return Some(format!("write it without spaces: `{close}`"));
    }
    let codes = [close.replace([' ', '*'], "."), close.replace([' ', '*', '-'], ".")];
    let code = codes.into_iter().find(|code| *code != close && Unit::known(code).is_some())?;
    Some(format!("a product is written with a point: `{code}`"))
}

/// A spelling that is read only as a whole unit.
fn alone(wrong: &str, text: &str) -> Option<String> {
    let unit = Unit::known(wrong).filter(|_| wrong != text)?;
    let code = unit.ucum();
    let code = if code.contains(['.', '/']) { format!("({code})") } else { code.to_owned() };
    Some(format!("`{wrong}` stands only by itself; inside a longer unit write `{code}`"))
}

/// `ma`, `KM`: small and large letters count in codes.
fn cased(wrong: &str) -> Option<String> {
    let codes = in_other_case(wrong);
    let named: Vec<String> = codes.iter().map(|code| format!("`{code}`")).collect();
    match named.as_slice() {
        [] => None,
        [one] => Some(format!("did you mean {one}?")),
        _ => Some(format!("small and large letters count: did you mean {}?", named.join(" or "))),
    }
}

/// Codes of the units that have these letters in another case, with prefixes that the trade uses.
pub(super) fn in_other_case(text: &str) -> Vec<String> {
    const LETTERS: usize = 8;
    const USUAL: [&str; 8] = ["", "p", "n", "u", "m", "k", "M", "G"];
    let letters: Vec<char> = text.chars().collect();
    let cases = letters.iter().filter(|letter| letter.is_ascii_alphabetic()).count();
    if cases > LETTERS {
        return Vec::new();
    }
    let mut codes: Vec<String> = Vec::new();
    for choice in 0..1_u32 << cases {
        let mut left = choice;
        let written = letters.iter().map(|letter| {
            if !letter.is_ascii_alphabetic() {
                return *letter;
            }
            let large = left & 1 == 1;
            left >>= 1;
            if large { letter.to_ascii_uppercase() } else { letter.to_ascii_lowercase() }
        });
        if let Some((prefix, _, atom)) = grammar::find(&written.collect::<String>()) {
            let code = format!("{prefix}{}", atom.code);
            if USUAL.contains(&prefix) && !codes.contains(&code) {
                codes.push(code);
            }
        }
    }
    codes.sort_by_key(|code| (code.starts_with('M'), code.clone()));
    codes
}

/// The nearest spelling that is not likely to be of another quantity or size.
fn near(wrong: &str, may: impl Fn(&&'static str) -> bool) -> Option<&'static str> {
    let lower = folded(wrong);
    nearest(wrong, spellings().filter(may).filter(|known| alike(&lower, &known.to_lowercase())))
}

/// Among short words one letter makes another unit (`gph`, `gpm`), and so does a letter before a unit (`kgal`). Both in small
/// letters.
fn alike(wrong: &str, known: &str) -> bool {
    let sorted = |text: &str| {
        let mut letters: Vec<char> = text.chars().collect();
        letters.sort_unstable();
        letters
    };
    let (letters, others) = (sorted(wrong), sorted(known));
    let prefixed = |longer: &str, shorter: &str| longer.strip_suffix(shorter).is_some_and(|prefix| (1..=2).contains(&prefix.len()));
    match letters.len() {
        0 | 1 => false,
        2 | 3 => letters == others || (others.len() > 3 && wrong.chars().next() == known.chars().next()),
        _ => !prefixed(wrong, known) && !prefixed(known, wrong) && others.len() > 2,
    }
}
