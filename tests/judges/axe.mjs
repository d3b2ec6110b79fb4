// Accessibility by axe-core in Chromium: one page of every kind and every calculator on a phone, one page of every kind on a
// desk, in light and dark, and again after a sum was worked and after a quiz answer was shown.
// usage: node axe.mjs SITE
import fs from 'node:fs';
import { createRequire } from 'node:module';
import { DESK, PHONE, Report, browser, fileUrl, folders, samplePages } from './site.mjs';

const [site] = folders(1, 'axe.mjs SITE');
const axe = fs.readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const TAGS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'wcag2aaa', 'best-practice'];
/** In the dark a page differs by its colours alone, so that only these rules can come out otherwise. */
const OF_COLOURS = ['color-contrast', 'color-contrast-enhanced', 'link-in-text-block'];
const report = new Report('accessibility');

/** The rules that a page breaks, each with its places. */
async function violations(page, scheme) {
  // Evaluated and not added as a script element: the page's policy would stop that.
  await page.evaluate(axe);
  const only = scheme === 'dark' ? { type: 'rule', values: OF_COLOURS } : { type: 'tag', values: TAGS };
  const found = await page.evaluate(async only => {
    const result = await globalThis.axe.run(document, { runOnly: only, resultTypes: ['violations'] });
    const places = rule => rule.nodes.slice(0, 4).map(node => `${node.target.join(' ')}  ${node.any[0]?.message ?? node.all[0]?.message ?? node.none[0]?.message ?? ''}`);
    return { passes: result.passes.length, broken: result.violations.map(rule => [`${rule.id} (${rule.impact}) × ${rule.nodes.length}`, ...places(rule)].join('\n  ')) };
  }, only);
  if (found.passes < (scheme === 'dark' ? 1 : 10)) found.broken.push(`only ${found.passes} rules were tried`);
  return found.broken;
}

/** What a reader does on a page before it is judged a second time; null where there is nothing to do. */
const ACTS = [
  {
    where: /^calculators\/.*\.html$/,
    name: 'after a sum',
    async act(page) {
      const field = page.locator('[data-input]:not([hidden]) input[data-entry]').first();
      await field.fill('many');
      await page.waitForTimeout(800);
    },
  },
  {
    where: /^quiz\/.*\.html$/,
    name: 'after an answer',
    async act(page) {
      await page.getByRole('button', { name: 'Start the quiz' }).click();
      const option = page.locator('.quiz-set input[type=radio]').first();
      if (await option.count()) await option.check();
      const number = page.locator('.quiz-set input[type=text]').first();
      if (await number.count()) await number.fill('1');
      await page.getByRole('button', { name: 'Check answer' }).click();
    },
  },
  {
    where: /^symptoms\/.*\.html$/,
    name: 'in the walk',
    async act(page) {
      await page.getByRole('button', { name: 'Start', exact: true }).click();
      await page.locator('.walk-doing .steps').waitFor();
      for (let step = 0; step < 30 && (await page.locator('.walk-doing .gauge').count()) === 0 && (await page.locator('.walk-choice').count()); step += 1) {
        await page.locator('.walk-choice').first().click();
        await page.locator('.walk-doing .steps, .walk-note').first().waitFor();
      }
    },
  },
  {
    where: /^symptoms\/.*\.html$/,
    name: 'at the end of a walk',
    async act(page) {
      const go = page.getByRole('button', { name: /^(Start|Start afresh)$/ });
      await go.click();
      for (let step = 0; step < 40 && (await page.locator('.walk-choice').count()); step += 1) await page.locator('.walk-choice').first().click();
      await page.locator('.walk-note').waitFor();
    },
  },
  {
    where: /^index\.html$/,
    name: 'with search results',
    async act(page) {
      await page.locator('[data-search] input[type=search]').fill('igniter');
      await page.locator('a.search-link').first().waitFor();
    },
  },
  {
    where: /^measurements\/.*\.html$/,
    name: 'with a reading',
    async act(page) {
      const reading = page.getByLabel(/Your reading/).first();
      if (await reading.count()) await reading.fill('1');
    },
  },
];

// A desk shows the same elements in other places, so one calculator stands for all there.
for (const [device, options, pages] of [['360×740', PHONE, samplePages(site)], ['1280×800', DESK, samplePages(site, null)]]) {
  const { page, close } = await browser(site, options);
  for (const name of pages) {
    for (const act of [null, ...ACTS.filter(act => act.where.test(name))]) {
      await page.goto(fileUrl(site, name));
      if (act && !(await report.step(`${name} ${device} ${act.name}: done`, () => act.act(page)))) continue;
      for (const scheme of ['light', 'dark']) {
        await page.emulateMedia({ colorScheme: scheme });
        const broken = await violations(page, scheme);
        report.check(`${name} ${device} ${scheme} ${act?.name ?? ''}`, broken.length === 0, broken.join('\n'));
      }
    }
  }
  await close();
}
report.end();
