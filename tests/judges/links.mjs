// Links, fragments and files by hyperlink, read from the disk as a browser on file:// would; and no page that no link leads to.
// usage: node links.mjs SITE
import { spawnSync } from 'node:child_process';
import { createRequire } from 'node:module';
import fs from 'node:fs';
import path from 'node:path';
import { Report, files, folders } from './site.mjs';

const [site] = folders(1, 'links.mjs SITE');
const require = createRequire(import.meta.url);
const report = new Report('links');

const manifest = require('hyperlink/package.json');
const program = path.join(path.dirname(require.resolve('hyperlink/package.json')), manifest.bin.hyperlink ?? manifest.bin);
const run = spawnSync(process.execPath, [program, '--root', site, '-i', '-r', path.join(site, 'index.html')], {
  encoding: 'utf8',
  maxBuffer: 256 << 20,
});
const results = run.stdout.split(/^(?=(?:not )?ok |# )/m);
const passed = results.filter(result => result.startsWith('ok ')).length;
// A no-break space inside inline SVG is sound HTML, but hyperlink writes it as `&nbsp;`, reads that as XML and calls the entity undefined.
const falseAlarm = /^not ok \d+ Failed loading inline Svg [^]*undefined entity/;
const faults = results.filter(result => result.startsWith('not ok ') && !falseAlarm.test(result));
report.check(`hyperlink's ${passed} loads and fragments`, faults.length === 0 && passed > 10, `${faults.slice(0, 10).join('')}${run.stderr.slice(0, 2000)}`);
report.check('hyperlink came to its end', /^# tests +[1-9]/m.test(run.stdout), run.stderr.slice(0, 2000));

// Orphans: follow every href from the home page without a validator's help.
const pages = files(site, '.html');
const seen = new Set(['index.html']);
const queue = ['index.html'];
const missing = [];
for (let page = queue.shift(); page !== undefined; page = queue.shift()) {
  const text = fs.readFileSync(path.join(site, page), 'utf8');
  for (const [, address] of text.matchAll(/\s(?:href|src)\s*=\s*"([^"]*)"/g)) {
    if (/^(?:[a-z]+:|#|$)/i.test(address)) continue;
    const clean = decodeURIComponent(address.replaceAll('&amp;', '&').replace(/[?#].*$/, ''));
    const target = path.posix.normalize(path.posix.join(path.posix.dirname(page), clean));
    if (target.startsWith('..')) missing.push(`${page}: ${address} leaves the site`);
    else if (!fs.existsSync(path.join(site, target))) missing.push(`${page}: ${address}`);
    else if (target.endsWith('.html') && !seen.has(target)) {
      seen.add(target);
      queue.push(target);
    }
  }
}
report.check('every address leads to a file of the site', missing.length === 0, missing.slice(0, 20).join('\n'));
const orphans = pages.filter(page => !seen.has(page));
report.check(`all ${pages.length} pages can be reached from the home page`, orphans.length === 0, orphans.slice(0, 20).join('\n'));
report.end();
