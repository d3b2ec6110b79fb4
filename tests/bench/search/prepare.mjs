// From articles to a folder for each engine, with the files that a web developer would ship and the page that is measured:
//   ours       scripts/search.js, search/*.js as pressed, ours.js
//   empty-page nothing but the page
//   a library  code.js (the library and how it is asked, bundled and minified), index.js (its JSON and the titles in a classic script)
import { execFileSync } from 'node:child_process';
import crypto from 'node:crypto';
import fs from 'node:fs';
import path from 'node:path';
import vm from 'node:vm';
import zlib from 'node:zlib';
import { NOTHING, OURS } from './engines/list.mjs';

const HERE = import.meta.dirname;
/** Megabytes that building a library's index may take. */
const BUILD_MEMORY = 10_000;

/** @typedef {{ name: string, folder: string, json: string | null, sizes: Record<string, number> }} Prepared */

/** @param {string} folder @param {string} articlesFile @param {string} press @returns {Promise<Prepared>} */
export async function prepareOurs(folder, articlesFile, press) {
  fs.rmSync(folder, { recursive: true, force: true });
  execFileSync(press, [articlesFile, folder], { stdio: ['ignore', 'ignore', 'inherit'] });
  fs.copyFileSync(path.join(HERE, 'engines/ours.js'), path.join(folder, 'ours.js'));
  page(folder, OURS, ['scripts/search.js', 'ours.js']);
  const context = vm.createContext();
  const run = async file => vm.runInContext(fs.readFileSync(path.join(folder, file), 'utf8'), context);
  for (const file of ['scripts/search.js', 'ours.js']) await run(file);
  const shown = (await context.openOurs(run)).shown();
  const files = fs.readdirSync(path.join(folder, 'search'));
  const paths = wanted => files.filter(file => shown.includes(file) === wanted).map(file => path.join(folder, 'search', file));
  return {
    name: OURS, folder, json: null,
    sizes: { ...sizes('index', paths(false)), ...sizes('texts', paths(true)), ...sizes('code', [path.join(folder, 'scripts/search.js')]) },
  };
}

/**
 * @param {string} name @param {string} folder @param {string} articlesFile @param {import('./corpus.mjs').Article[]} articles @param {string} cache
 * @returns {Promise<Prepared>}
 */
export async function prepareLibrary(name, folder, articlesFile, articles, cache) {
  const engine = path.join(HERE, `engines/${name}.mjs`);
  // The same library, settings and text give the same index: it is built once.
  const key = crypto.createHash('sha256').update(fs.readFileSync(engine)).update(fs.readFileSync(articlesFile))
    .update(fs.readFileSync(path.join(HERE, 'package-lock.json'))).digest('hex').slice(0, 16);
  const json = path.join(cache, `${name}-${key}.json`);
  if (!fs.existsSync(json)) {
    const given = [`--max-old-space-size=${BUILD_MEMORY}`, path.join(HERE, 'build.mjs'), name, articlesFile, json];
    execFileSync(process.execPath, given, { stdio: ['ignore', 'ignore', 'inherit'] });
  }
  fs.rmSync(folder, { recursive: true, force: true });
  fs.mkdirSync(folder, { recursive: true });
  // Only here, so that ours is measured even where no package could be installed; the same holds for the browsers' driver.
  const { buildSync } = await import('esbuild');
  buildSync({
    stdin: { contents: `export { open, search } from './engines/${name}.mjs';`, resolveDir: HERE },
    bundle: true, minify: true, format: 'iife', globalName: 'engine', platform: 'browser', outfile: path.join(folder, 'code.js'), logLevel: 'error',
  });
  // What a result shows and where it leads; ours has them in its index.
  const cards = path.join(folder, 'cards.json');
  fs.writeFileSync(cards, JSON.stringify(articles.map(({ id, title }) => [id, title])));
  const script = ['cards', 'index'].map(part => `${part}JSON=${quoted(fs.readFileSync(part === 'cards' ? cards : json, 'utf8'))};\n`);
  fs.writeFileSync(path.join(folder, 'index.js'), script.join(''));
  page(folder, name, ['code.js']);
  return { name, folder, json, sizes: { ...sizes('index', [json, cards]), ...sizes('code', [path.join(folder, 'code.js')]) } };
}

/** @param {string} folder @returns {Promise<Prepared>} */
export async function prepareNothing(folder) {
  fs.rmSync(folder, { recursive: true, force: true });
  fs.mkdirSync(folder, { recursive: true });
  page(folder, NOTHING, []);
  return { name: NOTHING, folder, json: null, sizes: {} };
}

/** JSON has many double quotes and few single ones. @param {string} text */
const quoted = text => `'${text.replace(/[\\'\u2028\u2029]/g, mark => (mark > '\u2000' ? `\\u${mark.charCodeAt(0).toString(16)}` : `\\${mark}`))}'`;

/** @param {string} folder @param {string} name @param {string[]} scripts */
function page(folder, name, scripts) {
  const own = ['typing.js', 'page.js'];
  for (const file of own) fs.copyFileSync(path.join(HERE, file), path.join(folder, file));
  const tags = [...scripts, ...own].map(file => `<script src="${file}"></script>`).join('\n');
  const head = `<!doctype html>\n<html lang="en" data-engine="${name}">\n<meta charset="utf-8">\n<title>${name}</title>`;
  fs.writeFileSync(path.join(folder, 'page.html'), `${head}\n<ol></ol>\n${tags}\n`);
}

/** Bytes as they are, by gzip and by brotli; each file is compressed alone, as a server does. @param {string} what @param {string[]} files */
function sizes(what, files) {
  const sum = { raw: 0, gzip: 0, brotli: 0 };
  for (const file of files) {
    const bytes = fs.readFileSync(file);
    sum.raw += bytes.length;
    sum.gzip += zlib.gzipSync(bytes, { level: 9 }).length;
    // Quality 9: the highest would take minutes for the largest of them and gain a few per cent for all.
    sum.brotli += zlib.brotliCompressSync(bytes, { params: { [zlib.constants.BROTLI_PARAM_QUALITY]: 9 } }).length;
  }
  return Object.fromEntries(Object.entries(sum).map(([how, bytes]) => [`${what} ${how}`, bytes]));
}
