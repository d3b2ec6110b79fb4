// @ts-check
// Whole numbers and sets of them from a row of bits. The ways of writing are told in the press: `bits.rs` of its search folder.
'use strict';

(() => {
  /** By character code; 255 for what is no digit. */
  const DIGITS = new Uint8Array(128).fill(255);
  for (let digit = 0, code = 32; code < 127; code++) if (code !== 34 && code !== 92) DIGITS[code] = digit++;

  /** Reads a row of bits; throws a RangeError past its end, which the callers turn into "damaged". */
  class Bits {
    /** @param {string} code six bits a character */
    constructor(code) {
      this.end = code.length * 6;
      this.at = 0;
      // Thirty-two bits a number, and one more number so that a read across the end finds zeros.
      const row = this.row = new Uint32Array(Math.ceil(this.end / 32) + 2);
      /** @param {number} at */
      const six = (at) => DIGITS[code.charCodeAt(at) & 127] & 63;
      let word = 0;
      let i = 0;
      // Sixteen characters are three numbers.
      for (; i + 16 <= code.length; i += 16) {
        const [sixth, eleventh] = [six(i + 5), six(i + 10)];
        row[word++] = (six(i) << 26) | (six(i + 1) << 20) | (six(i + 2) << 14) | (six(i + 3) << 8) | (six(i + 4) << 2) | (sixth >>> 4);
        row[word++] = (sixth << 28) | (six(i + 6) << 22) | (six(i + 7) << 16) | (six(i + 8) << 10) | (six(i + 9) << 4) | (eleventh >>> 2);
        row[word++] = (eleventh << 30) | (six(i + 11) << 24) | (six(i + 12) << 18) | (six(i + 13) << 12) | (six(i + 14) << 6) | six(i + 15);
      }
      let held = 0;
      let bits = 0;
      for (; i < code.length; i++) {
        const digit = six(i);
        if (bits <= 26) {
          held = (held << 6) | digit;
          bits += 6;
          if (bits === 32) {
            row[word++] = held;
            held = bits = 0;
          }
        } else {
          const over = bits - 26;
          row[word++] = (held << (6 - over)) | (digit >>> over);
          held = digit & ((1 << over) - 1);
          bits = over;
        }
      }
      if (bits > 0) row[word] = held << (32 - bits);
    }

    /** The next 32 bits, which are not passed. */
    ahead() {
      const word = this.at >>> 5;
      const bit = this.at & 31;
      return bit === 0 ? this.row[word] : ((this.row[word] << bit) | (this.row[word + 1] >>> (32 - bit))) >>> 0;
    }

    /** @param {number} count from 1 to 31 */
    plain(count) {
      const number = this.ahead() >>> (32 - count);
      this.at += count;
      if (this.at > this.end) throw new RangeError('damaged');
      return number;
    }

    bit() {
      const at = this.at++;
      if (at >= this.end) throw new RangeError('damaged');
      return (this.row[at >>> 5] >>> (31 - (at & 31))) & 1;
    }

    unary() {
      let zeros = 0;
      for (;;) {
        const more = Math.clz32(this.ahead());
        zeros += more;
        this.at += more;
        if (this.at >= this.end) throw new RangeError('damaged');
        if (more < 32) break;
      }
      this.at++;
      return zeros;
    }

    /** Truncated binary. @param {number} limit less than 2 ** 30 */
    below(limit) {
      if (limit <= 1) return 0;
      const short = 31 - Math.clz32(limit);
      const shorts = (2 << short) - limit;
      const number = short === 0 ? 0 : this.plain(short);
      return number < shorts ? number : number * 2 + this.plain(1) - shorts;
    }

    gamma() {
      // Mostly all of it is in the next 32 bits.
      const ahead = this.ahead();
      const zeros = Math.clz32(ahead);
      if (zeros < 16) {
        this.at += 2 * zeros + 1;
        if (this.at > this.end) throw new RangeError('damaged');
        return zeros === 0 ? 0 : 2 ** zeros + ((ahead << (zeros + 1)) >>> (32 - zeros)) - 1;
      }
      this.at++;
      const bits = this.unary() + 1;
      if (bits > 30) throw new RangeError('damaged');
      return 2 ** bits + this.plain(bits) - 1;
    }

    /**
     * A set of `count` numbers below `limit`, rising, into `numbers` from `at` on.
     * @param {number} count @param {number} limit @param {Uint16Array | Uint32Array} numbers @param {number} at
     */
    set(count, limit, numbers, at) {
      if (2 * count <= limit) {
        this.gaps(count, limit, numbers, at);
        return;
      }
      const without = limit - count;
      if (without < 0) throw new RangeError('damaged');
      if (without === 0) {
        for (let number = 0; number < limit; number++) numbers[at + number] = number;
        return;
      }
      const others = new Uint32Array(without);
      this.gaps(without, limit, others, 0);
      for (let number = 0, next = 0; number < limit; number++) {
        if (next < without && others[next] === number) next++;
        else numbers[at++] = number;
      }
    }

    /** @param {number} count @param {number} limit @param {Uint16Array | Uint32Array} numbers @param {number} at */
    gaps(count, limit, numbers, at) {
      if (count === 0) return;
      if (count === 1) {
        numbers[at] = this.below(limit);
        return;
      }
      const divisor = Math.max(1, Math.floor((69 * (limit - count) + 85 * count) / (100 * count)));
      const short = 31 - Math.clz32(divisor);
      const shorts = (2 << short) - divisor;
      const { row } = this;
      let bit = this.at;
      let next = 0;
      for (let i = 0; i < count; i++) {
        // Mostly all of a gap is in the next 32 bits.
        const word = bit >>> 5;
        const past = bit & 31;
        const bits = past === 0 ? row[word] : (row[word] << past) | (row[word + 1] >>> (32 - past));
        const zeros = Math.clz32(bits);
        let rest = 0;
        if (zeros + short < 31) {
          bit += zeros + 1 + short;
          if (short > 0) rest = (bits << (zeros + 1)) >>> (32 - short);
          next += zeros * divisor;
        } else {
          this.at = bit;
          next += this.unary() * divisor;
          if (short > 0) rest = this.plain(short);
          bit = this.at;
        }
        if (rest >= shorts) {
          rest = rest * 2 - shorts + ((row[bit >>> 5] >>> (31 - (bit & 31))) & 1);
          bit++;
        }
        next += rest;
        numbers[at + i] = next++;
      }
      this.at = bit;
      if (next > limit || this.at > this.end) throw new RangeError('damaged');
    }

    /**
     * Which of `limit` items are marked, into `marked` from 0 on; how many they are.
     * @param {number} limit @param {Uint32Array} marked
     */
    marks(limit, marked) {
      if (limit === 0) return 0;
      if (limit === 1) {
        marked[0] = 0;
        return this.bit();
      }
      const count = this.below(limit + 1);
      this.set(count, limit, marked, 0);
      return count;
    }
  }

  Object.assign(blueconeSearch, { Bits, DIGITS });
})();
