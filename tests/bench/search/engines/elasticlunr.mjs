import elasticlunr from 'elasticlunr';

export function build(articles) {
  const index = elasticlunr(function () {
    this.setRef('id');
    this.addField('title');
    this.addField('text');
    this.saveDocument(false);
  });
  articles.forEach(({ title, text }, id) => index.addDoc({ id, title, text }));
  return JSON.stringify(index);
}

export const open = json => elasticlunr.Index.load(JSON.parse(json));

/** `expand` is its prefix search; it has no typo tolerance. */
const options = { fields: { title: { boost: 10 }, text: { boost: 1 } }, bool: 'OR', expand: true };

export const search = (index, query, limit) => index.search(query, options).slice(0, limit).map(hit => Number(hit.ref));
