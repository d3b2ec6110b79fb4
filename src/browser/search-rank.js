// @ts-check
// The order of results. The rules are written down in the press: `rank.rs` of its search folder, which these functions follow line
// for line.
'use strict';

/**
 * @typedef {{ document: number, exact: boolean, matched: number, score: number }} Ranked
 */

(() => {
  const { split, postingsOf } = blueconeSearch;

  const K1 = 1.2;
  const B = 0.75;
  const FIELD_WEIGHTS = [2, 1.4, 1];
  const ALTERNATIVE_FACTOR = 0.5;

  /**
   * Orders the documents that have at least one word of the plan. Words whose file is missing count as not found.
   * @param {SearchIndex} index @param {Plan} plan
   * @returns {Ranked[]}
   */
  function rank(index, plan) {
    const matched = new Uint8Array(index.count);
    const scores = new Float64Array(index.count);
    for (const segment of plan.segments) {
      for (const [document, [words, score]] of segmentScores(index, plan, segment)) {
        matched[document] += words;
        scores[document] += score;
      }
    }
    /** @type {Ranked[]} */
    const ranked = [];
    for (let document = 0; document < index.count; document++) {
      if (matched[document] === 0) continue;
      const exact = matched[document] === plan.words.length && isExact(index, document, plan.typed);
      ranked.push({ document, exact, matched: matched[document], score: scores[document] });
    }
    /** @param {number} score */
    const rounded = (score) => Math.round(score * 1e6);
    return ranked.sort((a, b) => Number(b.exact) - Number(a.exact) || b.matched - a.matched || rounded(b.score) - rounded(a.score)
      || a.document - b.document);
  }

  /** @param {SearchIndex} index @param {Plan} plan @param {Segment} segment @returns {Map<number, [number, number]>} */
  function segmentScores(index, plan, segment) {
    /** @type {Map<number, [number, number]>} */
    const best = new Map();
    for (const word of plan.words.slice(segment.from, segment.to)) {
      for (const [document, score] of wordScores(index, word)) {
        const own = best.get(document);
        if (own === undefined) best.set(document, [1, score]);
        else {
          own[0] += 1;
          own[1] += score;
        }
      }
    }
    const length = segment.to - segment.from;
    for (const alternative of segment.alternatives) {
      /** @type {Map<number, [number, number]>} */
      const sums = new Map();
      for (const stem of alternative) {
        stemScores(index, stem, frequencies(index, stem), (document, score) => {
          const sum = sums.get(document) ?? [0, 0];
          sums.set(document, [sum[0] + 1, sum[1] + score]);
        });
      }
      for (const [document, [words, sum]] of sums) {
        if (words !== alternative.length) continue;
        const score = sum * ALTERNATIVE_FACTOR;
        const own = best.get(document);
        if (own === undefined || length > own[0] || (length === own[0] && score > own[1])) best.set(document, [length, score]);
      }
    }
    return best;
  }

  /** @param {SearchIndex} index @param {Word} word @returns {Map<number, number>} */
  function wordScores(index, word) {
    const shared = [0, 0, 0];
    for (const expansion of word.expansions) {
      if (!expansion.exact) frequencies(index, expansion.stem).forEach((own, field) => (shared[field] = Math.max(own, shared[field])));
    }
    /** @type {Map<number, number>} */
    const best = new Map();
    for (const expansion of word.expansions) {
      stemScores(index, expansion.stem, expansion.exact ? frequencies(index, expansion.stem) : shared, (document, score) => {
        best.set(document, Math.max(best.get(document) ?? 0, expansion.factor * score));
      });
    }
    return best;
  }

  /** @param {SearchIndex} index @param {number} stem */
  function frequencies(index, stem) {
    const sums = [0, 0, 0];
    const counts = postingsOf(index, stem)?.counts ?? [];
    for (let i = 0; i < counts.length; i++) if (counts[i] > 0) sums[i % 3] += 1;
    return sums;
  }

  /** @param {number} code */
  function fieldLength(code) {
    if (code < 24) return code;
    const [bits, shift] = [(code - 24) & 7, (code - 24) >> 3];
    return 24 + (shift === 0 ? bits : (bits | 8) * 2 ** (shift - 1));
  }

  /**
   * @param {SearchIndex} index @param {number} stem @param {number[]} frequencies
   * @param {(document: number, score: number) => void} each
   */
  function stemScores(index, stem, frequencies, each) {
    const list = postingsOf(index, stem);
    if (list === null) return;
    const idf = frequencies.map((n) => Math.log(1 + (index.count - n + 0.5) / (n + 0.5)));
    const averages = index.totals.map((total) => total / index.count);
    for (let i = 0; i < list.documents.length; i++) {
      const document = list.documents[i];
      let score = 0;
      for (let field = 0; field < 3; field++) {
        const count = list.counts[i * 3 + field];
        if (count > 0) {
          const length = fieldLength(index.lengths[document * 3 + field]);
          const norm = K1 * (1 - B + (B * length) / averages[field]);
          score += FIELD_WEIGHTS[field] * idf[field] * (K1 + 1) * (count / (count + norm));
        }
      }
      each(document, score);
    }
  }

  /** @param {SearchIndex} index @param {number} document @param {string[]} typed */
  function isExact(index, document, typed) {
    /** @param {string} text */
    const same = (text) => {
      const words = split(text);
      return words.length === typed.length && words.every((token, at) => token.word === typed[at]);
    };
    if (fieldLength(index.lengths[document * 3]) === typed.length && same(index.titles[document])) return true;
    const id = index.ids[document];
    return typed.length > 0 && id !== '' && id[0] === typed[0][0] && same(id);
  }

  Object.assign(blueconeSearch, { rank });
})();
