//! Exponentials, logarithms and powers out of plain arithmetic, so that every machine gives the same bits.
//!
//! C libraries and browsers have their own `exp` and `log`, which may differ in the last place, and a difference of near numbers
//! enlarges that. Addition, multiplication and division are the same everywhere (IEEE 754), so the functions here, and line
//! for line in `browser/powers.js`, are made of these alone. A test holds them against the C library's.

/// ln 2 in two parts; the first has so few digits that its product with a whole number up to 2000 is exact.
const LN_2_HIGH: f64 = 6.931_471_803_691_238e-1;
const LN_2_LOW: f64 = 1.908_214_929_270_587_7e-10;
/// Powers with a whole exponent up to this are worked by multiplying.
const MOST_FACTORS: f64 = 64.0;

/// e to the power of `x`, within one unit in the last place; infinite above 709.78.
pub(super) fn exp(x: f64) -> f64 {
    if x > 710.0 {
        return f64::INFINITY;
    }
    if x < -746.0 {
        return 0.0;
    }
    // x = k ln 2 + r, with |r| at most half of ln 2; `lost` is what the subtraction rounded away.
    let k = (x / (LN_2_HIGH + LN_2_LOW) + 0.5).floor();
    let (high, low) = (x - k * LN_2_HIGH, k * LN_2_LOW);
    let r = high - low;
    let lost = (high - r) - low;
    // The series 1 + r + r²/2 + r³/6 + …, from its end.
    let mut tail = 1.0;
    for n in (3..=13).rev() {
        tail = 1.0 + tail * r / f64::from(n);
    }
    let near_one = 1.0 + (r + (tail * r * r / 2.0 + lost));
    // In two steps: a power of two may be too large or too small for one.
    let half = (k / 2.0).floor();
    near_one * two_to(half) * two_to(k - half)
}

/// The natural logarithm of a number above zero, within one unit in the last place.
pub(super) fn ln(x: f64) -> f64 {
    // x = m times a power of two, with m between √½ and √2.
    let (mut m, mut k) = (x, 0.0);
    while m >= std::f64::consts::SQRT_2 {
        m /= 2.0;
        k += 1.0;
    }
    while m < std::f64::consts::FRAC_1_SQRT_2 {
        m *= 2.0;
        k -= 1.0;
    }
    // ln (1 + f) = 2 artanh s with s = f / (2 + f), arranged so that the largest part, f, is not rounded.
    let f = m - 1.0;
    let s = f / (2.0 + f);
    let square = s * s;
    let mut rest = 0.0;
    for n in (1..=11).rev() {
        rest = square * (2.0 / (2.0 * f64::from(n) + 1.0) + rest);
    }
    let half_square = f * f / 2.0;
    k * LN_2_HIGH - ((half_square - (s * (half_square + rest) + k * LN_2_LOW)) - f)
}

/// `base` to the power of `exponent`, where there is such a power. Beyond whole exponents up to 64 it is within about
/// 2 + 2 × |exponent × ln base| units in the last place.
pub(super) fn power(base: f64, exponent: f64) -> f64 {
    if base == 0.0 {
        return if exponent == 0.0 { 1.0 } else { 0.0 };
    }
    if exponent == exponent.floor() && exponent.abs() <= MOST_FACTORS {
        return whole_power(base, exponent);
    }
    let size = exp(exponent * ln(base.abs()));
    if base < 0.0 && exponent % 2.0 != 0.0 { -size } else { size }
}

/// By multiplying from the left.
pub(super) fn whole_power(base: f64, exponent: f64) -> f64 {
    let mut product = 1.0;
    let mut left = exponent.abs();
    while left > 0.0 {
        product *= base;
        left -= 1.0;
    }
    if exponent < 0.0 { 1.0 / product } else { product }
}

fn two_to(exponent: f64) -> f64 {
    whole_power(2.0, exponent)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The distance in units in the last place.
    fn ulps(a: f64, b: f64) -> u64 {
        a.to_bits().abs_diff(b.to_bits())
    }

    /// Numbers spread over a range, the same in every run.
    fn spread(from: f64, to: f64) -> impl Iterator<Item = f64> {
        let golden = 0.618_033_988_749_894_9;
        (1..=100_000).map(move |at| from + (to - from) * (f64::from(at) * golden).fract())
    }

    /// The C library's functions are right to within a little more than half a unit.
    #[test]
    fn exponentials_and_logarithms_keep_to_the_c_library() {
        for (from, to) in [(-1.0, 1.0), (-40.0, 40.0), (-708.0, 709.7), (-1e-6, 1e-6)] {
            let worst = spread(from, to).map(|x| ulps(exp(x), x.exp())).max();
            assert!(worst <= Some(1), "exp from {from} to {to}: {worst:?}");
        }
        for (from, to) in [(0.5, 2.0), (1e-3, 1e3), (1e-300, 1e300), (0.999, 1.001)] {
            let worst = spread(from, to).map(|x| ulps(ln(x).abs(), x.ln().abs())).max();
            assert!(worst <= Some(1), "ln from {from} to {to}: {worst:?}");
        }
    }

    #[test]
    fn ends_are_kept() {
        assert_eq!((exp(0.0), exp(710.0), exp(-746.0), ln(1.0)), (1.0, f64::INFINITY, 0.0, 0.0));
        assert!(exp(-745.0) > 0.0 && exp(709.7).is_finite() && exp(709.9).is_infinite());
        assert_eq!(ln(f64::MIN_POSITIVE / 4.0), (f64::MIN_POSITIVE / 4.0).ln());
        assert_eq!((power(0.0, 0.0), power(0.0, 2.5), power(-2.0, 3.0), power(-2.0, -2.0)), (1.0, 0.0, -8.0, 0.25));
        assert!(power(-1.5, 101.0) < 0.0 && power(-1.5, 102.0) > 0.0);
    }

    #[test]
    fn powers_keep_to_their_bound() {
        for base in spread(0.01, 200.0).step_by(31) {
            for exponent in spread(-70.0, 70.0).step_by(2003) {
                let known = base.powf(exponent);
                if known.is_normal() {
                    let bound = 2.0 + 2.0 * (exponent * base.ln()).abs();
                    assert!(ulps(power(base, exponent), known) as f64 <= bound, "{base} ^ {exponent}");
                }
            }
            for exponent in -64..=64 {
                let known = base.powi(exponent);
                let off = (whole_power(base, f64::from(exponent)) / known - 1.0).abs();
                assert!(!known.is_normal() || off <= 64.0 * f64::EPSILON, "{base} ^ {exponent}: {off}");
            }
        }
    }
}
