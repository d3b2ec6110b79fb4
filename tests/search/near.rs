use bluecone::search::{distance, start_distance};
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
