import MiniSearch from 'minisearch';

const options = {
  fields: ['title', 'text'],
  idField: 'id',
  searchOptions: {
    boost: { title: 5 },
    prefix: (_word, at, words) => at === words.length - 1,
    fuzzy: word => (word.length > 3 ? 0.2 : false),
    weights: { fuzzy: 0.3, prefix: 0.5 },
  },
};

export function build(articles) {
  const index = new MiniSearch(options);
  index.addAll(articles.map(({ title, text }, id) => ({ id, title, text })));
  return JSON.stringify(index);
}

export const open = json => MiniSearch.loadJSON(json, options);

export const search = (index, query, limit) => index.search(query).slice(0, limit).map(hit => hit.id);
