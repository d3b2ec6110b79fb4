/**
 * Exponentials, logarithms and powers, for calculators that use them: loaded after sums.js. They are made of plain arithmetic,
 * line for line as in `formula/powers.rs`, since every browser and every C library has its own, which differ in the last place.
 */
(function () {
  "use strict";

  const LN_2_HIGH = 6.931471803691238e-1;
  const LN_2_LOW = 1.9082149292705877e-10;
  const MOST_FACTORS = 64;

  const { kit } = globalThis.bluecone.sums;
  const { checked, div, lack } = kit;

  function wholePower(base, exponent) {
    let product = 1;
    for (let left = Math.abs(exponent); left > 0; left--) product *= base;
    return exponent < 0 ? 1 / product : product;
  }

  function exp(x) {
    if (x > 710) return Infinity;
    if (x < -746) return 0;
    const k = Math.floor(x / (LN_2_HIGH + LN_2_LOW) + 0.5);
    const high = x - k * LN_2_HIGH;
    const low = k * LN_2_LOW;
    const r = high - low;
    const lost = high - r - low;
    let tail = 1;
    for (let n = 13; n >= 3; n--) tail = 1 + (tail * r) / n;
    const nearOne = 1 + (r + ((tail * r * r) / 2 + lost));
    const half = Math.floor(k / 2);
    return nearOne * wholePower(2, half) * wholePower(2, k - half);
  }

  function ln(x) {
    let m = x;
    let k = 0;
    for (; m >= Math.SQRT2; k++) m /= 2;
    for (; m < Math.SQRT1_2; k--) m *= 2;
    const f = m - 1;
    const s = f / (2 + f);
    const square = s * s;
    let rest = 0;
    for (let n = 11; n >= 1; n--) rest = square * (2 / (2 * n + 1) + rest);
    const halfSquare = (f * f) / 2;
    return k * LN_2_HIGH - (halfSquare - (s * (halfSquare + rest) + k * LN_2_LOW) - f);
  }

  function power(base, exponent) {
    if (base === 0) return exponent === 0 ? 1 : 0;
    if (Number.isInteger(exponent) && Math.abs(exponent) <= MOST_FACTORS) return wholePower(base, exponent);
    const size = exp(exponent * ln(Math.abs(base)));
    return base < 0 && exponent % 2 !== 0 ? -size : size;
  }

  kit.raise = (base, exponent) => (exponent < 0 ? div(1, wholePower(base, -exponent)) : wholePower(base, exponent));
  kit.exp = checked(exp);
  kit.ln = checked((a) => (a <= 0 ? lack("It takes the logarithm of zero or of a negative number.") : ln(a)));
  kit.pow = checked((base, exponent) => {
    const none = base === 0 ? exponent < 0 : base < 0 && !Number.isInteger(exponent);
    return none ? lack("It raises zero or a negative number to a power that has no value.") : power(base, exponent);
  });
})();
