//! What a number measures: powers of the SI base quantities.

use std::fmt;

/// Powers of metre, kilogram, second, ampere, kelvin, mole and candela.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Dimension([i8; 7]);

/// The base units in the order of [`Dimension`].
const BASE: [&str; 7] = ["m", "kg", "s", "A", "K", "mol", "cd"];

/// Dimensions that the trade has a word for.
const WORDS: &[(&str, Dimension)] = &[
    ("a plain number", Dimension([0; 7])),
    ("length", Dimension([1, 0, 0, 0, 0, 0, 0])),
    ("area", Dimension([2, 0, 0, 0, 0, 0, 0])),
    ("volume", Dimension([3, 0, 0, 0, 0, 0, 0])),
    ("mass", Dimension([0, 1, 0, 0, 0, 0, 0])),
    ("time", Dimension([0, 0, 1, 0, 0, 0, 0])),
    ("current", Dimension([0, 0, 0, 1, 0, 0, 0])),
    ("temperature difference", Dimension([0, 0, 0, 0, 1, 0, 0])),
    ("amount of substance", Dimension([0, 0, 0, 0, 0, 1, 0])),
    ("light", Dimension([0, 0, 0, 0, 0, 0, 1])),
    ("times per time (rate)", Dimension([0, 0, -1, 0, 0, 0, 0])),
    ("speed", Dimension([1, 0, -1, 0, 0, 0, 0])),
    ("acceleration", Dimension([1, 0, -2, 0, 0, 0, 0])),
    ("volume flow", Dimension([3, 0, -1, 0, 0, 0, 0])),
    ("mass flow", Dimension([0, 1, -1, 0, 0, 0, 0])),
    ("density", Dimension([-3, 1, 0, 0, 0, 0, 0])),
    ("force", Dimension([1, 1, -2, 0, 0, 0, 0])),
    ("pressure", Dimension([-1, 1, -2, 0, 0, 0, 0])),
    ("energy", Dimension([2, 1, -2, 0, 0, 0, 0])),
    ("power", Dimension([2, 1, -3, 0, 0, 0, 0])),
    ("voltage", Dimension([2, 1, -3, -1, 0, 0, 0])),
    ("resistance", Dimension([2, 1, -3, -2, 0, 0, 0])),
    ("conductance", Dimension([-2, -1, 3, 2, 0, 0, 0])),
    ("capacitance", Dimension([-2, -1, 4, 2, 0, 0, 0])),
    ("charge", Dimension([0, 0, 1, 1, 0, 0, 0])),
    ("resistance per length", Dimension([1, 1, -3, -2, 0, 0, 0])),
    ("resistivity", Dimension([3, 1, -3, -2, 0, 0, 0])),
    ("heat per mass", Dimension([2, 0, -2, 0, 0, 0, 0])),
    ("heat per degree", Dimension([2, 1, -2, 0, -1, 0, 0])),
    ("heat flow per degree", Dimension([2, 1, -3, 0, -1, 0, 0])),
    ("heat flow per area", Dimension([0, 1, -3, 0, 0, 0, 0])),
    ("heat per mass and degree", Dimension([2, 0, -2, 0, -1, 0, 0])),
    ("per degree", Dimension([0, 0, 0, 0, -1, 0, 0])),
    ("per length", Dimension([-1, 0, 0, 0, 0, 0, 0])),
];

impl Dimension {
    /// A plain number.
    pub const NONE: Dimension = Dimension([0; 7]);
    pub const LENGTH: Dimension = Dimension([1, 0, 0, 0, 0, 0, 0]);
    pub const TIME: Dimension = Dimension([0, 0, 1, 0, 0, 0, 0]);

    /// Powers in the order metre, kilogram, second, ampere, kelvin, mole, candela.
    pub const fn of(powers: [i8; 7]) -> Self {
        Self(powers)
    }

    /// The dimension of a product; `None` if a power leaves -127..=127.
    pub fn times(self, other: Self) -> Option<Self> {
        self.merge(other, i8::checked_add)
    }

    /// The dimension of a quotient; `None` if a power leaves -127..=127.
    pub fn over(self, other: Self) -> Option<Self> {
        self.merge(other, i8::checked_sub)
    }

    /// The dimension of a whole power; `None` if a power leaves -127..=127.
    pub fn power(self, exponent: i32) -> Option<Self> {
        let exponent = i8::try_from(exponent).ok()?;
        let mut powers = self.0;
        for power in &mut powers {
            *power = power.checked_mul(exponent)?;
        }
        Some(Self(powers))
    }

    /// The dimension of a square root; `None` if a power is odd.
    pub fn root(self) -> Option<Self> {
        self.0.iter().all(|power| power % 2 == 0).then(|| Self(self.0.map(|power| power / 2)))
    }

    fn merge(self, other: Self, join: fn(i8, i8) -> Option<i8>) -> Option<Self> {
        let mut powers = self.0;
        for (power, other) in powers.iter_mut().zip(other.0) {
            *power = join(*power, other)?;
        }
        Some(Self(powers))
    }
}

/// The trade's word, such as `voltage`; otherwise the SI base units, such as `m2.kg/s3`.
impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some((word, _)) = WORDS.iter().find(|(_, dimension)| dimension == self) {
            return f.write_str(word);
        }
        let mut first = true;
        for (base, power) in BASE.iter().zip(self.0).filter(|(_, power)| *power != 0) {
            if !first {
                f.write_str(".")?;
            }
            first = false;
            f.write_str(base)?;
            if power != 1 {
                write!(f, "{power}")?;
            }
        }
        Ok(())
    }
}
