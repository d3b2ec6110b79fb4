// The find box, used as on a call: half a word, a slip, the trade's other name; by keyboard; from a page below the home page.
// usage: node search.mjs SITE
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { DESK, PHONE, Report, browser, fileUrl, files, folders } from '../judges/site.mjs';

const [site] = folders(1, 'search.mjs SITE');
const report = new Report('search');

for (const [device, options] of [['phone', PHONE], ['desk', DESK]]) {
  const { page, wrongs, requested, close } = await browser(site, options);
  const field = page.locator('[data-search] input[type=search]');
  const titles = async () => {
    await page.locator('a.search-link, .search-none, .search-note').first().waitFor();
    return page.locator('.search-title').allInnerTexts();
  };
  const find = async words => {
    await field.fill('');
    await field.pressSequentially(words, { delay: 15 });
    await page.waitForTimeout(250);
    return titles();
  };
  const finds = (words, title, why) =>
    report.step(`${device}: ${why}: “${words}”`, async () => {
      const found = await find(words);
      if (!found.slice(0, 5).some(found => found.toLowerCase().includes(title.toLowerCase()))) throw new Error(`found ${JSON.stringify(found.slice(0, 8))}`);
    });

  await page.goto(fileUrl(site, 'index.html'));
  report.check(`${device}: the index is not loaded before it is wanted`, !requested.some(address => address.includes('/search/')));
  await field.focus();
  await finds('igniter stays', 'Igniter stays dark', 'words as they stand');
  report.check(`${device}: the index is loaded by the first search`, requested.some(address => address.includes('/search/')));
  await finds('resista', 'resistance', 'half a word');
  await finds('ingiter dark', 'Igniter stays dark', 'a slip of the fingers');
  await finds('glow bar out', 'Igniter stays dark', "the trade's other name");
  await finds('loto', 'Prove it dead', 'a synonym that the entry does not carry in its title');
  await finds('0.187', 'tab', 'a figure');

  await report.step(`${device}: typing narrows`, async () => {
    const some = (await find('flame')).length;
    const fewer = (await find('flame rod insulation')).length;
    if (!(fewer > 0 && some > 0 && (await titles())[0].toLowerCase().includes('insulation'))) throw new Error(`${some}, then ${fewer}: ${await titles()}`);
  });
  await report.step(`${device}: nothing found is said in words`, async () => {
    await find('zzqqxxyy');
    await page.locator('.search-none').waitFor();
    if (!(await page.locator('.search-none').innerText()).includes('zzqqxxyy')) throw new Error(await page.locator('.search-none').innerText());
  });
  await report.step(`${device}: what was tried is said, and near words are offered`, async () => {
    await find('ignnitterr');
    if (!(await page.locator('.search-tried').innerText()).includes('ignnitterr')) throw new Error('not said');
    await page.locator('button.search-nearest', { hasText: 'igniter' }).first().click();
    if (!(await titles()).length || (await field.inputValue()) === 'ignnitterr') throw new Error(await field.inputValue());
  });
  await finds('no glow', 'Igniter stays dark', 'another name is as good as the title');
  await report.step(`${device}: a kind's button shows that kind alone, and all again`, async () => {
    const before = await find('igniter');
    await page.locator('.search-chip[data-kind="Check"]').click();
    const kinds = await page.locator('.search-item').evaluateAll(items => items.map(item => item.dataset.kind));
    if (!kinds.length || kinds.some(kind => kind !== 'Check')) throw new Error(JSON.stringify(kinds));
    await page.locator('.search-chip').first().click();
    if ((await titles()).join() !== before.join()) throw new Error('not all again');
  });
  await report.step(`${device}: matched words are marked in title and excerpt`, async () => {
    await find('microamp flame');
    await page.waitForTimeout(300);
    if (!(await page.locator('.search-title mark').count())) throw new Error('no mark in a title');
    if (!(await page.locator('.search-summary mark').count())) throw new Error('no mark in an excerpt');
  });
  await report.step(`${device}: odd input throws nothing`, async () => {
    for (const odd of ['flame '.repeat(2000).slice(0, 10000), '\u0001\u0007', 'שלום \u202eemalf', '😀👩‍🔧', 'the of and', '(a+)+$', '<b>x</b>']) {
      await field.fill(odd);
      await page.waitForTimeout(150);
    }
    await field.fill('');
  });
  await report.step(`${device}: markup in the field stays text`, async () => {
    await field.fill('<img src=x onerror=alert(1)> "\\ \u0000 \u202e');
    await page.waitForTimeout(300);
    if (await page.locator('[data-results] img').count()) throw new Error('an element was made of it');
  });
  await report.step(`${device}: arrows walk, Enter opens`, async () => {
    await find('igniter');
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('ArrowUp');
    const chosen = await page.evaluate(() => ({ link: document.activeElement.getAttribute('href'), title: document.activeElement.querySelector('.search-title')?.textContent }));
    if (!chosen.title) throw new Error('the focus is not on a result');
    await page.keyboard.press('Enter');
    await page.waitForURL(address => address.pathname.endsWith(chosen.link.replace(/^(\.\.\/)+/, '')));
    if ((await page.locator('h1').innerText()) !== chosen.title) throw new Error(`${chosen.title} led to ${await page.locator('h1').innerText()}`);
  });
  await report.step(`${device}: Enter in the field opens the first result, from a page below`, async () => {
    const first = (await find('prove dead'))[0];
    await field.press('Enter');
    await page.waitForFunction(title => document.querySelector('h1')?.textContent === title, first);
  });
  await report.step(`${device}: what led to a page is kept, offered and cleared`, async () => {
    await field.fill('');
    await field.blur();
    await field.focus();
    await page.locator('button.search-nearest', { hasText: 'prove dead' }).waitFor();
    await page.locator('button.search-clear').click();
    if (await page.locator('button.search-nearest').count()) throw new Error('not cleared');
    if (await page.evaluate(() => Object.keys(localStorage).some(key => key.startsWith('bluecone-recent:')))) throw new Error('still stored');
  });
  await report.step(`${device}: Escape clears`, async () => {
    await find('igniter');
    await field.press('Escape');
    await page.waitForTimeout(200);
    if ((await field.inputValue()) !== '' || (await page.locator('a.search-link').count())) throw new Error('not cleared');
  });
  await report.step(`${device}: the count is said to a screen reader`, async () => {
    await find('igniter');
    await page.waitForTimeout(700);
    const said = await page.locator('[data-results] [role=status]').textContent();
    if (!/\d+ results?/.test(said)) throw new Error(said);
  });
  const width = await page.evaluate(() => document.documentElement.scrollWidth);
  report.check(`${device}: results do not scroll sideways`, width <= options.viewport.width, `${width} wide`);
  report.check(`${device}: nothing went wrong`, wrongs.length === 0, wrongs.join('\n'));
  await close();
}

