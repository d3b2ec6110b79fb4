use std::sync::LazyLock;

use bluecone::search::{Index, distance, files_of, start_distance};
use proptest::prelude::*;

use super::page::Page;

thread_local! { static PAGE: Page = Page::new(&[]); }

#[test]
fn swaps_count_one() {
    assert_eq!(distance("ingiter", "igniter", 2), Some(1));
    assert_eq!(distance("igniter", "ignitor", 2), Some(1));
    assert_eq!(distance("ca", "abc", 3), Some(3), "no stretch is edited twice");
    assert_eq!(distance("", "abc", 3), Some(3));
    assert_eq!(distance("flame", "frame", 0), None);
    assert_eq!(distance("flame", "flame", 0), Some(0));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, ..ProptestConfig::default() })]

    // Few letters, so that swaps and repeats are common.
    #[test]
    fn equal_to_a_reference_library(a in "[abc]{0,9}|[a-zé火]{0,12}", b in "[abc]{0,9}|[a-zé火]{0,12}", limit in 0_usize..6) {
        let reference = strsim::osa_distance(&a, &b);
        prop_assert_eq!(distance(&a, &b, limit), (reference <= limit).then_some(reference));
        let there: usize = PAGE.with(|page| page.ask("blueconeSearch.distance(input[0], input[1], input[2])", (&a, &b, limit)));
        prop_assert_eq!(there, reference.min(limit + 1));
    }

    #[test]
    fn the_quick_looks_for_one_edit_are_right(a in "[abc]{1,6}|[a-zé]{1,4}", b in "[abc]{1,8}|[a-zé]{1,6}") {
        let there: (bool, bool) =
            PAGE.with(|page| page.ask("[blueconeSearch.isNear(input[0], input[1]), blueconeSearch.startsNear(input[0], input[1])]", (&a, &b)));
        prop_assert_eq!(there, (distance(&a, &b, 1).is_some(), start_distance(&a, &b, 1).is_some()));
    }
}

/// Some thousand words, on more than a few of the index's lines.
static MANY: LazyLock<Index> = LazyLock::new(|| Index::build(super::generated::documents(150), &[]));

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, ..ProptestConfig::default() })]

    /// The page looks only at lines whose beginning allows it; that must miss nothing.
    #[test]
    fn all_near_words_of_a_large_index_are_found(
        at in any::<prop::sample::Index>(),
        edits in prop::collection::vec((any::<prop::sample::Index>(), 0_usize..4, prop::char::range('a', 'z')), 0..4),
        limit in 1_usize..4,
    ) {
        thread_local! { static PAGE: Page = Page::new(&files_of(&MANY)); }
        let mut word: Vec<char> = at.get(&MANY.surfaces).word.chars().collect();
        for (at, what, letter) in edits {
            let at = at.index(word.len());
            match what {
                0 => word.insert(at, letter),
                1 if word.len() > 1 => drop(word.remove(at)),
                2 if at > 0 => word.swap(at - 1, at),
                _ => word[at] = letter,
            }
        }
        let word: String = word.into_iter().collect();
        let others = MANY.surfaces.iter().enumerate().filter(|(_, surface)| surface.word != word);
        let here: Vec<(usize, usize)> = others.filter_map(|(at, surface)| Some((at, distance(&word, &surface.word, limit)?))).collect();
        let there: Vec<(usize, usize)> = PAGE.with(|page| {
            page.ask("(() => { const found = []; index.surfaces.eachNear(input[0], input[1], (at, far) => found.push([at, far])); return found; })()", (&word, limit))
        });
        prop_assert_eq!(there, here, "{}", word);
    }
}
