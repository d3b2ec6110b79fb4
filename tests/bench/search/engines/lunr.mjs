import lunr from 'lunr';

export function build(articles) {
  const index = lunr(function () {
    this.ref('id');
    this.field('title', { boost: 10 });
    this.field('text');
    articles.forEach(({ title, text }, id) => this.add({ id, title, text }));
  });
  return JSON.stringify(index);
}

export const open = json => lunr.Index.load(JSON.parse(json));

export function search(index, query, limit) {
  const hits = index.query(asked => {
    for (const token of lunr.tokenizer(query)) {
      const word = token.toString();
      asked.term(word, { boost: 100 });
      asked.term(word, { boost: 10, usePipeline: false, wildcard: lunr.Query.wildcard.TRAILING });
      // An edit distance on a short word matches half the words there are.
      if (word.length > 3) asked.term(word, { boost: 1, usePipeline: false, editDistance: 1 });
    }
  });
  return hits.slice(0, limit).map(hit => Number(hit.ref));
}