/** Types into the find box of a page and gives the titles found, or what is said in their place. */
async function findOn(page, words) {
  const field = page.locator('[data-search] input[type=search]');
  await field.fill('');
  await field.pressSequentially(words, { delay: 15 });
  await page.locator('a.search-link, .search-none, .search-note').first().waitFor();
  await page.waitForTimeout(300);
  return page.locator('.search-title').allInnerTexts();
}

await report.step('two tabs search side by side, and each knows what the other looked for', async () => {
  const { context, page, wrongs, close } = await browser(site, DESK);
  const other = await context.newPage();
  await page.goto(fileUrl(site, 'index.html'));
  await other.goto(fileUrl(site, 'terms.html'));
  const [first, second] = [await findOn(page, 'flame rod'), await findOn(other, 'prove dead')];
  if (!first.length || !second.length || first[0] === second[0]) throw new Error(`${first[0]} and ${second[0]}`);
  await other.locator('a.search-link').first().click();
  await other.waitForLoadState();
  const field = page.locator('[data-search] input[type=search]');
  await field.fill('');
  await field.blur();
  await field.focus();
  await page.locator('button.search-nearest', { hasText: 'prove dead' }).waitFor();
  if (wrongs.length) throw new Error(wrongs.join('\n'));
  await close();
});

await report.step('with storage refused the search works, and keeps what was looked for as long as the page', async () => {
  const { page, wrongs, close } = await browser(site, DESK);
  await page.addInitScript(() => {
    Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('refused', 'SecurityError'); } });
  });
  await page.goto(fileUrl(site, 'index.html'));
  if (!(await findOn(page, 'flame rod')).length) throw new Error('nothing found');
  await page.locator('a.search-link').first().click();
  await page.waitForLoadState();
  if (!(await findOn(page, 'igniter')).length) throw new Error('nothing found on the next page');
  if (wrongs.length) throw new Error(wrongs.join('\n'));
  await close();
});

await report.step('a damaged and a missing file are said, and the rest is found', async () => {
  const copy = fs.mkdtempSync(path.join(os.tmpdir(), 'bluecone-damaged-'));
  fs.cpSync(site, copy, { recursive: true });
  const every = files(path.join(copy, 'search')).filter(name => name.startsWith('postings-'));
  const postings = every.filter((_, at) => at % Math.ceil(every.length / 6) === 0);
  if (postings.length < 3) throw new Error(`only ${postings.length} files of postings`);
  const { page, wrongs, close } = await browser(copy, DESK);
  const said = { whole: 0, part: 0 };
  for (const [at, name] of postings.entries()) {
    const file = path.join(copy, 'search', name);
    const whole = fs.readFileSync(file);
    // One is cut off, one has a letter changed, one is gone.
    if (at % 3 === 0) fs.writeFileSync(file, whole.subarray(0, whole.length / 2));
    else if (at % 3 === 1) fs.writeFileSync(file, Buffer.concat([whole.subarray(0, 900), Buffer.from([whole[900] === 65 ? 66 : 65]), whole.subarray(901)]));
    else fs.rmSync(file);
    await page.goto(fileUrl(copy, 'index.html'));
    for (const words of ['igniter', 'flame', 'gas valve', 'pressure switch', 'blower', 'wire', 'lockout', 'meter']) {
      const found = await findOn(page, words);
      const note = await page.locator('.search-note').count();
      if (note) said.part += 1;
      else if (found.length) said.whole += 1;
      else throw new Error(`“${words}” finds nothing with ${name} damaged, and nothing is said of it`);
    }
    fs.writeFileSync(file, whole);
  }
  if (!said.whole || !said.part) throw new Error(JSON.stringify(said));
  fs.writeFileSync(path.join(copy, 'search/words.js'), 'blueconeSearch.take("words",1,"","");');
  await page.goto(fileUrl(copy, 'index.html'));
  await page.locator('[data-search] input[type=search]').fill('igniter');
  await page.locator('[data-results]', { hasText: 'The search index is missing or damaged' }).waitFor();
  const real = wrongs.filter(wrong => !/ERR_FILE_NOT_FOUND|SyntaxError|Invalid or unexpected token|Unexpected/.test(wrong));
  await close();
  fs.rmSync(copy, { recursive: true });
  if (real.length) throw new Error(real.join('\n'));
});
report.end();
