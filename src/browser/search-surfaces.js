// @ts-check
// The surface words of the index. They stay as the press wrote them (`pack.rs` of its search folder) until one is asked for: a page that
// answers one query reads some thousand words out of a hundred thousand.
'use strict';

(() => {
  const { isNear, distance, mayStart } = blueconeSearch;

  /** Words on a line. */
  const LINE = 128;
  const [A, Z] = [65, 90];

  /** @param {number} unit */
  const isCapital = (unit) => unit >= A && unit <= Z;

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

  /** What two words begin with. @param {string} a @param {string} b */
  function sameStart(a, b) {
    let same = 0;
    while (same < a.length && a.charCodeAt(same) === b.charCodeAt(same)) same++;
    return a.slice(0, same);
  }

  class Surfaces {
    /** @param {string[]} lines @param {number} length how many words */
    constructor(lines, length) {
      if (lines.length !== Math.ceil(length / LINE)) throw new RangeError('damaged');
      this.lines = lines;
      this.length = length;
      /** The first word of each line that was looked at. @type {string[]} */
      this.heads = [];
      /** How all words of each line begin that was looked at. @type {string[]} */
      this.starts = [];
      /** The words of each line that was read. @type {string[][]} */
      this.read = [];
      /** The letters of those that were compared with one that is not known. @type {Int32Array[]} */
      this.letters = [];
    }

    /** @param {number} line */
    head(line) {
      const known = this.heads[line];
      if (known !== undefined) return known;
      const coded = this.lines[line];
      let end = 1;
      while (end < coded.length && !isCapital(coded.charCodeAt(end))) end++;
      return (this.heads[line] = coded.slice(1, end));
    }

    /** What all words of a line begin with: as its first and that of the next do. @param {number} line */
    start(line) {
      return (this.starts[line] ??= line + 1 < this.lines.length ? sameStart(this.head(line), this.head(line + 1)) : '');
    }

    /** @param {number} line */
    words(line) {
      const known = this.read[line];
      if (known !== undefined) return known;
      const coded = this.lines[line];
      const words = [];
      let before = '';
      for (let from = 0, at = 1; at <= coded.length; at++) {
        if (at < coded.length && !isCapital(coded.charCodeAt(at))) continue;
        before = before.slice(0, coded.charCodeAt(from) - A) + coded.slice(from + 1, at);
        words.push(before);
        from = at;
      }
      return (this.read[line] = words);
    }

    /** @param {number} place */
    at(place) {
      return this.words((place / LINE) | 0)[place % LINE];
    }

    /** Where a word stands, or would. @param {string} word */
    placeOf(word) {
      // The line after the last whose first word comes before it.
      const line = firstFrom(this.lines.length, (at) => this.head(at) >= word);
      if (line === 0) return 0;
      const words = this.words(line - 1);
      return (line - 1) * LINE + firstFrom(words.length, (at) => words[at] >= word);
    }

    /**
     * Calls `found` for each other word at most `limit` away from one.
     * @param {string} word @param {number} limit @param {(place: number, far: number) => void} found
     */
    eachNear(word, limit, found) {
      const own = lettersOf(word);
      for (let line = 0; line < this.lines.length; line++) {
        if (!mayStart(this.start(line), word, limit)) continue;
        const words = this.words(line);
        const letters = (this.letters[line] ??= new Int32Array(LINE));
        for (let at = 0; at < words.length; at++) {
          const other = words[at];
          const more = other.length - word.length;
          if (more > limit || -more > limit) continue;
          if (limit === 1) {
            if (isNear(word, other) && other !== word) found(line * LINE + at, 1);
            continue;
          }
          if (letters[at] === 0) letters[at] = lettersOf(other);
          if (moreBits(own ^ letters[at], 2 * limit)) continue;
          const far = distance(word, other, limit);
          if (far <= limit && other !== word) found(line * LINE + at, far);
        }
      }
    }
  }

  /** The first number below `end` for which something holds that holds for all after it; else `end`. @param {number} end @param {(at: number) => boolean} holds */
  function firstFrom(end, holds) {
    let low = 0;
    for (let high = end; low < high;) {
      const middle = (low + high) >>> 1;
      if (holds(middle)) high = middle;
      else low = middle + 1;
    }
    return low;
  }

  Object.assign(blueconeSearch, { Surfaces });
})();
