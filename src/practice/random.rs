//! Chance without a clock: the same item draws the same numbers on every machine and in every press.

use sha2::{Digest, Sha256};

/// SplitMix64 (Steele, Lea and Flood, "Fast Splittable Pseudorandom Number Generators", OOPSLA 2014), seeded by an item's id.
#[derive(Debug, Clone)]
pub(super) struct Random(u64);

impl Random {
    /// Starts from the first eight bytes of the id's SHA-256, so that ids that differ by a letter share nothing.
    pub fn of(id: &str) -> Self {
        let digest = Sha256::digest(id.as_bytes());
        Self(digest.iter().take(8).fold(0, |seed, byte| seed << 8 | u64::from(*byte)))
    }

    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A whole number below `end`; 0 if `end` is 0.
    pub fn below(&mut self, end: usize) -> usize {
        // The high half of the product is even enough for lists this short, and unlike a remainder it uses the strong bits.
        ((u128::from(self.next()) * end as u128) >> 64) as usize
    }

    /// Fisher and Yates, from the end.
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for last in (1..list.len()).rev() {
            list.swap(last, self.below(last + 1));
        }
    }

    /// Up to `most` of the list, in the list's own order.
    pub fn some<T>(&mut self, list: Vec<T>, most: usize) -> Vec<T> {
        let mut places: Vec<usize> = (0..list.len()).collect();
        self.shuffle(&mut places);
        places.truncate(most);
        list.into_iter().enumerate().filter(|(place, _)| places.contains(place)).map(|(_, item)| item).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::Random;

    #[test]
    fn gives_the_published_first_numbers_of_seed_0() {
        // The reference implementation's first three outputs for the seed 0.
        let mut random = Random(0);
        let first: Vec<u64> = (0..3).map(|_| random.next()).collect();
        assert_eq!(first, [0xe220_a839_7b1d_cdaf, 0x6e78_9e6a_a1b9_65f4, 0x06c4_5d18_8009_454f]);
    }
}
