//! Fractions of whole numbers, so that factors of units multiply without rounding.

/// `numerator / denominator`, in lowest terms, both above zero.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Exact {
    numerator: u128,
    denominator: u128,
}

impl Exact {
    pub(super) const ONE: Exact = Exact { numerator: 1, denominator: 1 };

    fn new(numerator: u128, denominator: u128) -> Option<Self> {
        if numerator == 0 || denominator == 0 {
            return None;
        }
        let common = common_divisor(numerator, denominator);
        Some(Self { numerator: numerator / common, denominator: denominator / common })
    }

    /// Reads `12`, `0.0254` or a quotient of two such numbers; `None` for anything else and for zero.
    pub(super) fn parse(text: &str) -> Option<Self> {
        match text.split_once('/') {
            Some((above, below)) => Self::decimal(above)?.over(Self::decimal(below)?),
            None => Self::decimal(text),
        }
    }

    fn decimal(text: &str) -> Option<Self> {
        let (whole, decimals) = text.split_once('.').unwrap_or((text, ""));
        let digits: u128 = format!("{whole}{decimals}").parse().ok()?;
        Self::new(digits, 10u128.checked_pow(decimals.len() as u32)?)
    }

    /// Ten to a power of -30..=30.
    pub(super) fn ten(power: i32) -> Option<Self> {
        let ten = 10u128.checked_pow(power.unsigned_abs())?;
        if power < 0 { Self::new(1, ten) } else { Self::new(ten, 1) }
    }

    /// `None` if the product no longer fits.
    pub(super) fn times(self, other: Self) -> Option<Self> {
        let (left, right) = (common_divisor(self.numerator, other.denominator), common_divisor(other.numerator, self.denominator));
        Some(Self {
            numerator: (self.numerator / left).checked_mul(other.numerator / right)?,
            denominator: (self.denominator / right).checked_mul(other.denominator / left)?,
        })
    }

    pub(super) fn over(self, other: Self) -> Option<Self> {
        self.times(Self { numerator: other.denominator, denominator: other.numerator })
    }

    pub(super) fn power(self, exponent: i32) -> Option<Self> {
        let mut product = Self::ONE;
        for _ in 0..exponent.unsigned_abs() {
            product = product.times(self)?;
        }
        if exponent < 0 { Self::ONE.over(product) } else { Some(product) }
    }

    /// Numerator and denominator as the nearest floating-point numbers; exact up to 2^53.
    pub(super) fn floats(self) -> (f64, f64) {
        (self.numerator as f64, self.denominator as f64)
    }
}

fn common_divisor(mut a: u128, mut b: u128) -> u128 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}
