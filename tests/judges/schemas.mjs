// The published JSON Schemas by ajv (2020-12, strict): all are sound, and every entry of a handbook fits its kind's schema.
// usage: node schemas.mjs SITE BOOK
import { createRequire } from 'node:module';
import fs from 'node:fs';
import path from 'node:path';
import { parseDocument } from 'yaml';
import { Report, files, folders } from './site.mjs';

const require = createRequire(import.meta.url);
const Ajv2020 = require('ajv/dist/2020.js').default;
const addFormats = require('ajv-formats').default;
const [site, book] = folders(2, 'schemas.mjs SITE BOOK');
const report = new Report('schemas');

const ajv = addFormats(new Ajv2020({ allErrors: true, strict: true, strictTuples: false, allowUnionTypes: true }));
// Formats of numbers that the schema writer uses for Rust's types; they bind nothing beyond `type` and `minimum`.
for (const name of ['uint', 'uint8', 'uint16', 'uint32', 'uint64']) ajv.addFormat(name, { type: 'number', validate: Number.isInteger });

const validators = new Map();
const folder = path.join(site, 'schemas');
for (const file of fs.existsSync(folder) ? files(folder, '.schema.json') : []) {
  const schema = JSON.parse(fs.readFileSync(path.join(folder, file), 'utf8'));
  await report.step(`schema ${file}`, () => {
    if (schema.$schema !== 'https://json-schema.org/draft/2020-12/schema') throw new Error(`$schema is ${schema.$schema}`);
    validators.set(file.replace('.schema.json', ''), ajv.compile(schema));
  });
}
report.check('there are schemas', validators.size > 0, folder);

// The schema of a folder's entries is named by the kind's word, which is also the prefix of references to it.
const KINDS = {
  symptoms: 'symptom',
  faults: 'fault',
  checks: 'check',
  measurements: 'measurement',
  safety: 'safety',
  tasks: 'task',
  tables: 'table',
  calculators: 'calculator',
  terms: 'term',
  sources: 'source',
  courses: 'course',
};
const wrong = [];
let judged = 0;
for (const file of files(book, '.yaml')) {
  const kind = file === 'handbook.yaml' ? 'handbook' : KINDS[file.split('/')[0]];
  const validate = validators.get(kind);
  if (!validate) {
    wrong.push(`${file}: no schema for ${kind}`);
    continue;
  }
  const document = parseDocument(fs.readFileSync(path.join(book, file), 'utf8'), { version: '1.2', uniqueKeys: true });
  for (const error of document.errors) wrong.push(`${file}: ${error.message.split('\n')[0]}`);
  judged += 1;
  if (!validate(document.toJS())) {
    for (const error of validate.errors) wrong.push(`${file}${error.instancePath}: ${error.message} ${JSON.stringify(error.params)}`);
  }
}
report.check(`${judged} entries fit their schemas`, wrong.length === 0 && judged > 0, wrong.slice(0, 30).join('\n'));

// A schema that takes anything would pass the check above: each must refuse a field that no kind has.
for (const [kind, validate] of validators) {
  report.check(`the schema of ${kind} refuses an unknown field`, validate({ 'no-such-field': 1 }) === false);
}
report.end();
