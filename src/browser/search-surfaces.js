// @ts-check
// The surface words of the index. They stay as the press wrote them (`pack.rs` of its search folder) until one is asked for: a page that
// answers one query reads some thousand words out of a hundred thousand. Those of a line are then one string, for a string of its own for
// each word would take several times the room, and the browser's time to clear it away.
'use strict';

(() => {
  const { isNear, distance, mayStart, startsNear } = blueconeSearch;

  /** Words on a line. */
  const LINE = 128;
  const [A, Z] = [65, 90];

  /** Units made into a string at once; more would be too many arguments for some browsers. */
  const PIECE = 8192;

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

  /** @typedef {{ count: number, text: string, ends: Uint32Array, letters: Int32Array }} Line its words one after another, where each ends, and which letters it has */

  /** The units of a line, and, by place in a word, the letters up to there; kept between lines. */
  let units = new Uint16Array(4096);
  let upTo = new Int32Array(256);

  /** @param {string} coded @returns {Line} */
  function readLine(coded) {
    const ends = new Uint32Array(LINE);
    const letters = new Int32Array(LINE);
    let count = 0;
    let filled = 0;
    let before = 0;
    for (let at = 0; at < coded.length && count < LINE;) {
      // The word before lies right before this one.
      const same = Math.max(0, Math.min(coded.charCodeAt(at++) - A, filled - before));
      const from = filled;
      const most = filled + same + coded.length - at;
      if (most > units.length) units = grown(units, most);
      if (most - from >= upTo.length) upTo = grown(upTo, most - from + 1);
      units.copyWithin(from, before, before + same);
      filled += same;
      let own = same > 0 ? upTo[same - 1] : 0;
      for (let unit; at < coded.length && !isCapital((unit = coded.charCodeAt(at))); at++) {
        upTo[filled - from] = own |= 1 << (unit & 31);
        units[filled++] = unit;
      }
      letters[count] = own;
      ends[count++] = filled;
      before = from;
    }
    let text = '';
    for (let from = 0; from < filled; from += PIECE) text += String.fromCharCode.apply(null, /** @type {any} */ (units.subarray(from, Math.min(filled, from + PIECE))));
    return { count, text, ends, letters };
  }

  /** @template {Uint16Array | Int32Array} T @param {T} array @param {number} least @returns {T} */
  function grown(array, least) {
    const more = /** @type {T} */ (new /** @type {any} */ (array.constructor)(2 * least));
    more.set(array);
    return more;
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
      /** The lines that were read. @type {Line[]} */
      this.read = [];
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
      return (this.read[line] ??= readLine(this.lines[line]));
    }

    /** @param {number} place */
    at(place) {
      return wordOf(this.words((place / LINE) | 0), place % LINE);
    }

    /** Where a word stands, or would. @param {string} word */
    placeOf(word) {
      // The line after the last whose first word comes before it.
      const line = firstFrom(this.lines.length, (at) => this.head(at) >= word);
      if (line === 0) return 0;
      const words = this.words(line - 1);
      return (line - 1) * LINE + firstFrom(words.count, (at) => wordOf(words, at) >= word);
    }

    /** Where the words with a start stand: from the first up to, and without, the second. @param {string} start @returns {[number, number]} */
    rangeOf(start) {
      return [this.placeOf(start), this.placeOf(start + '\uffff')];
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
        const { count, ends, letters } = words;
        for (let at = 0, from = 0; at < count; at++) {
          const more = ends[at] - from - word.length;
          from = ends[at];
          if (more > limit || -more > limit || moreBits(own ^ letters[at], 2 * limit)) continue;
          const other = wordOf(words, at);
          if (other === word) continue;
          const far = limit === 1 ? (isNear(word, other) ? 1 : 2) : distance(word, other, limit);
          if (far <= limit) found(line * LINE + at, far);
        }
      }
    }

    /**
     * Calls `found` for each word with the same first letter of which a start is at most one edit away from the word.
     * @param {string} word @param {(place: number) => void} found
     */
    eachStartNear(word, found) {
      const [from, to] = this.rangeOf(String.fromCodePoint(/** @type {number} */ (word.codePointAt(0))));
      for (let line = (from / LINE) | 0; line * LINE < to; line++) {
        // A start of one of its words is a start of what all begin with, or begins with that.
        const start = this.start(line);
        if (!startsNear(word, start) && !startsNear(start, word)) continue;
        for (let at = Math.max(from, line * LINE); at < Math.min(to, (line + 1) * LINE); at++) if (startsNear(word, this.at(at))) found(at);
      }
    }
  }

  /** @param {Line} line @param {number} at */
  const wordOf = ({ text, ends }, at) => text.slice(at > 0 ? ends[at - 1] : 0, ends[at]);

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
