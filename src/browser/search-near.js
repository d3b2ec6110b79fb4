// @ts-check
// How far one word is from another. The rules are written down in the press: `near.rs` and `plan.rs` of its search folder.
'use strict';

(() => {
  /** Kept between calls, so that comparing with many words allocates nothing. */
  let rows = [new Uint16Array(64), new Uint16Array(64), new Uint16Array(64)];

  /**
   * The optimal string alignment distance in UTF-16 code units; limit + 1 if it is more than `limit`.
   * @param {string} a @param {string} b @param {number} limit
   */
  function distance(a, b, limit) {
    const m = a.length;
    const n = b.length;
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
    return Math.min(last[n], limit + 1);
  }

  /** Whether two words are at most one edit apart: all edits are then at the first letter that differs. @param {string} a @param {string} b */
  function isNear(a, b) {
    if (a.length < b.length) [a, b] = [b, a];
    const more = a.length - b.length;
    if (more > 1) return false;
    let at = 0;
    while (at < b.length && a.charCodeAt(at) === b.charCodeAt(at)) at++;
    let from = b.length;
    while (from > at && a.charCodeAt(from + more - 1) === b.charCodeAt(from - 1)) from--;
    const left = from - at;
    if (more === 1) return left === 0;
    return left <= 1 || (left === 2 && a.charCodeAt(at) === b.charCodeAt(at + 1) && a.charCodeAt(at + 1) === b.charCodeAt(at));
  }

  /** Whether a start of `b` is at most one edit from `a`. @param {string} a @param {string} b */
  function startsNear(a, b) {
    let at = 0;
    while (at < a.length && a.charCodeAt(at) === b.charCodeAt(at)) at++;
    if (at >= a.length - 1) return true;
    return b.startsWith(a.slice(at + 1), at + 1) || b.startsWith(a.slice(at + 1), at) || b.startsWith(a.slice(at), at + 1)
      || (a.charCodeAt(at) === b.charCodeAt(at + 1) && a.charCodeAt(at + 1) === b.charCodeAt(at) && b.startsWith(a.slice(at + 2), at + 2));
  }

  /**
   * Whether a word that begins with `start` may be at most `limit` away from `word`: some start of `word` is then no farther from `start`.
   * @param {string} start @param {string} word @param {number} limit
   */
  function mayStart(start, word, limit) {
    if (start.length <= limit) return true;
    if (limit === 1) return startsNear(start, word);
    for (let length = start.length - limit; length <= start.length + limit; length++) {
      if (distance(start, word.slice(0, length), limit) <= limit) return true;
    }
    return false;
  }

  Object.assign(blueconeSearch, { distance, isNear, startsNear, mayStart });
})();
