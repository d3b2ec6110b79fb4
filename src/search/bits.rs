//! Whole numbers and sets of them as a row of bits, six of which make a character.
//!
//! The ways of writing are those of the trade of indexing: truncated binary for a number below a known limit, Elias's gamma for one
//! without a limit, Golomb's code for the gaps of a set. A compressor finds nothing to save in such a row, so nothing is lost by it.

/// Bits in the order in which they are read; in each word from the highest on.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Bits {
    words: Vec<u64>,
    len: usize,
}

impl Bits {
    pub(super) fn len(&self) -> usize {
        self.len
    }

    pub(super) fn append(&mut self, other: &Bits) {
        let mut left = other.len;
        for word in &other.words {
            let count = left.min(64);
            self.plain(word >> (64 - count), count as u32);
            left -= count;
        }
    }

    /// The lowest `count` bits of a number, the highest of them first; 64 at most.
    fn plain(&mut self, number: u64, count: u32) {
        if count == 0 {
            return;
        }
        let number = number << (64 - count);
        let used = self.len % 64;
        match self.words.last_mut() {
            Some(last) if used > 0 => {
                *last |= number >> used;
                if used + count as usize > 64 {
                    self.words.push(number << (64 - used));
                }
            }
            _ => self.words.push(number),
        }
        self.len += count as usize;
    }

    /// Truncated binary: a number below `limit`.
    pub(super) fn below(&mut self, number: u64, limit: u64) {
        if limit > 1 {
            let short = limit.ilog2();
            let shorts = (2 << short) - limit;
            match number < shorts {
                true => self.plain(number, short),
                false => self.plain(number + shorts, short + 1),
            }
        }
    }

    /// That many zeros, and a one.
    fn unary(&mut self, number: u64) {
        for _ in 0..number / 64 {
            self.plain(0, 64);
        }
        self.plain(1, (number % 64) as u32 + 1);
    }

    /// Elias's gamma code of a number from zero on.
    pub(super) fn gamma(&mut self, number: u64) {
        let bits = (number + 1).ilog2();
        self.unary(bits.into());
        self.plain(number + 1, bits);
    }

    /// A set of numbers below `limit`, rising; how many they are is known to the reader. Of more than half of them, the others are written.
    pub(super) fn set(&mut self, numbers: &[u64], limit: u64) {
        let count = numbers.len() as u64;
        if 2 * count <= limit {
            return self.gaps(numbers, limit);
        }
        let mut chosen = numbers.iter().copied().peekable();
        let others: Vec<u64> = (0..limit).filter(|&number| chosen.next_if_eq(&number).is_none()).collect();
        self.gaps(&others, limit);
    }

    fn gaps(&mut self, numbers: &[u64], limit: u64) {
        if let &[number] = numbers {
            return self.below(number, limit);
        }
        let divisor = divisor(numbers.len() as u64, limit);
        let mut next = 0;
        for &number in numbers {
            self.unary((number - next) / divisor);
            self.below((number - next) % divisor, divisor);
            next = number + 1;
        }
    }

    /// Which of a row of items are so: how many, and the set of their places.
    pub(super) fn marks(&mut self, marked: impl ExactSizeIterator<Item = bool>) {
        let limit = marked.len() as u64;
        let numbers: Vec<u64> = (0..).zip(marked).filter(|(_, marked)| *marked).map(|(at, _)| at).collect();
        self.below(numbers.len() as u64, limit + 1);
        self.set(&numbers, limit);
    }

    /// Six bits a character, the last filled up with zeros.
    pub(super) fn characters(&self, character: impl Fn(u8) -> char) -> String {
        let six = |at: usize| {
            let (word, past) = (at / 64, at % 64);
            let next = self.words.get(word + 1).map_or(0, |next| next.checked_shr(64 - past as u32).unwrap_or(0));
            ((self.words[word] << past | next) >> 58) as u8
        };
        (0..self.len).step_by(6).map(|at| character(six(at))).collect()
    }
}

/// Golomb's divisor for the gaps of `count` numbers below `limit`: about ln 2 times the mean gap.
fn divisor(count: u64, limit: u64) -> u64 {
    ((69 * (limit - count) + 85 * count) / (100 * count.max(1))).max(1)
}
