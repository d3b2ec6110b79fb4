import { create, insertMultiple, load, save, search as find } from '@orama/orama';

const empty = () => create({ schema: { title: 'string', text: 'string' } });

export async function build(articles) {
  const index = empty();
  await insertMultiple(index, articles.map(({ title, text }, id) => ({ id: String(id), title, text })), 1_000);
  const saved = save(index);
  // The texts are not needed to search, and the others do not ship them.
  for (const kept of Object.values(saved.docs.docs)) {
    delete kept.title;
    delete kept.text;
  }
  return JSON.stringify(saved);
}

export function open(json) {
  const index = empty();
  load(index, JSON.parse(json));
  return index;
}

export async function search(index, query, limit) {
  const found = await find(index, { term: query, limit, boost: { title: 3 }, tolerance: 1 });
  return found.hits.map(hit => Number(hit.id));
}
