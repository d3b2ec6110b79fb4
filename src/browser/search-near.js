// @ts-check
// How far one word is from another, and the known words near an unknown one. The rules are written down in the press: `near.rs` and
// `plan.rs` of its search folder.
'use strict';

(() => {
  /** Kept between calls, so that comparing with many words allocates nothing. */
  let rows = [new Uint16Array(64), new Uint16Array(64), new Uint16Array(64)];

  /**
   * The optimal string alignment distance in UTF-16 code units; limit + 1 if it is more than `limit`. With `start`, the least distance
   * of `a` from any start of `b`.
   * @param {string} a @param {string} b @param {number} limit @param {boolean} start
   */
  function distance(a, b, limit, start = false) {
    const m = a.length;
    // What comes after the longest start that can be near does not matter.
    const n = start ? Math.min(b.length, m + limit) : b.length;
    if (m - n > limit || n - m > limit) return limit + 1;
    if (rows[0].length <= n) rows = rows.map(() => new Uint16Array(n * 2));
    let [before, last, row] = rows;
    for (let j = 0; j <= n; j++) last[j] = j;
    let lastLeast = 0;
    for (let i = 1; i <= m; i++) {
      row[0] = i;
      let least = i;
      const unit = a.charCodeAt(i - 1);
      for (let j = 1; j <= n; j++) {
        const other = b.charCodeAt(j - 1);
        let cost = last[j - 1] + (unit === other ? 0 : 1);
        if (last[j] + 1 < cost) cost = last[j] + 1;
        if (row[j - 1] + 1 < cost) cost = row[j - 1] + 1;
        if (i > 1 && j > 1 && before[j - 2] + 1 < cost && unit === b.charCodeAt(j - 2) && a.charCodeAt(i - 2) === other) cost = before[j - 2] + 1;
        if (cost < least) least = cost;
        row[j] = cost;
      }
      if (least > limit && lastLeast > limit) return limit + 1;
      lastLeast = least;
      [before, last, row] = [last, row, before];
    }
    return Math.min(start ? Math.min(...last.subarray(0, n + 1)) : last[n], limit + 1);
  }

  /** Which letters a word has, as bits. One edit changes two bits at most, so most words need no closer look. @param {string} word */
  function lettersOf(word) {
    let letters = 0;
    for (let i = 0; i < word.length; i++) letters |= 1 << (word.charCodeAt(i) & 31);
    return letters;
  }

  /** Whether more than `most` bits are set. @param {number} bits @param {number} most */
  function moreBits(bits, most) {
    for (; bits !== 0; bits &= bits - 1) if (most-- === 0) return true;
    return false;
  }

  /**
   * Surface words by length, and which letters each has.
   * @type {WeakMap<SearchIndex, { letters: Int32Array, byLength: number[][] }>}
   */
  const memory = new WeakMap();

  /** @param {SearchIndex} index */
  function lettersIn(index) {
    let known = memory.get(index);
    if (known === undefined) {
      /** @type {number[][]} */
      const byLength = [];
      index.surfaces.forEach((word, at) => {
        if (index.frequencies[index.stemOf[at]] > 0) (byLength[word.length] ??= []).push(at);
      });
      known = { letters: Int32Array.from(index.surfaces, lettersOf), byLength };
      memory.set(index, known);
    }
    return known;
  }

  /**
   * Calls `found` for each known word at most `limit` away, until it answers with a smaller limit for the rest.
   * @param {SearchIndex} index @param {string} word @param {number} limit @param {(at: number, far: number) => number} found
   */
  function eachNear(index, word, limit, found) {
    const { letters, byLength } = lettersIn(index);
    const own = lettersOf(word);
    const most = limit;
    for (let length = Math.max(word.length - most, 1); length <= word.length + most; length++) {
      for (const at of byLength[length] ?? []) {
        if (moreBits(own ^ letters[at], 2 * limit)) continue;
        const far = distance(word, index.surfaces[at], limit);
        if (far <= limit && index.surfaces[at] !== word) limit = found(at, far);
      }
    }
  }

  /** Whether a start of a known word may be at most one away. @param {SearchIndex} index @param {string} word @param {number} at */
  const mayStart = (index, word, at) => !moreBits(lettersOf(word) & ~lettersIn(index).letters[at], 1);

  Object.assign(blueconeSearch, { distance, eachNear, mayStart });
})();
