//! Sentences out of longer texts, numbers as readers see them, and which words two texts share.

use std::collections::BTreeSet;

use crate::formula::Unit;

/// The first sentences, as many as fit into `most` characters, but at least one.
pub(super) fn opening(text: &str, most: usize) -> &str {
    let mut end = 0;
    for (place, _) in text.match_indices([' ', '\u{a0}']).chain([(text.len(), "")]) {
        let so_far = &text[..place];
        if is_sentence(so_far) || place == text.len() {
            if end > 0 && so_far.chars().count() > most {
                break;
            }
            end = place;
        }
    }
    text[..end].trim_end()
}

/// Whether the text ends with a full stop that ends a sentence, and not one of `in. w.c.` or `a.c.`.
fn is_sentence(text: &str) -> bool {
    let last = text.rsplit([' ', '\u{a0}', '(']).next().unwrap_or_default();
    text.ends_with(['.', '?', '!']) && !matches!(last, "in." | "w.c." | "a.c." | "d.c." | "e.g." | "i.e." | "1." | "2." | "3.")
}

pub(super) fn quoted(text: &str) -> String {
    format!("\u{201c}{text}\u{201d}")
}

/// Ends a text with a full stop if it has none.
pub(super) fn sentence(text: &str) -> String {
    let text = text.trim();
    if text.ends_with(['.', '?', '!']) { text.to_owned() } else { format!("{text}.") }
}

/// The first letter small, unless the first word is an abbreviation.
pub(super) fn lower(text: &str) -> String {
    let mut letters = text.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), Some(second)) if !second.is_uppercase() => first.to_lowercase().chain(letters).collect(),
        _ => text.to_owned(),
    }
}

/// For comparing: small letters, single spaces.
pub(super) fn folded(text: &str) -> String {
    let mut folded = text.to_lowercase();
    // Most texts have single spaces already.
    if folded.contains("  ") || folded.trim().len() < folded.len() || folded.contains(|sign: char| sign != ' ' && sign.is_whitespace()) {
        folded = folded.split_whitespace().collect::<Vec<_>>().join(" ");
    }
    folded
}

/// A number of the unit as it is shown.
pub(super) fn with_unit(unit: &Unit, number: &str) -> String {
    if unit.shown().is_empty() { number.to_owned() } else { format!("{number}\u{a0}{}", unit.shown()) }
}

/// A number with a true minus sign and no zeros at its end.
pub(super) fn number(value: f64) -> String {
    format!("{value}").replace('-', "\u{2212}")
}

/// With just so many decimals.
pub(super) fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let zero = text.trim_start_matches('-').chars().all(|sign| sign == '0' || sign == '.');
    if zero { text.trim_start_matches('-').to_owned() } else { text.replace('-', "\u{2212}") }
}

/// The beginnings, so many letters long, of the words that carry meaning. Five see that `igniter` gives away `ignition`, four that
/// `locked out` gives away `lockout`.
pub(super) fn stems(text: &str, letters: usize) -> BTreeSet<String> {
    const EMPTY: [&str; 16] = [
        "with", "that", "this", "from", "have", "into", "when", "which", "until", "than", "after", "before", "does", "each", "other",
        "their",
    ];
    text.to_lowercase()
        .split(|sign: char| !sign.is_alphanumeric())
        .filter(|word| word.chars().count() >= 4 && !EMPTY.contains(word))
        .map(|word| word.chars().take(letters).collect())
        .collect()
}

/// Whether the question gives the right option away: it shares a word with it that no wrong option has, or says it outright.
pub(super) fn gives_away(question: &str, right: &str, wrong: &[&str]) -> bool {
    let asked = stems(question, 4);
    let mut shared = stems(right, 4);
    shared.retain(|stem| asked.contains(stem));
    for option in wrong {
        if shared.is_empty() {
            break;
        }
        let others = stems(option, 4);
        shared.retain(|stem| !others.contains(stem));
    }
    let words = |text: &str| format!(" {} ", text.to_lowercase().split(|sign: char| !sign.is_alphanumeric()).collect::<Vec<_>>().join(" "));
    !shared.is_empty() || words(question).contains(&words(right))
}

/// A list in words: `a, b and c`.
pub(super) fn listed(parts: &[String]) -> String {
    match parts.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => parts.join(", "),
    }
}
