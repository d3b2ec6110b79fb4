// One engine in Node: milliseconds to open, memory, letters typed, and how high the known items come. A process of its own.
// usage: node --expose-gc node.mjs, with what to measure as JSON on standard input; the figures come as JSON on standard output
import fs from 'node:fs';
import path from 'node:path';
import vm from 'node:vm';
import { OURS } from './engines/list.mjs';

/** Known items are looked for among so many. */
const DEEP = 100;
const { name, folder, json, letters, known, limit, budget } = JSON.parse(fs.readFileSync(0, 'utf8'));

const memory = () => {
  globalThis.gc();
  const { heapUsed, external } = process.memoryUsage();
  return heapUsed + external;
};

async function openOurs() {
  const run = file => vm.runInThisContext(fs.readFileSync(path.join(folder, file), 'utf8'), file);
  run('scripts/search.js');
  run('ours.js');
  return globalThis.openOurs(async file => run(file));
}

async function openLibrary() {
  const engine = await import(`./engines/${name}.mjs`);
  const cards = JSON.parse(fs.readFileSync(path.join(folder, 'cards.json'), 'utf8'));
  const index = engine.open(fs.readFileSync(json, 'utf8'));
  return { search: (query, limit) => engine.search(index, query, limit), title: article => cards[article][1] };
}

const empty = memory();
const found = await (name === OURS ? openOurs() : openLibrary());
const loaded = memory() - empty;

vm.runInThisContext(fs.readFileSync(path.join(import.meta.dirname, 'typing.js'), 'utf8'), 'typing.js');
const type = () => globalThis.typeLetters(found, letters, limit, budget);
const first = await type();
const again = await type();
const used = memory() - empty;

const relevance = {};
for (const [draw, queries] of Object.entries(known)) {
  const sums = {};
  for (const { kind, query, wanted } of queries) {
    const at = (await found.search(query, DEEP)).indexOf(wanted);
    sums[kind] ??= { sum: 0, count: 0 };
    sums[kind].sum += at < 0 ? 0 : 1 / (at + 1);
    sums[kind].count += 1;
  }
  relevance[draw] = Object.fromEntries(Object.entries(sums).map(([kind, { sum, count }]) => [kind, sum / count]));
}
process.stdout.write(JSON.stringify({ loaded, used, first, again, relevance }));
