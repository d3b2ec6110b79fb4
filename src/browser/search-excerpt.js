// @ts-check
// What of a document's text is shown, and which words in it are marked.
'use strict';

(() => {
  const { split, stemOf } = blueconeSearch;

  /** An excerpt has about this many code units, and this many stand before its first match. */
  const LENGTH = 180;
  const LEAD = 40;
  /** No more of a text is looked through. */
  const LONGEST = 8000;
  const BETWEEN = ' · ';

  /**
   * The stretches of a text that the plan's words match, and which words they are, as bits.
   * @param {SearchIndex} index @param {Plan} plan @param {string} text
   * @returns {{ from: number, to: number, words: number }[]}
   */
  function marks(index, plan, text) {
    /** @type {Map<number, number>} */
    const wanted = new Map();
    /** @param {number} stem @param {number} bits */
    const want = (stem, bits) => wanted.set(stem, (wanted.get(stem) ?? 0) | bits);
    plan.words.forEach(({ expansions }, at) => expansions.forEach(({ stem }) => want(stem, 1 << at)));
    for (const { from, to, alternatives } of plan.segments) {
      for (const stem of alternatives.flatMap((other) => other.stems)) want(stem, (1 << to) - (1 << from));
    }
    const found = [];
    for (const { word, from, to } of split(text)) {
      const words = wanted.get(stemOf(index, word)) ?? 0;
      if (words !== 0) found.push({ from, to, words });
    }
    return found;
  }

  /** @param {number} bits */
  function countBits(bits) {
    let count = 0;
    for (; bits !== 0; bits &= bits - 1) count++;
    return count;
  }

  /**
   * The summary, or that stretch of the text in which more of the words stand.
   * @param {SearchIndex} index @param {Plan} plan @param {string[]} pieces summary first
   * @returns {{ text: string, marks: { from: number, to: number }[] }}
   */
  function excerpt(index, plan, [summary, ...pieces]) {
    const own = marks(index, plan, summary);
    let most = countBits(own.reduce((bits, mark) => bits | mark.words, 0));
    const text = pieces.join(BETWEEN).slice(0, LONGEST);
    if ((most === plan.words.length && summary !== '') || text === '') return { text: summary, marks: own };
    const all = marks(index, plan, text);
    let first = -1;
    all.forEach(({ from }, at) => {
      let bits = 0;
      for (let next = at; next < all.length && all[next].to <= from + LENGTH - LEAD; next++) bits |= all[next].words;
      if (countBits(bits) > most) {
        most = countBits(bits);
        first = at;
      }
    });
    if (first < 0 && summary !== '') return { text: summary, marks: own };
    let from = Math.max((all[first]?.from ?? 0) - LEAD, 0);
    if (from > 0) from = text.indexOf(' ', from) + 1;
    let to = Math.min(from + LENGTH, text.length);
    if (to < text.length) to = Math.max(text.lastIndexOf(' ', to), (all[first]?.to ?? 0));
    const [before, after] = [from > 0 ? '… ' : '', to < text.length ? ' …' : ''];
    const shift = before.length - from;
    return {
      text: before + text.slice(from, to) + after,
      marks: all.filter((mark) => mark.from >= from && mark.to <= to).map((mark) => ({ from: mark.from + shift, to: mark.to + shift })),
    };
  }

  Object.assign(blueconeSearch, { marks, excerpt });
})();
