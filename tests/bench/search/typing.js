// Types queries letter by letter and gives the milliseconds of a letter as percentiles. A classic script, for Node and for the page.
'use strict';

/**
 * @param {{ search: (query: string, limit: number) => unknown, title: (article: number) => string }} found an open index
 * @param {string[]} queries @param {number} limit results wanted @param {number} budget milliseconds of
 *   searching after which no further query is begun @param {number} pause milliseconds from a list of results to the next letter
 */
globalThis.typeLetters = async (found, queries, limit, budget, pause = 0) => {
  const taken = [];
  let sum = 0;
  for (const query of queries) {
    if (sum > budget) break;
    for (let length = 1; length <= query.length; length++) {
      const before = performance.now();
      const hits = await found.search(query.slice(0, length), limit);
      hits.map(found.title);
      taken.push(performance.now() - before);
      sum += taken.at(-1);
      if (pause > 0) await new Promise(done => setTimeout(done, pause));
    }
  }
  taken.sort((a, b) => a - b);
  const at = share => taken[Math.min(taken.length - 1, Math.floor(taken.length * share))];
  return { p50: at(0.5), p95: at(0.95), p99: at(0.99), letters: taken.length };
};
