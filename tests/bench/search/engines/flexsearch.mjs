import FlexSearch from 'flexsearch';
import english from 'flexsearch/lang/en';

const { Charset, Document, Encoder } = FlexSearch;

// A field has one way of cutting words; the title is there twice to have both prefixes and slips, the text is stemmed.
const options = () => ({
  document: {
    id: 'id',
    index: [
      { field: 'title', tokenize: 'forward', encoder: Charset.Normalize },
      { field: 'near', tokenize: 'tolerant', encoder: Charset.Normalize },
      { field: 'text', tokenize: 'strict', encoder: new Encoder(Charset.Normalize, { stemmer: english.stemmer }) },
    ],
  },
});

export function build(articles) {
  const index = new Document(options());
  articles.forEach(({ title, text }, id) => index.add({ id, title, near: title, text }));
  // The parts are JSON already; put together as they are, nothing is escaped twice.
  const parts = [];
  index.export((key, data) => {
    if (data !== undefined) parts.push(`${JSON.stringify(key)}:${data}`);
  });
  return `{${parts.join(',')}}`;
}

export function open(json) {
  const index = new Document(options());
  for (const [key, data] of Object.entries(JSON.parse(json))) index.import(key, data);
  return index;
}

/** `suggest` keeps articles that lack a word; fields are asked in order, so that titles come first. */
export function search(index, query, limit) {
  const found = new Set(index.search(query, { limit, suggest: true }).flatMap(({ result }) => result));
  return [...found].slice(0, limit);
}
