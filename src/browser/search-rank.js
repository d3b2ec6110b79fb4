// @ts-check
// The order of results. The rules are written down in the press: `rank.rs` of its search folder, which these functions follow line
// for line.
'use strict';

/**
 * @typedef {{ document: number, exact: boolean, matched: number, bm25: number, score: number }} Ranked
 * @typedef {{ total: number, kinds: number[], ranked: Ranked[] }} Ranking how many match, how many of each kind, and the first of them
 */

(() => {
  const { postingsOf, startOf, closeness, isExact, adjacent, OWN } = blueconeSearch;

  const K1 = 1.2;
  const B = 0.75;
  const FIELDS = 4;
  const FIELD_WEIGHTS = [2, 1.4, 1.2, 1];
  const BACKGROUND = 0.6;
  const CLOSE = 50;
  const CLOSE_NAMES = 150;

  /** A value for each document that was asked for; kept between searches so that nothing is allocated while typing. */
  class Tally {
    /** @param {number} count */
    constructor(count) {
      this.matched = new Uint8Array(count);
      this.named = new Uint8Array(count);
      this.scores = new Float64Array(count);
      this.touched = new Uint32Array(count);
      this.length = 0;
    }

    /** @param {number} document */
    touch(document) {
      if (this.matched[document] === 0) this.touched[this.length++] = document;
    }

    clear() {
      for (let i = 0; i < this.length; i++) {
        const document = this.touched[i];
        this.matched[document] = this.named[document] = this.scores[document] = 0;
      }
      this.length = 0;
    }
  }

  /** @type {WeakMap<SearchIndex, { sums: Tally, segment: Tally, word: Tally, weighted: Float64Array, norms: Float64Array }>} */
  const memory = new WeakMap();

  /** @param {SearchIndex} index */
  function scratch(index) {
    let known = memory.get(index);
    if (known === undefined) {
      const norms = new Float64Array(FIELDS * 256);
      for (let field = 0; field < FIELDS; field++) {
        const average = index.totals[field] / index.count;
        for (let code = 0; code < 256; code++) norms[field * 256 + code] = K1 * (1 - B + (B * fieldLength(code)) / average);
      }
      const tally = () => new Tally(index.count);
      memory.set(index, known = { sums: tally(), segment: tally(), word: tally(), weighted: new Float64Array(index.count), norms });
    }
    return known;
  }

  /** Orders the documents that have at least one word of the plan. @param {SearchIndex} index @param {Plan} plan */
  const rank = (index, plan) => search(index, plan, Infinity).ranked;

  /**
   * The first `limit` of the documents that have at least one word of the plan, of one kind or of all. Words whose file is missing
   * count as not found.
   * @param {SearchIndex} index @param {Plan} plan @param {number} limit @param {number} kind by its number, or -1
   * @returns {Ranking}
   */
  function search(index, plan, limit, kind = -1) {
    const kinds = new Array(index.kinds.length).fill(0);
    if (plan.start !== null) {
      const { total, documents } = startOf(index, plan.start) ?? { total: 0, documents: [] };
      return { total, kinds, ranked: documents.map((document) => ({ document, exact: false, matched: 1, bm25: 0, score: 0 })) };
    }
    const { sums, segment: part } = scratch(index);
    for (const segment of plan.segments) {
      addSegment(index, plan, segment);
      for (let i = 0; i < part.length; i++) {
        const document = part.touched[i];
        sums.touch(document);
        sums.matched[document] += part.matched[document];
        sums.scores[document] += part.scores[document];
        sums.named[document] += part.named[document];
      }
      part.clear();
    }
    let found = sums.touched.subarray(0, sums.length);
    for (const document of found) kinds[index.kindOf[document]]++;
    if (kind >= 0) found = found.filter((document) => index.kindOf[document] === kind);
    const all = plan.words.length;
    const names = found.filter((document) => sums.named[document] >= all);
    const { weighted } = scratch(index);
    for (const document of found) {
      weighted[document] = (sums.scores[document] * sums.matched[document]) / all;
      if (index.background.includes(index.kindOf[document])) weighted[document] *= BACKGROUND;
    }
    /** @param {number} a @param {number} b */
    const before = (a, b) => Number(sums.matched[b] === all) - Number(sums.matched[a] === all)
      || rounded(weighted[b]) - rounded(weighted[a]) || a - b;
    const first = best(found, Math.max(limit, CLOSE), before);
    const close = new Set(first.slice(0, CLOSE));
    const rest = best(names.filter((document) => !close.has(document)), CLOSE_NAMES, before);
    const looked = closeness(index, plan);
    const ranked = [...new Set([...first, ...rest])].map((document) => {
      const near = close.has(document) || rest.includes(document);
      const matched = sums.matched[document];
      const exact = near && matched === all && isExact(index, document, plan.key);
      const bm25 = sums.scores[document];
      return { document, exact, matched, bm25, score: near ? weighted[document] * looked(document) : weighted[document] };
    });
    sums.clear();
    ranked.sort((a, b) => Number(b.exact) - Number(a.exact) || Number(b.matched === all) - Number(a.matched === all)
      || rounded(b.score) - rounded(a.score) || a.document - b.document);
    return { total: found.length, kinds, ranked: ranked.slice(0, limit) };
  }

  /** @param {number} score */
  const rounded = (score) => Math.round(score * 1e6);

  /**
   * The first `count` in order, without putting the others in order.
   * @param {Uint32Array} all @param {number} count @param {(a: number, b: number) => number} before
   */
  function best(all, count, before) {
    if (all.length <= count) return [...all].sort(before);
    /** A heap whose top is the last of the best so far. @type {number[]} */
    const heap = [];
    for (const one of all) {
      if (heap.length < count) {
        let at = heap.push(one) - 1;
        for (let up = (at - 1) >> 1; at > 0 && before(heap[up], one) < 0; up = (at - 1) >> 1) {
          heap[at] = heap[up];
          at = up;
        }
        heap[at] = one;
      } else if (before(one, heap[0]) < 0) {
        let at = 0;
        for (let down = 1; down < count; down = 2 * at + 1) {
          if (down + 1 < count && before(heap[down], heap[down + 1]) < 0) down++;
          if (before(one, heap[down]) >= 0) break;
          heap[at] = heap[down];
          at = down;
        }
        heap[at] = one;
      }
    }
    return heap.sort(before);
  }

  /** Adds a stretch of the query to the tally for stretches. @param {SearchIndex} index @param {Plan} plan @param {Segment} segment */
  function addSegment(index, plan, segment) {
    const { segment: sum, word: own } = scratch(index);
    for (const word of plan.words.slice(segment.from, segment.to)) {
      addWord(index, word);
      for (let i = 0; i < own.length; i++) {
        const document = own.touched[i];
        sum.touch(document);
        sum.matched[document] += 1;
        sum.scores[document] += own.scores[document];
        sum.named[document] += own.named[document];
      }
      own.clear();
    }
    const length = segment.to - segment.from;
    for (const { stems, factor, adjacent: next } of segment.alternatives) {
      for (const stem of stems) {
        eachScore(index, stem, postingsOf(index, stem)?.frequencies ?? [], (document, score, named) => {
          own.touch(document);
          own.matched[document] += 1;
          own.scores[document] += score;
          own.named[document] += named;
        });
      }
      for (let i = 0; i < own.length; i++) {
        const document = own.touched[i];
        if (own.matched[document] < stems.length || (next && !adjacent(index, document, stems))) continue;
        sum.touch(document);
        if (own.named[document] === own.matched[document]) sum.named[document] = Math.max(sum.named[document], length);
        const score = own.scores[document] * factor;
        if (length > sum.matched[document] || (length === sum.matched[document] && score > sum.scores[document])) {
          sum.matched[document] = length;
          sum.scores[document] = score;
        }
      }
      own.clear();
    }
  }

  /** Adds a word to the tally for words. @param {SearchIndex} index @param {Word} word */
  function addWord(index, word) {
    const { word: sum } = scratch(index);
    const shared = [0, 0, 0, 0];
    for (const { stem, how } of word.expansions) {
      if (how !== OWN) postingsOf(index, stem)?.frequencies.forEach((own, field) => (shared[field] = Math.max(own, shared[field])));
    }
    for (const { stem, how, factor } of word.expansions) {
      eachScore(index, stem, how === OWN ? postingsOf(index, stem)?.frequencies ?? [] : shared, (document, score, named) => {
        sum.touch(document);
        sum.matched[document] = 1;
        if (factor * score > sum.scores[document]) sum.scores[document] = factor * score;
        if (named !== 0) sum.named[document] = 1;
      });
    }
  }

  /** @param {number} code */
  function fieldLength(code) {
    if (code < 24) return code;
    const [bits, shift] = [(code - 24) & 7, (code - 24) >> 3];
    return 24 + (shift === 0 ? bits : (bits | 8) * 2 ** (shift - 1));
  }

  /**
   * @param {SearchIndex} index @param {number} stem @param {number[]} frequencies
   * @param {(document: number, score: number, named: number) => void} each
   */
  function eachScore(index, stem, frequencies, each) {
    const list = postingsOf(index, stem);
    if (list === null) return;
    const { lengths } = index;
    const { norms } = scratch(index);
    const { documents, counts } = list;
    const weights = frequencies.map((n, field) => FIELD_WEIGHTS[field] * Math.log(1 + (index.count - n + 0.5) / (n + 0.5)) * (K1 + 1));
    for (let i = 0, at = 0; i < documents.length; i++, at += FIELDS) {
      const document = documents[i];
      let score = 0;
      for (let field = 0; field < FIELDS; field++) {
        const count = counts[at + field];
        if (count > 0) score += weights[field] * (count / (count + norms[field * 256 + lengths[document * FIELDS + field]]));
      }
      each(document, score, counts[at] > 0 || counts[at + 1] > 0 ? 1 : 0);
    }
  }

  Object.assign(blueconeSearch, { rank, search });
})();
