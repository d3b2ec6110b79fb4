//! Texts in formulas, and formulas in YAML: YAML takes the outermost quotes away, and a text needs its own.

use std::ops::Range;

/// How a formula is written in YAML whose `range` is a text that stands without double quotes, as a hint.
pub(super) fn in_quotes(formula: &str, range: Range<usize>, text: &str) -> String {
    whole(format!("{}\"{text}\"{}", &formula[..range.start], &formula[range.end..]))
}

/// The same for a formula with texts in other quotes.
pub(super) fn in_double_quotes(formula: &str) -> String {
    whole(formula.replace(['\'', '‘', '’', '“', '”'], "\""))
}

fn whole(formula: String) -> String {
    const MOST: usize = 100;
    let short = formula.len() <= MOST && !formula.trim().contains('\n') && !formula.contains('\'');
    let example = if short { format!("'{}'", formula.trim()) } else { "'kind == \"coil\"'".to_owned() };
    format!("a text stands in double quotes, and the formula around it in single ones: `{example}`")
}

/// A formula as a value in YAML, which can stand inside braces too.
pub(super) fn in_yaml(formula: &str) -> String {
    let plain = formula.chars().all(|sign| sign.is_alphanumeric() || " _.+-*/^()".contains(sign));
    if plain { formula.to_owned() } else { format!("'{}'", formula.replace('\'', "''")) }
}
