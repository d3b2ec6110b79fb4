// Our search without its page: what the page's script does between a letter and the list of results. A classic script, for a browser and for
// Node, run after the pressed `scripts/search.js`. If the names that the search's scripts share change, this is the place to follow.
'use strict';

/**
 * @param {(path: string) => Promise<unknown>} load runs one of the site's scripts
 * @returns {Promise<{
 *   search: (query: string, limit: number) => Promise<number[]>, title: (article: number) => string, link: (article: number) => string,
 *   shown: string[],
 * }>} `shown` names the files that finding does not need: texts to be shown below a result's title
 */
globalThis.openOurs = async load => {
  const { openIndex, plan, needed, rank, search: best, fill } = globalThis.blueconeSearch;
  await load('search/words.js');
  const index = openIndex();
  if (index === null) throw new Error('the index did not open');
  const coming = new Map();
  const bring = part => {
    if (part.data !== null) return undefined;
    if (!coming.has(part.name)) coming.set(part.name, load(`search/${part.name}.js`).then(() => fill(part)));
    return coming.get(part.name);
  };
  const search = async (query, limit) => {
    const wanted = plan(index, query);
    const waits = [...needed(index, wanted)].map(bring).filter(wait => wait !== undefined);
    if (waits.length > 0) await Promise.all(waits);
    // A ranking that is told how many are wanted need not order the others.
    const ranked = best === undefined ? rank(index, wanted).slice(0, limit) : best(index, wanted, limit).ranked;
    return ranked.map(one => one.document);
  };
  const shown = [...new Set((index.texts ?? index.summaries).map(part => `${part.name}.js`))];
  return { search, title: article => index.titles[article], link: article => index.addresses[article], shown };
};
