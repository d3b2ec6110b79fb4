//! How far one word is from another, and the known words near an unknown one.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use super::{Index, Surface};

const FARTHEST: usize = 3;

/// The optimal string alignment distance: insertions, deletions, substitutions and swaps of neighbours each count one, and no
/// stretch is edited twice. Counted in UTF-16 code units, as the browser does. `None` if it is more than `limit`.
pub fn distance(a: &str, b: &str, limit: usize) -> Option<usize> {
    let length = b.encode_utf16().count();
    if a.encode_utf16().count().abs_diff(length) > limit {
        return None;
    }
    last_row(a, b, limit)?.last().copied().filter(|&cost| cost <= limit)
}

/// The least [`distance`] of `a` from any start of `b`.
pub fn start_distance(a: &str, b: &str, limit: usize) -> Option<usize> {
    last_row(a, b, limit)?.into_iter().min().filter(|&cost| cost <= limit)
}

/// The distances of all of `a` from each start of `b`; `None` if all are more than `limit`.
fn last_row(a: &str, b: &str, limit: usize) -> Option<Vec<usize>> {
    let a: Vec<u16> = a.encode_utf16().collect();
    let b: Vec<u16> = b.encode_utf16().collect();
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for (i, &x) in a.iter().enumerate() {
        let mut row = Vec::with_capacity(b.len() + 1);
        row.push(i + 1);
        let mut least = i + 1;
        for (j, &y) in b.iter().enumerate() {
            let mut cost = (last[j] + usize::from(x != y)).min(last[j + 1] + 1).min(row[j] + 1);
            if i > 0 && j > 0 && x == b[j - 1] && a[i - 1] == y {
                cost = cost.min(before[j - 1] + 1);
            }
            least = least.min(cost);
            row.push(cost);
        }
        // A swap reaches two rows back, so one row above the limit is not the end unless the next is too.
        if least > limit && last.iter().all(|&cost| cost > limit) {
            return None;
        }
        before = std::mem::replace(&mut last, row);
    }
    Some(last)
}

/// Known words near an unknown one, nearest first, one for each stem, for "did you mean": at most a third of the letters differ, and
/// one more, but never more than three.
pub(super) fn nearest(index: &Index, word: &str, count: usize) -> Vec<String> {
    let limit = (word.encode_utf16().count() / 3 + 1).min(FARTHEST);
    let mut near: Vec<(usize, Reverse<u32>, &Surface)> = index
        .surfaces
        .iter()
        .filter(|surface| index.frequency(surface.stem) > 0 && surface.word != word)
        .filter_map(|surface| {
            let far = distance(word, &surface.word, limit)?;
            Some((far, Reverse(index.frequency(surface.stem)), surface))
        })
        .collect();
    // The sort is stable and the surfaces rise already.
    near.sort_by_key(|&(far, often, _)| (far, often));
    let mut stems = BTreeSet::new();
    near.into_iter().filter(|(.., surface)| stems.insert(surface.stem)).take(count).map(|(.., surface)| surface.word.clone()).collect()
}
