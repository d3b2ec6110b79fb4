// HTML, CSS and SVG validity by the Nu validator: every page, every style sheet, every picture, in few Java calls.
// usage: node html.mjs SITE
import { spawnSync } from 'node:child_process';
import { createRequire } from 'node:module';
import path from 'node:path';
import { Report, files, folders } from './site.mjs';

const [site] = folders(1, 'html.mjs SITE');
const jar = path.join(path.dirname(createRequire(import.meta.url).resolve('vnu-jar/package.json')), 'build/dist/vnu.jar');
const report = new Report('html, css, svg');

// `--errors-only` leaves out the warning that the policy's `'self'` blocks the page's own files, which is false: the validator reads them by path.
function judge(what, paths, options) {
  if (paths.length === 0) return;
  const run = spawnSync('java', ['-Xmx768m', '-jar', jar, '--errors-only', '--format', 'gnu', '--stdout', ...options, ...paths], {
    cwd: site,
    encoding: 'utf8',
    maxBuffer: 64 << 20,
  });
  if (run.error) throw run.error;
  const lines = `${run.stdout}${run.stderr}`.trim().split('\n').filter(Boolean);
  const shown = lines.slice(0, 40).map(line => line.replace(/^"?file:[^"]*?\/(?=[^"]*":)/, '"'));
  report.check(`${paths.length} ${what}`, run.status === 0, `${shown.join('\n')}\n(${lines.length} lines)`);
}

judge('pages of HTML', files(site, '.html'), ['--skip-non-html']);
judge('style sheets', files(site, '.css'), ['--css']);
judge('pictures', files(site, '.svg'), ['--svg']);
report.end();
