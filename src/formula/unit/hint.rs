//! What to write in place of a text that is no unit.

use super::grammar::{self, Misread, What};
use super::spelled::folded;
use super::{Unit, spellings};
use crate::diagnostic::nearest;

const DIFFERENCE: &str = "write `K` or `[degR]` for a temperature difference";

/// `text`: what was written, trimmed; `plain`: the same with UCUM's signs; `misread` has its place there.
pub(super) fn hint(text: &str, plain: &str, misread: &Misread) -> Option<String> {
    if misread.what == What::Scale {
        return Some(DIFFERENCE.to_owned());
    }
    let wrong = plain.get(misread.range.clone()).unwrap_or(plain).trim();
    let unknown = |hint: Option<String>| hint.filter(|_| misread.what == What::Symbol);
    let product = || raised(text).or_else(|| multiplied(text)).or_else(|| run_together(text, wrong));
    product().or_else(|| unknown(alone(wrong, text).or_else(|| cased(wrong)))).or_else(|| {
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
    close = close.replace(" . ", ".");
    for sign in ["/", "·", "*", "×", "(", ")"] {
        close = close.replace(&format!(" {sign}"), sign).replace(&format!("{sign} "), sign);
    }
    if close != text && Unit::known(&close).is_some() {
        return Some(format!("write it without spaces: `{close}`"));
    }
    // Below a `/` a product needs parentheses.
    let pointed = |signs: &[char]| {
        let parts = close.split('/').enumerate().map(|(at, part)| match part.replace(signs, ".") {
            _ if Unit::known(part).is_some() => part.to_owned(),
            product if at > 0 && product != part && !part.contains(['(', ')']) => format!("({product})"),
            product => product,
        });
        parts.collect::<Vec<_>>().join("/")
    };
    let codes = [pointed(&[' ', '*']), pointed(&[' ', '*', '-'])];
    codes.into_iter().find(|code| *code != close && Unit::known(code).is_some()).map(|code| with_a_point(&code))
}

fn with_a_point(code: &str) -> String {
    let has = |symbol| code.split(['.', '/', '(', ')']).any(|part| part == symbol);
    let degree = if has("F") {
        "; in it `F` is the farad, a degree is `F°`"
    } else if has("C") {
        "; in it `C` is the coulomb, a degree is `K`"
    } else {
        ""
    };
    format!("a product is written with a point: `{code}`{degree}")
}

/// `Nm`, `W/m2K`.
fn run_together(text: &str, wrong: &str) -> Option<String> {
    const LONGEST: usize = 5;
    let last = ["m", "s", "h", "K"].into_iter().find(|last| wrong.len() <= LONGEST && wrong.ends_with(last))?;
    let first = &wrong[..wrong.len() - last.len()];
    let begins = first.starts_with(|sign: char| sign.is_ascii_alphabetic());
    grammar::find(first.trim_end_matches(|sign: char| sign.is_ascii_digit())).filter(|_| begins)?;
    // `ccfh` would be by the hour, as `cfh` is.
    if last == "h" && !first.ends_with(['W', 'A']) || first.ends_with(last) {
        return None;
    }
    let product = format!("{first}.{last}");
    let before = text.strip_suffix(wrong)?;
    let code = if before.ends_with('/') { format!("{before}({product})") } else { format!("{before}{product}") };
    Unit::known(&code).map(|_| with_a_point(&code))
}

/// A spelling that is read only as a whole unit.
fn alone(wrong: &str, text: &str) -> Option<String> {
    let unit = Unit::known(wrong).filter(|_| wrong != text)?;
    if unit.is_point() {
        return Some(DIFFERENCE.to_owned());
    }
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
    // The last letter twice.
    let doubled = known.chars().last().is_some_and(|last| wrong.strip_suffix(last) == Some(known));
    match letters.len() {
        0 | 1 => false,
        length if doubled => length > 2,
        2 => others.len() > 3 && wrong.chars().next() == known.chars().next(),
        3 => letters == others || (others.len() > 3 && wrong.chars().next() == known.chars().next()),
        _ => !prefixed(wrong, known) && !prefixed(known, wrong) && (letters == others || others.len() > 3),
    }
}
