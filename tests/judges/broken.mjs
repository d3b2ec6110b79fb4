// The judges can say no: each is run on a copy of the site with one thing broken, and must refuse it.
// usage: node broken.mjs SITE BOOK
import { spawnSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { Report, folders } from './site.mjs';

const [site, book] = folders(2, 'broken.mjs SITE BOOK');
const report = new Report('broken copies');
const copy = fs.mkdtempSync(path.join(os.tmpdir(), 'bluecone-broken-'));

/** A small site is enough, and quick: the home page with what it needs, changed by `change`. */
function refuses(judge, what, change, further = []) {
  fs.rmSync(copy, { recursive: true, force: true });
  fs.cpSync(site, copy, { recursive: true });
  const home = path.join(copy, 'index.html');
  const before = fs.readFileSync(home, 'utf8');
  const after = change(before);
  if (after !== undefined) {
    if (after === before) return report.check(`${judge}: ${what}`, false, 'the change changed nothing');
    fs.writeFileSync(home, after);
  }
  const run = spawnSync(process.execPath, [path.join(import.meta.dirname, `${judge}.mjs`), copy, ...further], { encoding: 'utf8', env: { ...process.env, VERBOSE: '' } });
  return report.check(`${judge} refuses ${what}`, run.status === 1 && /^FAIL/m.test(run.stdout), `exit ${run.status}\n${run.stdout.slice(-400)}${run.stderr.slice(-400)}`);
}

const add = html => text => text.replace('</main>', `${html}</main>`);
// The validator reads all pages each time, so its faults come in one copy.
refuses('html', 'a doubled id, a picture without words and an obsolete element', add('<p id="to--main">x</p><img src="x.png"><center>x</center>'));
refuses('policy', 'an inline handler', add('<p onclick="x()">x</p>'));
refuses('policy', 'a weak policy', text => text.replace("script-src 'self'", "script-src 'self' 'unsafe-inline'"));
refuses('policy', 'a page without a policy', text => text.replace(/<meta http-equiv="Content-Security-Policy"[^>]*>/, ''));
refuses('schemas', 'a schema that is not one', () => fs.writeFileSync(path.join(copy, 'schemas/term.schema.json'), '{"$schema":"https://json-schema.org/draft/2020-12/schema","type":"nonsense"}'), [book]);
refuses('links', 'a missing page, a missing fragment and an orphan', text => {
  fs.writeFileSync(path.join(copy, 'orphan.html'), text);
  return add('<a href="gone.html">x</a><a href="figures.html#nowhere">x</a>')(text);
});
fs.rmSync(copy, { recursive: true, force: true });
report.end();
