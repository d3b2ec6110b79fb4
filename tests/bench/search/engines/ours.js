// Our search without its page: what the page's script does between a letter and the list of results. A classic script, for a browser and for
// Node, run after the pressed `scripts/search.js`. If the names that the search's scripts share change, this is the place to follow.
'use strict';

/**
 * @param {(path: string) => Promise<unknown>} load runs one of the site's scripts
 * @returns {Promise<{
 *   search: (query: string, limit: number) => Promise<number[]>, title: (article: number) => string, link: (article: number) => string,
 *   shown: () => string[],
 * }>} `shown` names the files that finding does not need: texts to be shown below a result's title
 */
globalThis.openOurs = async load => {
  const { openIndex, titleOf, addressOf, plan, needed, rank, search: best, fill, ahead, prepare } = globalThis.blueconeSearch;
  await load('search/words.js');
  const index = openIndex();
  if (index === null) throw new Error('the index did not open');
  const coming = new Map();
  const bring = part => {
    if (part.data !== null) return undefined;
    if (!coming.has(part.name)) coming.set(part.name, load(`search/${part.name}.js`).then(() => fill(part)));
    return coming.get(part.name);
  };
  let latest = null;
  // What the page does in idle time, with the same bound of two files; only where a letter is followed by such time.
  const lookAhead = wanted => {
    if (wanted !== latest) return;
    for (const part of ahead(index, wanted, 2)) bring(part)?.then(() => requestIdleCallback(() => prepare(index, part)));
  };
  const search = async (query, limit) => {
    const wanted = plan(index, query);
    latest = wanted;
    const waits = [...needed(index, wanted)].map(bring).filter(wait => wait !== undefined);
    if (waits.length > 0) await Promise.all(waits);
    // A ranking that is told how many are wanted need not order the others.
    const ranked = best === undefined ? rank(index, wanted).slice(0, limit) : best(index, wanted, limit).ranked;
    if (ahead !== undefined && globalThis.requestIdleCallback !== undefined) requestIdleCallback(() => lookAhead(wanted));
    return ranked.map(one => one.document);
  };
  const shown = () => [...new Set(index.texts.map(part => `${part.name}.js`))];
  return { search, title: article => titleOf(index, article), link: article => addressOf(index, article), shown };
};
