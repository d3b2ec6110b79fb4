// Our search beside general libraries, on the same text in the same run. Prints a table; asserts nothing.
// usage: node bench.mjs DICTIONARY-FOLDER PRESS-PROGRAM CACHE [--small] [--no-browsers] [--only ENGINE,ENGINE] [--set NAME]
import { spawnSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { inChromium, inFirefox, program } from './browsers.mjs';
import { even, longest } from './corpus.mjs';
import { LIBRARIES, NOTHING, OURS } from './engines/list.mjs';
import { prepareLibrary, prepareNothing, prepareOurs } from './prepare.mjs';
import { KINDS, SEEDS, draw } from './queries.mjs';
import { table } from './table.mjs';

const { dictionary, press, cache, small, browsers, only, set } = options(process.argv.slice(2));
const ARTICLES = small ? 1_500 : 15_000;
/** Known items of each kind in each draw. */
const KNOWN = small ? 100 : 800;
/** Queries of each kind that are typed letter by letter: in Node, and in a browser. */
const TYPED = { node: small ? 20 : 50, browser: small ? 5 : 15 };
/** Milliseconds of searching after which typing stops; the table says how many letters were typed. */
const BUDGET = 20_000;
/** Milliseconds that one engine may take in Node. */
const NODE_PATIENCE = 1_800_000;
/** Milliseconds between letters in a browser: a quick typist's. */
const PAUSE = 80;
const COLD_RUNS = small ? 3 : 5;
/** Results that are shown. */
const LIMIT = 20;

function options(given) {
  const value = name => (given.includes(name) ? given[given.indexOf(name) + 1] : null);
  const [dictionary, press, cache] = given;
  if (cache === undefined || cache.startsWith('--')) {
    console.error('usage: node bench.mjs DICTIONARY-FOLDER PRESS-PROGRAM CACHE [--small] [--no-browsers] [--only ENGINE,ENGINE] [--set NAME]');
    process.exit(2);
  }
  const only = value('--only')?.split(',') ?? [OURS, ...LIBRARIES, NOTHING];
  const has = name => given.includes(name);
  return { dictionary, press, cache: path.resolve(cache), small: has('--small'), browsers: !has('--no-browsers'), only, set: value('--set') };
}

/** Every kind in turn, so that a pass that is cut short has some of each. */
function typed(queries, count) {
  const byKind = KINDS.map(kind => queries.filter(query => query.kind === kind).slice(0, count));
  return Array.from({ length: count }, (_, at) => byKind.map(list => list[at].query)).flat();
}

function inNode(prepared, known, letters) {
  const task = JSON.stringify({ ...prepared, letters, known, limit: LIMIT, budget: BUDGET });
  const given = ['--expose-gc', '--max-old-space-size=10000', path.join(import.meta.dirname, 'node.mjs')];
  const ran = spawnSync(process.execPath, given, { input: task, encoding: 'utf8', maxBuffer: 1e8, timeout: NODE_PATIENCE });
  if (ran.status !== 0) {
    const said = ran.stderr.trim().split('\n').find(line => /Error/.test(line));
    throw new Error(ran.error?.message ?? said ?? `ended with ${ran.status ?? ran.signal}`);
  }
  return JSON.parse(ran.stdout);
}

const say = words => console.error(`${new Date().toTimeString().slice(0, 8)}  ${words}`);
const load = () => os.loadavg().map(load => load.toFixed(1)).join(' ');

/** One part of one engine's measurement; what fails is said and left out of the table. */
async function part(what, run, left) {
  try {
    return await run();
  } catch (error) {
    left.push(`${what}: left out, ${String(error.message ?? error).split('\n')[0]}`);
    say(left.at(-1));
    return {};
  }
}

async function measure(name, articles) {
  const folder = path.join(cache, small ? `small-${name}` : name);
  fs.mkdirSync(folder, { recursive: true });
  const file = path.join(folder, 'articles.jsonl');
  fs.writeFileSync(file, articles.map(({ id, title, text }) => `${JSON.stringify({ id, title, text })}\n`).join(''));
  const known = Object.fromEntries(Object.entries(SEEDS).map(([draws, seed]) => [draws, draw(articles, KNOWN, seed)]));
  const letters = typed(known.open, TYPED.node);
  const plan = { cold: known.open.slice(0, COLD_RUNS).map(({ query }) => query), letters: typed(known.open, TYPED.browser), limit: LIMIT, budget: BUDGET, pause: PAUSE };
  const chromium = browsers ? program('CHROMIUM', ['chromium', 'chromium-browser', 'google-chrome-stable']) : null;
  const firefox = browsers ? program('FIREFOX', ['firefox', 'firefox-esr']) : null;
  const left = [];
  if (!chromium) left.push(`Chromium: left out, ${browsers ? 'none found; install `chromium` or set CHROMIUM' : 'not wanted'}`);
  if (!firefox) left.push(`Firefox: left out, ${browsers ? 'none found; install `firefox-esr` or set FIREFOX' : 'not wanted'}`);
  const engines = [];
  for (const engine of only) {
    say(`${name}: ${engine}: index (load ${load()})`);
    const prepared = await part(`${engine}, index`, () => {
      const to = path.join(folder, engine);
      if (engine === NOTHING) return prepareNothing(to);
      return engine === OURS ? prepareOurs(to, file, press) : prepareLibrary(engine, to, file, articles, folder);
    }, left);
    if (prepared.sizes === undefined) continue;
    const before = os.loadavg()[0];
    const asked = engine === NOTHING ? { ...plan, letters: null } : plan;
    if (asked.letters) say(`${name}: ${engine}: Node`);
    const node = asked.letters ? await part(`${engine} in Node`, () => inNode(prepared, known, letters), left) : {};
    if (chromium) say(`${name}: ${engine}: Chromium`);
    const inChrome = chromium ? await part(`${engine} in Chromium`, () => inChromium(chromium, prepared.folder, asked), left) : {};
    if (firefox) say(`${name}: ${engine}: Firefox`);
    const inFox = firefox ? await part(`${engine} in Firefox`, () => inFirefox(firefox, prepared.folder, asked), left) : {};
    engines.push({ engine, load: before, sizes: prepared.sizes, node, chromium: inChrome, firefox: inFox });
  }
  const characters = articles.reduce((sum, { title, text }) => sum + title.length + text.length, 0);
  return { name, articles: articles.length, characters, engines, left };
}

const versions = JSON.parse(fs.readFileSync(path.join(import.meta.dirname, 'package.json'), 'utf8')).dependencies;
console.log(`${os.cpus().length} cores (${os.cpus()[0]?.model.trim()}), ${Math.round(os.totalmem() / 2 ** 30)} GB, Node ${process.versions.node}, load before ${load()}`);
console.log(LIBRARIES.map(name => `${name} ${versions[name] ?? versions[`@orama/${name}`]}`).join(', '));
const articles = longest(dictionary, ARTICLES);
for (const [name, make] of [['articles', () => articles], ['even', () => even(articles)]]) {
  if (set !== null && set !== name) continue;
  const measured = await measure(name, make());
  fs.writeFileSync(path.join(cache, `${small ? 'small-' : ''}${name}.result.json`), `${JSON.stringify(measured, null, 2)}\n`);
  console.log(`\n${table(measured)}`);
}
console.log(`\nload after ${load()}`);
