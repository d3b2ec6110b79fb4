// The Content-Security-Policy of every page by csp_evaluator, and nothing in a page that the policy would stop.
// usage: node policy.mjs SITE
import { createRequire } from 'node:module';
import fs from 'node:fs';
import path from 'node:path';
import { Report, files, folders } from './site.mjs';

const require = createRequire(import.meta.url);
const { CspEvaluator } = require('csp_evaluator/dist/evaluator.js');
const { CspParser } = require('csp_evaluator/dist/parser.js');
const [site] = folders(1, 'policy.mjs SITE');
const report = new Report('content security policy');

// Severities 10 to 30 are high to medium. `'self'` for scripts is 50: "can be problematic if you host files of others", which a handbook does not.
const WORST_ALLOWED = 31;
const policies = new Map();
const inline = [];
for (const page of files(site, '.html')) {
  const text = fs.readFileSync(path.join(site, page), 'utf8');
  const policy = text.match(/<meta\s+http-equiv="Content-Security-Policy"\s+content="([^"]*)"/i)?.[1];
  policies.set(policy, [...(policies.get(policy) ?? []), page]);
  const before = text.slice(0, Math.max(0, text.search(/<meta\s+http-equiv="Content-Security-Policy"/i)));
  if (/<(script|link|style|img)\b/i.test(before)) inline.push(`${page}: something is loaded before the policy`);
  for (const [tag] of text.matchAll(/<[a-z][^>]*>/gi)) {
    if (/\sstyle\s*=/i.test(tag) || /\son[a-z]+\s*=/i.test(tag)) inline.push(`${page}: ${tag.slice(0, 120)}`);
    if (/^<style\b/i.test(tag) || (/^<script\b/i.test(tag) && !/\ssrc\s*=/.test(tag) && !/type="application\/json"/.test(tag))) {
      inline.push(`${page}: ${tag.slice(0, 120)}`);
    }
    if (/\b(?:href|src)\s*=\s*"\s*(?:javascript|vbscript|data:text)/i.test(tag)) inline.push(`${page}: ${tag.slice(0, 120)}`);
  }
}
for (const [policy, pages] of policies) {
  if (policy === undefined) {
    report.check('every page has a policy', false, pages.slice(0, 10).join('\n'));
    continue;
  }
  const faults = new CspEvaluator(new CspParser(policy.replaceAll('&#39;', "'").replaceAll('&#x27;', "'")).csp).evaluate().filter(fault => fault.severity < WORST_ALLOWED);
  report.check(`the policy of ${pages.length} pages`, faults.length === 0, faults.map(fault => `${fault.directive} ${fault.value ?? ''}: ${fault.description}`).join('\n'));
}
report.check('no inline script, style or handler', inline.length === 0, inline.slice(0, 20).join('\n'));
report.end();
