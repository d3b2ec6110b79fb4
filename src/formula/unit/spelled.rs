//! Spellings that are compared without case, of whole units and of parts of a product.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use super::atoms::{ATOMS, WHOLE};
use super::words;

type Codes = LazyLock<BTreeMap<String, &'static str>>;

/// The spellings of [`WHOLE`].
static FIRST: Codes = LazyLock::new(|| {
    let mut codes = BTreeMap::new();
    for (code, shown, more) in WHOLE {
        for known in std::iter::once(shown).chain(*more) {
            codes.entry(folded(known)).or_insert(*code);
        }
    }
    codes
});

/// The trade's spellings of single units. The code comes before them, since `cF` is not `cf`.
static SINGLE: Codes = LazyLock::new(|| {
    let spellings = ATOMS.iter().flat_map(|atom| atom.trade.iter().map(|known| (folded(known), atom.code)));
    spellings.collect()
});

/// Spellings that can be part of a product, with their signs as the grammar sees them. Those that hold a quotient would be
/// torn apart or mean another one there: `1/btu/hr` is not `1/(btu/hr)`.
static INSIDE: Codes = LazyLock::new(|| {
    let all = SINGLE.iter().chain(FIRST.iter()).map(|(known, code)| (known.as_str(), *code)).chain(words::all());
    let whole = |known: &str| known.contains(['/', '·']) || known.contains(" per ") || known.contains("delta") || known.contains("differ");
    let parts = all.filter(|(known, code)| !whole(known) && !["Cel", "[degF]"].contains(code));
    parts.map(|(known, code)| (super::plain_signs(known).to_lowercase(), code)).collect()
});

/// Small letters and single spaces, `Ω` in letters.
pub(super) fn folded(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ").replace(['Ω', '\u{2126}'], "ohm").replace(['º', '˚'], "°").to_lowercase()
}

/// The code of a whole unit's spelling, which goes before any reading as a code; given folded.
pub(super) fn first(folded: &str) -> Option<&'static str> {
    FIRST.get(folded).copied()
}

/// The code of a unit by its spelling in the trade or in words, for texts that are no code; given folded.
pub(super) fn last(folded: &str) -> Option<&'static str> {
    SINGLE.get(folded).copied().or_else(|| words::code(folded))
}

/// The longest spelling at the beginning of a part of a product, with its length and its code.
pub(super) fn inside(text: &str) -> Option<(usize, &'static str)> {
    let run = text.find(['/', '(', ')', '{']).unwrap_or(text.len());
    let points = text[..run].rmatch_indices('.').map(|(at, _)| at);
    // A point behind a spelling may be its own, as in `in. w.c.`, or multiply.
    std::iter::once(run).chain(points).find_map(|end| Some((end, *INSIDE.get(&folded(&text[..end]))?)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::formula::unit::Unit;
    use crate::formula::unit::hint::in_other_case;

    /// A spelling that is compared without case must not be one that only the case tells from another unit.
    #[test]
    fn no_spelling_means_two_units() {
        let mut seen = 0;
        for (known, code) in SINGLE.iter().chain(FIRST.iter()) {
            let unit = Unit::code(code).ok().unwrap();
            for other in in_other_case(known) {
                seen += 1;
                assert_eq!(Unit::code(&other).ok().unwrap(), unit, "{known} in other letters is {other}");
            }
        }
        assert!(seen > 50, "{seen}");
        for atom in ATOMS {
            for known in atom.trade {
                assert_eq!(SINGLE.get(&folded(known)), Some(&atom.code), "{known}");
                assert!(first(&folded(known)).is_none_or(|code| code == atom.code), "{known}");
            }
        }
    }

    #[test]
    fn spellings_in_products_are_their_units() {
        for (known, code) in INSIDE.iter() {
            let product = Unit::parse(&format!("m/{known}")).unwrap_or_else(|error| panic!("m/{known}: {error:?}"));
            let metre = Unit::parse("m").unwrap();
            let unit = Unit::code(code).ok().unwrap();
            assert_eq!(product.dimension(), metre.dimension().over(unit.dimension()).unwrap(), "{known}");
            let expected = 1.0 / unit.to_base(1.0);
            assert!((product.to_base(1.0) - expected).abs() <= 1e-14 * expected, "{known}");
            assert_eq!(Unit::parse(product.ucum()).unwrap().conversion(), product.conversion(), "{known}");
        }
    }
}
