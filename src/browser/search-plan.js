// @ts-check
// From what was typed to what is looked for. The rules are written down in the press: `plan.rs` of its search folder, which these
// functions follow line for line.
'use strict';

/**
 * @typedef {{ stem: number, factor: number, exact: boolean }} Expansion
 * @typedef {{ word: string, expansions: Expansion[] }} Word
 * @typedef {{ from: number, to: number, alternatives: number[][] }} Segment
 * @typedef {{ typed: string[], words: Word[], segments: Segment[] }} Plan
 */

(() => {
  const { split, rangeOf } = blueconeSearch;

  const LONGEST = 256;
  const MOST_WORDS = 12;
  const PREFIX_CAPS = [4, 8, 16, 32];
  const OTHER_CAP = 8;
  const PREFIX_FACTOR = 0.6;
  const ENDING_FACTOR = 0.8;
  const TYPO_FACTORS = [1, 0.6, 0.4];
  const STOP_WORDS = new Set(('a an and are as at be by do does for from how i in is it my of or that the this to what when where which why '
    + 'with').split(' '));
  const ENDINGS = ['ings', 'ing', 'ers', 'er', 'ed', 'es', 's', 'e', ''];

  /**
   * @param {SearchIndex} index @param {string} query
   * @returns {Plan}
   */
  function plan(index, query) {
    const text = cut(query);
    const tokens = split(text);
    const open = tokens.length > 0 && tokens[tokens.length - 1].to === text.length;
    const typed = tokens.map((token) => token.word);
    const wanted = [...new Set(significant(typed))].slice(0, MOST_WORDS);
    const words = wanted.map((word) => ({ word, expansions: expand(index, word, open && word === typed[typed.length - 1]) }));
    return { typed, words, segments: segments(index, words) };
  }

  /** @param {string[]} words */
  function significant(words) {
    const kept = words.filter((word) => !STOP_WORDS.has(word));
    return kept.length === 0 ? words : kept;
  }

  /** @param {string} query */
  function cut(query) {
    if (query.length <= LONGEST) return query;
    const last = query.charCodeAt(LONGEST - 1);
    return query.slice(0, last >= 0xd800 && last < 0xdc00 ? LONGEST - 1 : LONGEST);
  }

  /** Where a word stands among the surface words, or would. @param {SearchIndex} index @param {string} word */
  function placeOf(index, word) {
    let low = 0;
    let high = index.surfaces.length;
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (index.surfaces[middle] < word) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  /** @param {SearchIndex} index @param {string} word */
  function stemOf(index, word) {
    const at = placeOf(index, word);
    return index.surfaces[at] === word ? index.stemOf[at] : undefined;
  }

  /**
   * @param {SearchIndex} index @param {string} word @param {boolean} open still being typed
   * @returns {Expansion[]}
   */
  function expand(index, word, open) {
    /** @type {Expansion[]} */
    const found = [];
    const exact = stemOf(index, word);
    if (exact !== undefined) found.push({ stem: exact, factor: 1, exact: true });
    if (open) {
      const stems = startingWith(index, word, () => true);
      if (exact !== undefined) stems.delete(exact);
      const cap = PREFIX_CAPS[Math.min(word.length, 4) - 1];
      for (const stem of mostFrequent(index, stems, cap)) found.push({ stem, factor: PREFIX_FACTOR, exact: false });
    }
    if (found.length > 0 || /[0-9]/.test(word)) return found;
    const inflected = otherEndings(index, word);
    if (inflected.size > 0) {
      return mostFrequent(index, inflected, OTHER_CAP).map((stem) => ({ stem, factor: ENDING_FACTOR, exact: false }));
    }
    return typos(index, word);
  }

  /**
   * @param {SearchIndex} index @param {string} start @param {(rest: string) => boolean} wanted
   * @returns {Set<number>}
   */
  function startingWith(index, start, wanted) {
    const stems = new Set();
    for (let at = placeOf(index, start); at < index.surfaces.length && index.surfaces[at].startsWith(start); at++) {
      if (wanted(index.surfaces[at].slice(start.length))) stems.add(index.stemOf[at]);
    }
    return stems;
  }

  /** @param {SearchIndex} index @param {Set<number>} stems @param {number} cap */
  function mostFrequent(index, stems, cap) {
    const { frequencies } = index;
    return [...stems].filter((stem) => frequencies[stem] > 0).sort((a, b) => frequencies[b] - frequencies[a] || a - b).slice(0, cap);
  }

  /** @param {SearchIndex} index @param {string} word @returns {Set<number>} */
  function otherEndings(index, word) {
    for (const ending of ENDINGS) {
      const base = word.slice(0, word.length - ending.length);
      if (!word.endsWith(ending) || base.length < 3) continue;
      const found = startingWith(index, base, (rest) => ENDINGS.includes(rest));
      for (const stem of found) if (index.frequencies[stem] === 0) found.delete(stem);
      if (found.size > 0) return found;
    }
    return new Set();
  }

  /** Which letters a word has, as bits. One edit changes two bits at most, so most words need no closer look. @param {string} word */
  function lettersOf(word) {
    let letters = 0;
    for (let i = 0; i < word.length; i++) letters |= 1 << (word.charCodeAt(i) & 31);
    return letters;
  }

  /** @param {number} bits */
  function countBits(bits) {
    let count = 0;
    for (; bits !== 0; bits &= bits - 1) count++;
    return count;
  }

  /** @type {WeakMap<SearchIndex, { letters: Int32Array, found: Map<string, Expansion[]> }>} */
  const typoMemory = new WeakMap();

  /** What was found for a word is kept, since the words before the one being typed stay. @param {SearchIndex} index @param {string} word */
  function typos(index, word) {
    let memory = typoMemory.get(index);
    if (memory === undefined) {
      memory = { letters: Int32Array.from(index.surfaces, lettersOf), found: new Map() };
      typoMemory.set(index, memory);
    }
    let found = memory.found.get(word);
    if (found === undefined) {
      found = findTypos(index, word, memory.letters);
      if (memory.found.size > 100) memory.found.clear();
      memory.found.set(word, found);
    }
    return found;
  }

  /** @param {SearchIndex} index @param {string} word @param {Int32Array} letters @returns {Expansion[]} */
  function findTypos(index, word, letters) {
    if (word.length < 4) return [];
    const own = lettersOf(word);
    let limit = word.length < 8 ? 1 : 2;
    /** @type {Map<number, [number, number]>} distance, and whether the first letter differs */
    const near = new Map();
    for (let at = 0; at < index.surfaces.length; at++) {
      const surface = index.surfaces[at];
      const stem = index.stemOf[at];
      if (index.frequencies[stem] === 0 || countBits(own ^ letters[at]) > 2 * limit) continue;
      const far = distance(word, surface, limit);
      if (far > limit) continue;
      // Only the nearest are taken, so nothing farther than the nearest so far is looked for.
      limit = far;
      const differs = word[0] === surface[0] ? 0 : 1;
      const best = near.get(stem);
      if (best === undefined || far < best[0] || (far === best[0] && differs < best[1])) near.set(stem, [far, differs]);
    }
    const { frequencies } = index;
    return [...near].filter(([, [far]]) => far === limit)
      .sort(([a, [, aDiffers]], [b, [, bDiffers]]) => aDiffers - bDiffers || frequencies[b] - frequencies[a] || a - b)
      .slice(0, OTHER_CAP)
      .map(([stem]) => ({ stem, factor: TYPO_FACTORS[limit], exact: false }));
  }

  /** Kept between calls, so that comparing with every known word allocates nothing. */
  let rows = [new Uint16Array(64), new Uint16Array(64), new Uint16Array(64)];

  /**
   * The optimal string alignment distance in UTF-16 code units; limit + 1 if it is more than `limit`.
   * @param {string} a @param {string} b @param {number} limit
   */
  function distance(a, b, limit) {
    const [m, n] = [a.length, b.length];
    if (Math.abs(m - n) > limit) return limit + 1;
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
        let cost = Math.min(last[j - 1] + (unit === other ? 0 : 1), last[j] + 1, row[j - 1] + 1);
        if (i > 1 && j > 1 && unit === b.charCodeAt(j - 2) && a.charCodeAt(i - 2) === other) cost = Math.min(cost, before[j - 2] + 1);
        if (cost < least) least = cost;
        row[j] = cost;
      }
      if (least > limit && lastLeast > limit) return limit + 1;
      lastLeast = least;
      [before, last, row] = [last, row, before];
    }
    return Math.min(last[n], limit + 1);
  }

  /** @type {WeakMap<SearchIndex, number[][][]>} */
  const groupStems = new WeakMap();

  /** @param {SearchIndex} index @param {Word[]} words @returns {Segment[]} */
  function segments(index, words) {
    let groups = groupStems.get(index);
    if (groups === undefined) {
      groups = index.groups.map((names) => names.map((name) => {
        const stems = significant(name).map((word) => stemOf(index, word));
        return /** @type {number[]} */ (stems.filter((stem) => stem !== undefined));
      }));
      groupStems.set(index, groups);
    }
    const typed = words.map(({ expansions }) => (expansions.length > 0 && expansions[0].exact ? expansions[0].stem : -1));
    /** @param {number[]} name @param {number} from */
    const here = (name, from) => from + name.length <= typed.length && name.every((stem, at) => stem === typed[from + at]);
    const found = [];
    for (let from = 0; from < words.length;) {
      let longest = 1;
      for (const names of groups) {
        for (const name of names) if (name.length > longest && here(name, from)) longest = name.length;
      }
      /** @type {number[][]} */
      const alternatives = [];
      for (const names of groups) {
        if (!names.some((name) => name.length === longest && here(name, from))) continue;
        for (const name of names) {
          if (name.length === longest && here(name, from)) continue;
          if (alternatives.some((other) => other.length === name.length && other.every((stem, at) => stem === name[at]))) continue;
          if (name.every((stem) => index.frequencies[stem] > 0)) alternatives.push(name);
        }
      }
      found.push({ from, to: from + longest, alternatives });
      from += longest;
    }
    return found;
  }

  /**
   * The postings files that ranking a plan reads.
   * @param {SearchIndex} index @param {Plan} plan
   * @returns {Set<Part>}
   */
  function needed(index, plan) {
    const stems = plan.words.flatMap((word) => word.expansions.map((expansion) => expansion.stem));
    const others = plan.segments.flatMap((segment) => segment.alternatives.flat());
    /** @type {Set<Part>} */
    const ranges = new Set();
    for (const stem of [...stems, ...others]) {
      const range = rangeOf(index.postings, stem);
      if (range !== undefined) ranges.add(range);
    }
    return ranges;
  }

  /**
   * Known words near each of the query's, for "did you mean": nearest first, one for each stem, at most `count` for each word.
   * @param {SearchIndex} index @param {Plan} plan @param {number} count
   * @returns {string[][]}
   */
  function nearest(index, plan, count) {
    return plan.words.map(({ word }) => {
      const limit = Math.floor(word.length / 3) + 1;
      /** @type {{ far: number, often: number, surface: string, stem: number }[]} */
      const near = [];
      index.surfaces.forEach((surface, at) => {
        const stem = index.stemOf[at];
        const often = index.frequencies[stem];
        if (often === 0 || surface === word) return;
        const far = distance(word, surface, limit);
        if (far <= limit) near.push({ far, often, surface, stem });
      });
      // Sorting is stable and the surfaces rise already.
      near.sort((a, b) => a.far - b.far || b.often - a.often);
      const stems = new Set();
      return near.filter(({ stem }) => !stems.has(stem) && stems.add(stem)).slice(0, count).map((found) => found.surface);
    });
  }

  /**
   * The stretches of a text that the plan's words match, as code units from..to.
   * @param {SearchIndex} index @param {Plan} plan @param {string} text
   */
  function marks(index, plan, text) {
    const stems = new Set([
      ...plan.words.flatMap((word) => word.expansions.map((expansion) => expansion.stem)),
      ...plan.segments.flatMap((segment) => segment.alternatives.flat()),
    ]);
    return split(text).filter((token) => {
      const stem = stemOf(index, token.word);
      return stem !== undefined && stems.has(stem);
    });
  }

  Object.assign(blueconeSearch, { plan, needed, nearest, marks, distance });
})();
