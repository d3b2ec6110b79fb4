// One library's index of one set of articles, as JSON. A process of its own, since some need gigabytes.
// usage: node build.mjs LIBRARY ARTICLES.jsonl INDEX.json
import fs from 'node:fs';

const [library, articles, to] = process.argv.slice(2);
const { build } = await import(`./engines/${library}.mjs`);
const json = await build(fs.readFileSync(articles, 'utf8').trimEnd().split('\n').map(line => JSON.parse(line)));
fs.writeFileSync(`${to}.part`, json);
fs.renameSync(`${to}.part`, to);
