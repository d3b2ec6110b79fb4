// Reading the site from a folder: every page on a phone and on a desk, without a script, in the dark, on paper, by keyboard.
// usage: node reading.mjs SITE        (SCREENSHOTS=DIR keeps pictures)
import fs from 'node:fs';
import path from 'node:path';
import { DESK, PHONE, Report, browser, fileUrl, files, folders, samplePages } from '../judges/site.mjs';

const [site] = folders(1, 'reading.mjs SITE');
const report = new Report('reading');
const pictures = process.env.SCREENSHOTS;
if (pictures) fs.mkdirSync(pictures, { recursive: true });
const all = files(site, '.html');
const samples = samplePages(site);

async function picture(page, name, how) {
  if (pictures) await page.screenshot({ path: path.join(pictures, `${name.replace(/[/.]/g, '-')}-${how}.png`), fullPage: true });
}

/** What is wrong with a page's text: a sum that came to nothing, or a template that was not filled. */
const badWords = page =>
  page.evaluate(() => {
    // The authors' guide shows templates as code.
    const code = [...document.querySelectorAll('pre, code')].map(piece => piece.innerText).filter(text => text.trim() !== '');
    const words = code.sort((a, b) => b.length - a.length).reduce((words, piece) => words.replaceAll(piece, ''), document.body.innerText);
    return words.match(/\b(?:NaN|Infinity|undefined)\b|\[object \w+\]|\{\{|\{%/g);
  });

/** Controls lower or narrower than a gloved finger needs; links inside sentences are exempt, as in WCAG 2.5.8. */
const smallTargets = (page, least) =>
  page.evaluate(least => {
    const controls = [...document.querySelectorAll('button, select, summary, input:not([type=radio]):not([type=checkbox]), nav a, .chips a, .doors a')];
    const box = control => (control.type === 'radio' || control.type === 'checkbox' ? (control.closest('label') ?? control) : control).getBoundingClientRect();
    return controls
      .filter(control => control.checkVisibility() && control.closest('[data-results], .trail') === null)
      .map(control => ({ control, size: box(control) }))
      .filter(({ size }) => size.width > 0 && (size.height < least - 0.5 || size.width < least - 0.5))
      .slice(0, 4)
      .map(({ control, size }) => `${control.tagName.toLowerCase()} "${(control.textContent || control.id).trim().slice(0, 30)}" ${Math.round(size.width)}×${Math.round(size.height)}`);
  }, least);

for (const [device, options, pages] of [['phone', PHONE, all], ['desk', DESK, samples]]) {
  const { page, wrongs, close } = await browser(site, options);
  for (const name of pages) {
    await page.goto(fileUrl(site, name));
    const sample = samples.includes(name);
    // With mobile emulation a page without a viewport tag is laid out 980 wide, so the width is compared with the number itself.
    const width = await page.evaluate(() => document.documentElement.scrollWidth);
    report.check(`${name}: no sideways scroll on a ${device}`, width <= options.viewport.width, `${width} wide`);
    const bad = await badWords(page);
    report.check(`${name}: plain words on a ${device}`, bad === null, bad);
    if (device === 'phone') {
      // A column that stays while the others scroll past it leaves them room.
      const covered = await page.evaluate(() => [...document.querySelectorAll('.scroll-figures tbody th:first-child')].filter(head => head.getBoundingClientRect().width > 0.6 * head.closest('.scroll-figures').clientWidth && head.closest('.scroll-figures').scrollWidth > head.closest('.scroll-figures').clientWidth).length);
      report.check(`${name}: the figures of a table can be scrolled into sight`, covered === 0, `${covered} rows`);
      const run = await page.evaluate(() => [...document.querySelectorAll('svg.gauge')].some(gauge => {
        const unit = gauge.querySelector('.g-unit').getBoundingClientRect();
        return [...gauge.querySelectorAll('.g-disc')].some(disc => disc.getBoundingClientRect().right > unit.left + 1 && unit.width > 0);
      }));
      report.check(`${name}: no number of a band under the unit`, !run);
    }
    if (device === 'phone' && sample) {
      const small = await smallTargets(page, 48);
      report.check(`${name}: targets of 48 px`, small.length === 0, small.join('\n'));
    }
    if (sample) await picture(page, name, `${device}-light`);
    if (wrongs.length) report.check(`${name}: nothing goes wrong on a ${device}`, false, wrongs.splice(0).join('\n'));
  }
  report.check(`${pages.length} pages opened on a ${device} without an error or a request out of the folder`, wrongs.length === 0, wrongs.join('\n'));
  await close();
}

// Dark and paper.
{
  const { page, close } = await browser(site, DESK);
  const light = colour => {
    const [red, green, blue] = colour.match(/[\d.]+/g).map(Number);
    return (0.2126 * red + 0.7152 * green + 0.0722 * blue) / 255;
  };
  const colours = () => page.evaluate(() => [getComputedStyle(document.body).backgroundColor, getComputedStyle(document.querySelector('main')).color]);
  for (const name of samples) {
    await page.emulateMedia({ colorScheme: 'dark' });
    await page.goto(fileUrl(site, name));
    const [ground, ink] = await colours();
    report.check(`${name}: dark ground, light ink`, light(ground) < 0.25 && light(ink) > 0.6, `${ground} under ${ink}`);
    await picture(page, name, 'desk-dark');
    await page.emulateMedia({ colorScheme: 'light' });
    const [paper, print] = await colours();
    report.check(`${name}: light ground, dark ink`, light(paper) > 0.75 && light(print) < 0.4, `${paper} under ${print}`);
    const pdf = await page.pdf({ preferCSSPageSize: true, printBackground: false, tagged: true });
    const sheets = (pdf.toString('latin1').match(/\/Type\s*\/Page\b/g) ?? []).length;
    report.check(`${name}: prints`, sheets > 0 && pdf.length > 5000, `${sheets} sheets, ${pdf.length} bytes`);
    await page.emulateMedia({ media: 'print' });
    const onPaper = await page.evaluate(() => ({
      words: document.querySelector('main').innerText.length,
      find: document.querySelector('[data-search]')?.checkVisibility() ?? false,
      tabs: document.querySelector('[data-thumb]')?.checkVisibility() ?? false,
    }));
    report.check(`${name}: on paper the text and not the find box`, onPaper.words > 80 && !onPaper.find && !onPaper.tabs, JSON.stringify(onPaper));
    await page.emulateMedia({ media: 'screen' });
  }
  await close();
}

// Without a script: the same words stand there.
{
  const scripted = await browser(site, PHONE);
  const plain = await browser(site, { ...PHONE, javaScriptEnabled: false });
  for (const name of samples) {
    await scripted.page.goto(fileUrl(site, name));
    await plain.page.goto(fileUrl(site, name));
    const words = async page => (await page.locator('main').innerText()).replace(/\s+/g, ' ').length;
    const [withScript, without] = [await words(scripted.page), await words(plain.page)];
    report.check(`${name}: as much to read without a script`, without >= 0.9 * withScript && without > 80, `${without} letters, ${withScript} with scripts`);
    report.check(`${name}: one heading without a script`, (await plain.page.locator('h1').count()) === 1);
    await picture(plain.page, name, 'no-script');
  }
  await plain.page.goto(fileUrl(site, samples.find(name => name.includes('/'))));
  await plain.page.locator('[data-search] input').fill('no glow');
  // A policy that forbids forms leaves the page standing, without an error.
  const arrived = plain.page.waitForURL(url => url.pathname.endsWith('/index-a-z.html')).then(() => true, () => false);
  await plain.page.locator('[data-search] button').click({ noWaitAfter: true, timeout: 5_000 }).catch(() => {});
  report.check('without a script the find box leads to the A to Z', (await arrived) && (await plain.page.locator('h1').count()) === 1, plain.page.url());
  await plain.close();
  await scripted.close();
}

// By keyboard: the skip link comes first and works, and the focus goes on through the page, always in sight.
{
  const { page, close } = await browser(site, DESK);
  for (const name of samples) {
    await page.goto(fileUrl(site, name));
    await page.keyboard.press('Tab');
    const first = await page.evaluate(() => ({ text: document.activeElement.textContent.trim(), href: document.activeElement.getAttribute('href'), top: document.activeElement.getBoundingClientRect().top }));
    report.check(`${name}: the skip link comes first and is seen`, first.href === '#to--main' && first.top >= 0, JSON.stringify(first));
    await page.keyboard.press('Enter');
    report.check(`${name}: it goes to the page`, await page.evaluate(() => document.activeElement.id === 'to--main'));
    await page.goto(fileUrl(site, name));
    const faults = [];
    for (let step = 0; step < 40; step += 1) {
      await page.keyboard.press('Tab');
      const state = await page.evaluate(() => {
        const now = document.activeElement;
        if (now === document.body) return { over: true };
        const before = globalThis.lastFocus;
        if (before && now.matches('.skip')) return { over: true };
        globalThis.lastFocus = now;
        const box = now.getBoundingClientRect();
        const style = getComputedStyle(now);
        return {
          what: `${now.tagName.toLowerCase()} "${(now.textContent || now.id).trim().slice(0, 40)}"`,
          onward: !before || (before.compareDocumentPosition(now) & Node.DOCUMENT_POSITION_FOLLOWING) !== 0,
          inSight: box.width > 0 && box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth,
          ring: style.outlineStyle !== 'none' || style.boxShadow !== 'none',
        };
      });
      if (state.over) break;
      if (!state.onward || !state.inSight || !state.ring) faults.push(JSON.stringify(state));
    }
    report.check(`${name}: tab order`, faults.length === 0, faults.slice(0, 5).join('\n'));
  }
  await close();
}
report.end();
