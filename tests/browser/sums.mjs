// The calculators, worked by keyboard. What the page shows is held against what the program says in the terminal.
// usage: node sums.mjs SITE          (BLUECONE names the program, BOOK the handbook's folder; by default those of this repository)
import { execFileSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { DESK, PHONE, Report, browser, fileUrl, files, folders } from '../judges/site.mjs';

const [site] = folders(1, 'sums.mjs SITE');
// ONLY=features leaves the sums themselves out while these are worked on.
const only = process.env.ONLY;
const root = path.resolve(import.meta.dirname, '../..');
const program = process.env.BLUECONE ?? path.join(root, 'target/release/bluecone');
const book = process.env.BOOK ?? path.join(root, 'content');
const report = new Report('sums');

/** Sums to work: inputs as typed; units are chosen by their code. */
const SUMS = {
  'flame-current': [
    {},
    { pin_voltage: '5' },
    { pin_voltage: ['3600', 'mV'], minimum: '0.7' },
    { method: 'series meter', meter_current: '-2.7' },
    { method: 'series meter', meter_current: '2.2', record: 'kept', commissioning_current: '4' },
    { method: 'shunt resistor', shunt_voltage: ['2', 'V'], shunt_resistance: ['1', 'MOhm'], meter_resistance: '10' },
  ],
  'retry-budget': [{}, { trials: '1' }, { trial: '7', interpurge: '0', trials: '5' }, { prepurge: '90', volume: '3', airflow: '10' }],
  'conductor-and-tab': [{}, { load_amps: '12' }, { run_length: '30', ambient: '140' }, { load_amps: '0.5', device: ['400', 'mA'], tab_size: '0.110' }],
};

/** Measures of the drawing, in metres: the usual, the least and the most that a page may be given, and far beyond. */
const DRAWINGS = [0, 1e-9, 0.00127, 0.0063, 0.0095, 0.0127, 0.0999, 1.2345, 9.99].flatMap(tabWidth =>
  [0, 0.0001, 0.000813, 0.002, 0.5].flatMap(tabThickness =>
    [0.00000123, 0.000511, 0.00326, 0.0117, 0.123].flatMap(conductor =>
      [0, 0.0025, 0.0045, 0.006, 0.0135, 0.0999, 3.21].map((strip, at) => ({ tabWidth, tabThickness, conductor, strip, sleeve: ['red', 'yellow', 'high temperature, no colour', 'WWWWWWWWWWWWWWWWWWWW'][at % 4] })),
    ),
  ),
);

const plain = text => text.replace(/[\u00a0\u202f\u2009]/g, ' ').replace(/\s+/g, ' ').trim();

/** Types into a field the way a person does: to it by Tab or by its label, all of it selected, the new text, and on. */
async function enter(page, id, value) {
  const [text, unit] = Array.isArray(value) ? value : [value];
  const field = page.locator(`[data-input="${id}"]`);
  const entry = field.locator('[data-entry]');
  await entry.focus();
  if ((await entry.evaluate(entry => entry.tagName)) === 'SELECT') {
    await entry.selectOption(text);
  } else {
    await page.keyboard.press('Control+A');
    if (text === '') await page.keyboard.press('Delete');
    else await page.keyboard.insertText(text);
  }
  if (unit) await field.locator('[data-unit]').selectOption(unit);
  await frame(page);
}

/** The working's numbers, tables and drawings come with the frame after a key. */
const frame = page => page.evaluate(() => new Promise(requestAnimationFrame));

/** A list whose fields and results are in customary units, and steps that hand on choices, which the demo has none of. */
const PIPES = `
title: Lengths of pipe there and back
summary: Each pipe counted twice, and all of them together.
rows:
  - id: pipes
    title: Pipes
    row: Pipe
    most: 5
    fields:
      - {id: length, title: Length, unit: ft, from: 1, to: 100, start: 5, units: [m]}
      - {id: kind, title: Kind, choices: [{id: black, title: Black iron}, {id: ripple, title: Corrugated}], start: black}
    steps:
      - {id: both, title: There and back, unit: ft, formula: 2 * length}
    start: [{length: 10 ft}, {length: 20 ft}]
steps:
  - {id: total, title: All pipes, unit: ft, formula: sum(both in pipes) + spare}
  - {id: kinds, title: Kinds, formula: tally(kind in pipes)}
  - {id: gas, title: Gas, formula: fuel}
inputs:
  - {id: fuel, title: Fuel, choices: [{id: ng, title: Natural gas}, {id: lp, title: Propane}], start: ng}
  - {id: spare, title: Spare, unit: ft, from: 0, to: 100, start: 0, units: [m]}
examples:
  - title: Ten and twenty feet
    given: {pipes: [{length: 10 ft}, {length: 20 ft}]}
    expect: {total: 60 ft}
    within: 0
    source: {from: source:common-practice, at: added by hand}
sources:
  - {from: source:common-practice}
`;

/** What the page shows: every step that has a value, and the severity of every verdict. */
const shown = page =>
  page.evaluate(() => ({
    steps: Object.fromEntries([...document.querySelectorAll('[data-step]')].map(step => [step.dataset.step, step.querySelector('[data-value]')?.hidden ? '' : step.querySelector('[data-value]')?.textContent ?? ''])),
    verdicts: [...document.querySelectorAll('[data-verdict]')].sort((a, b) => a.dataset.at - b.dataset.at).map(verdict => [...verdict.querySelectorAll('[data-band]:not([hidden])')].map(band => /band-(good|watch|act|stop)/.exec(band.className)?.[1]).join()),
  }));

/** What is said to a screen reader comes later than the rest, so it may still be of the text before. */
const words = page => page.evaluate(() => {
  const said = document.querySelector('[data-spoken]')?.textContent;
  const text = document.body.innerText;
  return (said ? text.replace(said, '') : text) + [...document.querySelectorAll('svg text')].map(text => text.textContent).join(' ');
});
const NONSENSE = /\bNaN\b|Infinity|∞|undefined|\bnull\b|\[object/;

/** The same sum in the terminal. */
function inTerminal(id, given) {
  const pairs = Object.entries(given).map(([name, value]) => `${name}=${Array.isArray(value) ? value.join(' ') : value}`);
  const answer = JSON.parse(execFileSync(program, ['work', id, ...pairs, '--book', book, '--json'], { encoding: 'utf8' }));
  return {
    steps: Object.fromEntries(answer.steps.map(step => [step.id, step.no_value ? '' : step.shown])),
    verdicts: answer.verdicts.map(verdict => verdict.severity),
  };
}

/** What the page offers around the sum. */
async function features(page) {
  const at = (id, fragment = '') => fileUrl(site, `calculators/${id}.html`) + fragment;
  /** Loads anew: a change of the fragment alone does not. */
  const open = async (id, fragment) => {
    await page.goto('about:blank');
    await page.goto(at(id, fragment));
  };
  const entry = id => page.locator(`[data-input="${id}"] [data-entry]`);
  const unit = id => page.locator(`[data-input="${id}"] [data-unit]`);
  const value = id => page.locator(`[data-step="${id}"] [data-value]`).innerText();
  const note = page.locator('[data-note]');
  const must = (holds, what) => {
    if (!holds) throw new Error(what);
  };
  const settled = () => page.waitForTimeout(900);

  await report.step('the address keeps the inputs, without steps in the history, and a link reopens the sum', async () => {
    await open('flame-current', '');
    const length = await page.evaluate(() => history.length);
    for (const text of ['3', '3.', '3.6', '3600']) await enter(page, 'pin_voltage', text);
    await unit('pin_voltage').selectOption('mV');
    await enter(page, 'minimum', '0.7');
    await settled();
    const link = page.url();
    must(link.includes('#sum?') && link.includes('pin_voltage=3600+mV'), link);
    must((await page.evaluate(() => history.length)) === length, 'the history has grown');
    const before = JSON.stringify(await shown(page));
    await page.goto('about:blank');
    await page.goto(link);
    must(JSON.stringify(await shown(page)) === before, 'the link shows another sum');
    must((await note.isHidden()) && (await unit('pin_voltage').inputValue()) === 'mV', 'a note, or the wrong unit');
    await page.getByRole('button', { name: 'Starting values' }).click();
    await settled();
    must(!page.url().includes('#') && (await entry('pin_voltage').inputValue()) !== '3600', `${page.url()} after the starting values`);
    // Pasted into the open page.
    await page.evaluate(hash => (location.hash = hash), link.slice(link.indexOf('#')));
    await page.waitForTimeout(50);
    must(JSON.stringify(await shown(page)) === before, 'a link put into the open page does nothing');
  });

  await report.step('the button copies the link, or shows it where copying is refused', async () => {
    await open('flame-current', '');
    await enter(page, 'pin_voltage', '4.5');
    await page.evaluate(() => Object.defineProperty(navigator, 'clipboard', { configurable: true, value: { writeText: text => ((window.copied = text), Promise.resolve()) } }));
    await page.getByRole('button', { name: 'Copy link' }).press('Enter');
    await page.waitForFunction(() => document.querySelector('[data-copied]').textContent.includes('copied'));
    must((await page.evaluate(() => window.copied)).endsWith('#sum?pin_voltage=4.5+V'), 'another link was copied');
    await page.evaluate(() => Object.defineProperty(navigator, 'clipboard', { configurable: true, value: undefined }));
    await page.getByRole('button', { name: 'Copy link' }).click();
    await page.waitForFunction(() => document.querySelector('[data-copied]').textContent.includes('#sum?pin_voltage=4.5+V'));
    await enter(page, 'pin_voltage', '4.6');
    must((await page.locator('[data-copied]').textContent()) === '', 'what was copied is another sum by now, and the page still says so');
    await open('flame-current', '#sum?pin_voltage=5');
    must((await entry('pin_voltage').inputValue()) === '5' && (await note.isHidden()), 'a link without a unit is not taken in the main one');
  });

  for (const [name, fragment, says] of [
    ['a choice that is gone', '#sum?method=guess', /Left out: “How it was measured”/],
    ['a unit that is gone', '#sum?pin_voltage=5+furlong', /Left out: “Voltage at the test pins”/],
    ['names that are gone', '#sum?old=1&older=2', /2 values that this sum does not ask for/],
    ['markup', '#sum?pin_voltage=<img src=x onerror=alert(1)>+V&<script>=1', /does not ask for/],
    ['a long text', `#sum?pin_voltage=${'9'.repeat(80)}+V`, /Left out/],
    ['a very long link', `#sum?pin_voltage=${'9'.repeat(50_000)}`, /too long/],
    ['broken escapes', '#sum?pin_voltage=%E0%A4%A&method=%00', /Left out/],
    ['prototype names', '#sum?__proto__=1&constructor=2&toString=3', /3 values/],
  ]) {
    await report.step(`a link with ${name} is met with a sentence`, async () => {
      await open('flame-current', fragment);
      must(says.test(await note.innerText()), await note.innerText());
      must(!NONSENSE.test((await words(page)).replace(await note.innerText(), '')), 'nonsense on the page');
      must((await page.locator('.sum img').count()) === 0, 'markup came through');
      must((await page.locator('[data-step]').count()) > 3, 'no steps');
    });
  }
  await report.step('going back to the bare address brings the starting values back', async () => {
    await open('transformer-protection');
    await page.evaluate(() => (location.hash = '#sum?rating=100&loads=1'));
    await page.waitForFunction(() => document.querySelector('#to--in-rating').value === '100');
    must((await page.locator('[data-line-row]').count()) === 1, 'not one row');
    await page.goBack();
    await page.waitForFunction(() => document.querySelector('#to--in-rating').value === '40');
    must((await page.locator('[data-line-row]').count()) === 4, 'not four rows');
  });
  for (const count of ['99', 'abc', '2.5', '-1', '']) {
    await report.step(`a link that asks for “${count}” rows says that this is left out`, async () => {
      await open('transformer-protection', `#sum?loads=${count}`);
      must(/Left out: the number of rows of “/.test(await note.innerText()), await note.innerText());
      must((await page.locator('[data-line-row]').count()) === 4, 'not the rows of the start');
    });
  }
  await report.step('forty rows reopen from their link', async () => {
    await open('wire-transfer');
    const add = page.locator('[data-add]').first();
    while (await add.isVisible()) await add.evaluate(button => button.click());
    const rows = await page.locator('[data-line-row]').count();
    must(rows === 40, `${rows} rows`);
    await page.evaluate(() => {
      for (const list of document.querySelectorAll('[data-cell] select[data-entry]')) list.selectedIndex = list.options.length - 1;
      for (const number of document.querySelectorAll('[data-cell] input[data-entry]')) number.value = '1.25';
      document.querySelector('[data-cell] input[data-entry]').dispatchEvent(new Event('input', { bubbles: true }));
    });
    await page.waitForFunction(() => location.hash.length > 4000);
    const before = JSON.stringify(await shown(page));
    const link = page.url();
    await page.goto('about:blank');
    await page.goto(link);
    must((await note.isHidden()) && JSON.stringify(await shown(page)) === before, await note.innerText());
  });
  await report.step('switching the units keeps the quantity, at limits and as the page prints numbers, and comes back to what was typed', async () => {
    const metric = system => page.locator(`[name=system][value=${system}]`).check();
    for (const [id, input, typed, expected] of [
      ['heat-rate-conversion', 'rate', '5\u202f000', /^1\.46/],
      ['air-temperature-rise', 'return_air', '\u22125', /^-20\.55/],
      ['air-temperature-rise', 'supply_air', '0', /^-17\.7777/],
    ]) {
      await open(id);
      const field = page.locator(`[data-input="${input}"] [data-entry]`);
      await metric('us');
      await field.fill(typed);
      await metric('si');
      must(expected.test(await field.inputValue()), `${id}: ${await field.inputValue()}`);
      must((await field.getAttribute('aria-invalid')) === null, `${id}: ${typed} is refused in metric units`);
      await metric('us');
      must((await field.inputValue()) === typed, `${id}: ${typed} came back as ${await field.inputValue()}`);
    }
    await open('air-temperature-rise');
    const refused = page.locator('[data-input="return_air"] [data-entry]');
    await refused.fill('0x10');
    await metric('si');
    must((await refused.inputValue()) === '0x10' && (await refused.getAttribute('aria-invalid')) === 'true', await refused.inputValue());
    await metric('us');
  });
  await report.step('a link to a part of the page is none to a sum', async () => {
    await open('flame-current', '#to--working');
    must((await note.isHidden()) && page.url().endsWith('#to--working'), 'it was taken for a sum');
    await enter(page, 'pin_voltage', '4');
    await settled();
    must(page.url().includes('#sum?'), page.url());
  });
  await report.step('a link with a number out of range shows the sentence and no result', async () => {
    await open('retry-budget', '#sum?trial=999');
    must((await entry('trial').getAttribute('aria-invalid')) === 'true', 'not marked');
    const wrong = await page.locator('[data-wrong]').innerText();
    must(/“Trial for ignition”: Enter a value from 0.5.s to 60.s\. What needs it has no result\./.test(wrong), wrong);
    must((await page.locator('[data-step="gas_per_trial"] [data-value]').isHidden()) && (await page.locator('[data-step="gas_flow"] [data-value]').isVisible()), 'results that need it are shown, or others are not');
    await enter(page, 'trial', '7');
    must(await page.locator('[data-wrong]').isHidden(), 'the sentence stays');
  });

  await report.step('the page switches to metric and back, and the device remembers', async () => {
    await open('air-temperature-rise', '');
    const before = JSON.stringify(await shown(page));
    await page.getByRole('radio', { name: 'Metric (SI)' }).check();
    must((await unit('return_air').inputValue()) === 'Cel' && Math.abs(Number(await entry('return_air').inputValue()) - 21.1111) < 0.001, await entry('return_air').inputValue());
    must(/K$/.test(plain(await value('rise'))) && Math.abs(parseFloat(await value('rise')) - 30.6) < 0.06, await value('rise'));
    const severity = JSON.stringify((await shown(page)).verdicts);
    must(JSON.parse(before).verdicts.join() === JSON.parse(severity).join(), 'another verdict in other units');
    await open('orifice-flow', '');
    must((await page.getByRole('radio', { name: 'Metric (SI)' }).isChecked()) && /kW$/.test(plain(await value('heat'))), 'another page does not know of it');
    await page.getByRole('button', { name: 'Starting values' }).click();
    await page.waitForTimeout(50);
    must(/kW$/.test(plain(await value('heat'))), 'the starting values are in other units');
    const ranges = () => page.locator('[data-range]').allTextContents().then(texts => texts.map(plain).join('|'));
    must(/\|From 0\.254 mm to 6\.35 mm\.\|From 24\.91 Pa to 3487 Pa\.\|.*\|From 26\.09 MJ\/m³ to 48\.43 MJ\/m³\./.test(await ranges()), await ranges());
    for (const edge of ['24.91', '3487']) {
      await enter(page, 'natural_pressure', edge);
      must((await page.locator('[data-input="natural_pressure"] [data-says]').textContent()) === '', `${edge} stands in the range and is refused`);
    }
    await unit('natural_pressure').selectOption("[in_i'H2O]");
    must((await ranges()).includes('|From 0.1 in. w.c. to 14 in. w.c.|'), await ranges());
    must(Object.keys(await page.evaluate(() => ({ ...localStorage }))).some(key => /^bluecone-units-./.test(key)), 'the key has no book');
    await open('air-temperature-rise', '');
    await page.getByRole('radio', { name: 'US', exact: true }).check();
    must(JSON.stringify(await shown(page)) === before, 'back again, the sum is another');
    must((await entry('return_air').inputValue()) === '70', await entry('return_air').inputValue());
  });
  await report.step('fields and results of rows switch too, and so does a new row', async () => {
    const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'sums-'));
    fs.cpSync(book, path.join(folder, 'book'), { recursive: true });
    fs.writeFileSync(path.join(folder, 'book/calculators/pipe-lengths.yaml'), PIPES);
    execFileSync(program, ['press', path.join(folder, 'book'), '--to', path.join(folder, 'site')]);
    const { page, close } = await browser(path.join(folder, 'site'), PHONE);
    await page.goto(fileUrl(path.join(folder, 'site'), 'calculators/pipe-lengths.html'));
    const lengths = () => page.locator('[data-cell="length"] input').evaluateAll(entries => entries.map(entry => entry.value).join());
    const results = () => page.locator('.sum-table td').allTextContents().then(texts => plain(texts.join()));
    const state = async () => `${await lengths()} ${await results()} ${plain(await page.locator('[data-step="total"] [data-value]').textContent())}`;
    const working = async () => plain(await page.locator('[data-step="total"] [data-line]:not([hidden])').first().textContent());
    must((await state()) === '10,20 20 ft,40 ft 60 ft', await state());
    must((await working()) === '= 60 ft + 0 ft', await working());
    await page.getByRole('radio', { name: 'Metric (SI)' }).check();
    await frame(page);
    must((await state()) === '3.048,6.096 6.1 m,12.2 m 18.3 m', await state());
    must((await working()) === '= 18.3 m + 0 m', await working());
    await page.getByRole('button', { name: 'Add: Pipe' }).press('Enter');
    await frame(page);
    must((await state()) === '3.048,6.096,1.524 6.1 m,12.2 m,3.05 m 21.3 m', await state());
    must((await working()) === '= 21.3 m + 0 m', await working());
    const ranges = await page.locator('[data-rows] [data-range]').allTextContents();
    must(ranges.length === 3 && ranges.every(range => plain(range) === 'From 0.3048 m to 30.48 m.'), ranges.join());
    await page.getByRole('radio', { name: 'US', exact: true }).check();
    await frame(page);
    must((await state()) === '10,20,5 20 ft,40 ft,10 ft 70 ft', await state());
    const handed = async () => plain((await page.locator('[data-step="kinds"] [data-value], [data-step="gas"] [data-value]').allTextContents()).join(', '));
    must((await handed()) === '3 × Black iron, Natural gas', await handed());
    await page.locator('[data-cell="kind"] select').nth(2).selectOption('ripple');
    await enter(page, 'fuel', 'lp');
    must((await handed()) === '2 × Black iron; 1 × Corrugated, Propane', await handed());
    await close();
    fs.rmSync(folder, { recursive: true });
  });
  await report.step('refused storage breaks nothing', async () => {
    await page.addInitScript(() => {
      if (location.protocol === 'file:' && sessionStorage.getItem('refuse')) Object.defineProperty(window, 'localStorage', { get: () => { throw new DOMException('refused', 'SecurityError'); } });
    });
    await page.evaluate(() => sessionStorage.setItem('refuse', '1'));
    await page.reload();
    await page.getByRole('radio', { name: 'Metric (SI)' }).check();
    must(/K$/.test(plain(await value('rise'))), await value('rise'));
    await page.evaluate(() => sessionStorage.removeItem('refuse'));
    await page.reload();
    must(await page.getByRole('radio', { name: 'US', exact: true }).isChecked(), 'it was remembered all the same');
  });

  await report.step('fields of numbers bring up the keypad', async () => {
    for (const id of calculators) {
      await open(id, '');
      const modes = await page.locator('input[data-entry]').evaluateAll(entries => entries.map(entry => `${entry.inputMode} ${entry.closest('[data-input], [data-cell]').dataset.whole === undefined}`));
      must(modes.length > 0 && modes.every(mode => mode === 'decimal true' || mode === 'numeric false'), `${id}: ${modes}`);
    }
  });
  await report.step('what is chosen can be read in full, in the closed list or below it', async () => {
    const cut = [];
    let below = 0;
    for (const id of calculators) {
      await open(id, '');
      for (const list of await page.locator('select[data-entry]:visible').all()) {
        for (const option of await list.locator('option').evaluateAll(options => options.map(option => option.value))) {
          if (!(await list.isVisible())) continue;
          await list.selectOption(option);
          await page.waitForTimeout(20);
          const seen = await list.evaluate(list => {
            const words = list.selectedOptions[0].text;
            const measure = document.createElement('span');
            const style = getComputedStyle(list);
            for (const name of ['fontFamily', 'fontSize', 'fontWeight']) measure.style[name] = style[name];
            Object.assign(measure.style, { position: 'absolute', whiteSpace: 'pre' });
            measure.textContent = words;
            document.body.append(measure);
            const fits = measure.getBoundingClientRect().width <= list.clientWidth - parseFloat(style.paddingLeft) - parseFloat(style.paddingRight) - 20;
            measure.remove();
            const line = list.closest('.sum-field').querySelector('[data-chosen]');
            return { words, fits, below: line.innerText === `Chosen: ${words}` && line.getBoundingClientRect().height > 0 && line.scrollWidth <= line.clientWidth };
          });
          if (!seen.fits && !seen.below) cut.push(`${id}: ${seen.words}`);
          if (seen.fits && seen.below && seen.words.length < 20) cut.push(`${id}: said twice: ${seen.words}`);
          below += seen.below;
        }
      }
    }
    must(cut.length === 0, cut.join('\n'));
    must(below > 0 || page.viewportSize().width > 400, 'no list was too narrow, so nothing was tried');
  });
  await report.step('a screen reader hears the result once, after the typing', async () => {
    await open('flame-current', '');
    await settled();
    await page.evaluate(() => {
      window.said = [];
      new MutationObserver(() => window.said.push(document.querySelector('[data-spoken]').textContent)).observe(document.querySelector('[data-spoken]'), { childList: true, characterData: true, subtree: true });
    });
    await entry('pin_voltage').focus();
    await page.keyboard.press('Control+A');
    for (const key of '0.04') {
      await page.keyboard.press(key);
      await page.waitForTimeout(60);
    }
    await settled();
    const said = await page.evaluate(() => window.said);
    must(said.length === 1 && said[0].length > 20, JSON.stringify(said));
    await page.keyboard.press('End');
    await page.keyboard.press('0');
    await settled();
    must((await page.evaluate(() => window.said)).length === 1, 'the same result is said again');
    const regions = await page.locator('.sum [aria-live]').count();
    must(regions === 2, `${regions} regions that speak`);
  });
  await report.step('a field that becomes wrong is heard of though another is wrong already', async () => {
    await open('flame-current', '');
    await enter(page, 'pin_voltage', 'many');
    await settled();
    await enter(page, 'minimum', 'few');
    await settled();
    const [first, second] = await page.evaluate(() => ['pin_voltage', 'minimum'].map(id => document.querySelector(`[data-input="${id}"]`).dataset.title));
    const said = await page.locator('[data-spoken]').textContent();
    must(second.length > 3 && said.includes(second) && !said.includes(first), said);
    await enter(page, 'minimum', '1');
    await settled();
    must((await page.locator('[data-spoken]').textContent()).includes(first), 'the field that is still wrong is not said again');
  });
  await report.step('who leaves a field at once and goes back finds what was typed', async () => {
    await open('flame-current', '');
    await entry('pin_voltage').focus();
    await page.keyboard.press('Control+A');
    await page.keyboard.type('4.4');
    await page.keyboard.press('Tab');
    must(page.url().includes('pin_voltage=4.4'), page.url());
  });
  await report.step('a long working folds, opens by keyboard, and is whole on paper', async () => {
    await open('retry-budget', '');
    const folds = page.locator('.step-fold');
    must((await folds.count()) > 20 && (await page.locator('.step-fold[open]').count()) === 0, 'not folded');
    const step = page.locator('[data-step="gas_flow"]');
    must(await step.locator('[data-value]').isVisible(), 'no value beside the folded step');
    await step.locator('summary').focus();
    await page.keyboard.press('Enter');
    must((await step.locator('[data-line]').first().isVisible()) && (await step.locator('math').isVisible()), 'the working is not seen one press away');
    const limit = page.locator('[data-step="lower_limit"]');
    await limit.locator('summary').click();
    must(await limit.locator('a').first().isVisible(), 'the source is not seen one press away');
    await page.getByRole('button', { name: 'Open all steps' }).click();
    must((await page.locator('.step-fold[open]').count()) === (await folds.count()), 'not all are open');
    await page.getByRole('button', { name: 'Close all steps' }).click();
    must((await page.locator('.step-fold[open]').count()) === 0, 'not all are closed');
    await page.emulateMedia({ media: 'print' });
    await page.evaluate(() => window.dispatchEvent(new Event('beforeprint')));
    const seen = selector => page.locator(selector).first().isVisible();
    for (const selector of ['[data-input="trial"] [data-entry]', '[data-verdict]:not([hidden]) [data-band]:not([hidden])', '[data-step="gas_flow"] [data-line]', '[data-step="gas_flow"] [data-value]']) must(await seen(selector), `${selector} is not on paper`);
    must(!(await seen('[data-copy]')) && !(await seen('.thumb')), 'buttons on paper');
    await page.evaluate(() => window.dispatchEvent(new Event('afterprint')));
    await page.emulateMedia({ media: 'screen' });
  });
  await report.step('the print button prints', async () => {
    await page.evaluate(() => (window.print = () => (window.printed = true)));
    await page.getByRole('button', { name: 'Print' }).press('Enter');
    must(await page.evaluate(() => window.printed), 'nothing was printed');
  });
  await report.step('workings name choices by their titles', async () => {
    await open('flame-current', '');
    const title = await page.locator('[data-input="method"] option').first().innerText();
    must((await page.locator('[data-step] math').allTextContents()).some(text => text.includes(`“${title}”`)), 'no title in a formula');
  });
}

/** Rows are added and taken away; what is worked over them follows, by keyboard and from a link. */
async function rows(page) {
  const must = (holds, what) => {
    if (!holds) throw new Error(what);
  };
  const total = () => page.locator('[data-step="total"] [data-value]').innerText();
  const count = () => page.locator('[data-line-row]').count();
  const focused = () => page.evaluate(() => document.activeElement?.id || document.activeElement?.textContent);
  const row = at => page.getByRole('group', { name: new RegExp(`^Load ${at}:`) });
  const button = at => row(at).getByRole('button', { name: /^Remove Load/ });
  /** A row is folded until it is asked for. */
  const unfold = async at => {
    if (!(await row(at).locator('details').evaluate(fold => fold.open))) await row(at).locator('summary').press('Enter');
  };
  await report.step('rows are added and removed by keyboard, and the sum follows', async () => {
    await page.goto('about:blank');
    await page.goto(fileUrl(site, 'calculators/transformer-protection.html'));
    must((await count()) === 4 && plain(await total()) === '28.0 VA', `${await count()} rows, ${await total()}`);
    // What came out row by row is working, one press away.
    const working = page.locator('.rows-fold');
    must(!(await working.evaluate(fold => fold.open)) && !(await page.locator('.sum-table td').first().isVisible()), 'the working of the rows is not folded');
    await working.locator('summary').first().press('Enter');
    must(await page.locator('.sum-table td').first().isVisible(), 'the working of the rows does not open');
    // On a phone each row of results is a card: nothing is pushed out of sight at the side, and each result says what it is.
    const card = await page.locator('.sum-table [data-results]').evaluate(body => {
      const place = body.closest('.scroll');
      const label = getComputedStyle(body.querySelector('td'), '::before').content;
      return { sideways: place.scrollWidth > place.clientWidth, label };
    });
    must(!card.sideways && card.label.length > 4 && card.label !== 'none', JSON.stringify(card));
    await page.getByRole('button', { name: 'Add: Load' }).press('Enter');
    must((await count()) === 5 && plain(await total()) === '36.0 VA', `${await count()} rows, ${await total()}`);
    must((await focused()) === 'to--in-loads-5-kind', await focused());
    await row(5).getByLabel('Volt-amps of one', { exact: true }).fill('20');
    must(plain(await total()) === '48.0 VA', await total());
    must(/^Load 1: .* 12\.0 VA$/.test(plain(await row(1).locator('summary').innerText())), await row(1).locator('summary').innerText());
    await unfold(1);
    await button(1).press('Enter');
    must((await count()) === 4 && plain(await total()) === '36.0 VA', `${await count()} rows, ${await total()}`);
    must((await focused()).startsWith('Remove Load 1'), await focused());
    const cells = await page.locator('[data-table="loads"] tbody tr').allInnerTexts();
    must(cells.length === 4 && plain(cells[3]).startsWith('Load 4: Gas valve 20 VA'), cells.join());
    const small = await page.locator('[data-list] button:visible, [data-list] summary').evaluateAll(all => all.filter(one => one.getBoundingClientRect().height < 48).length);
    must(small === 0, `${small} buttons are lower than 48 pixels`);
  });
  await report.step('a link reopens the rows; the starting values come back', async () => {
    await page.waitForTimeout(900);
    const link = page.url();
    await page.goto('about:blank');
    await page.goto(link);
    must((await count()) === 4 && plain(await total()) === '36.0 VA' && (await page.locator('[data-note]').isHidden()), `${link}: ${await total()}`);
    await page.getByRole('button', { name: 'Starting values' }).click();
    await page.waitForTimeout(100);
    must((await count()) === 4 && plain(await total()) === '28.0 VA', await total());
    for (let left = 4; left > 0; left--) {
      await unfold(1);
      await button(1).press('Enter');
    }
    must((await count()) === 0 && plain(await total()) === '0.0 VA', `${await count()} rows, ${await total()}`);
  });
  await report.step('a wrong value in a row is said with its row', async () => {
    await page.getByRole('button', { name: 'Add: Load' }).press('Enter');
    await row(1).getByLabel('Volt-amps of one', { exact: true }).fill('9999');
    const says = await page.locator('[data-wrong]').innerText();
    must(says.includes('Load 1') && says.includes('5000'), says);
  });
}

/** A worksheet whose result is rows: what to pick, which ends, and what is wrong stand before everything that is worked. */
async function result(page) {
  const must = (holds, what) => {
    if (!holds) throw new Error(what);
  };
  const open = async (id, fragment = '') => {
    await page.goto('about:blank');
    await page.goto(fileUrl(site, `calculators/${id}.html`) + fragment);
    await frame(page);
  };
  const part = title => page.locator('.result-part', { has: page.getByRole('heading', { name: title, exact: true }) });
  const lines = title => part(title).locator('li').allInnerTexts().then(texts => texts.map(plain));
  const cell = (at, name) => page.locator('[data-line-row]').nth(at - 1).locator(`[data-cell="${name}"] [data-entry]`);
  const unfold = at => page.locator('[data-line-row]').nth(at - 1).locator('details').evaluate(fold => (fold.open = true));
  const top = locator => locator.evaluate(element => element.getBoundingClientRect().top + scrollY);

  await report.step('what to pick and which ends stand before what they mean and how they are worked', async () => {
    await open('wire-transfer');
    must((await lines('Terminals to pick')).join('|') === '1 × female, 0.250 in, high temperature (22-18 AWG)|1 × female, 0.250 in, blue sleeve (16-14 AWG)', (await lines('Terminals to pick')).join('|'));
    const ends = await lines('Ends to re-terminate');
    must(ends.length === 2 && /^Wire 5: Flame sense .*high temperature.* Strip at least: 6 mm Strip at most: 7 mm$/.test(ends[0]) && /^Wire 6: Igniter/.test(ends[1]), ends.join('|'));
    must(!(await part('Wires whose tab does not carry them').isVisible()), 'a list of nothing is shown');
    const tops = [];
    for (const place of ['[data-add]', '[data-result]', '[data-verdicts]', '.sum-working']) tops.push(await top(page.locator(place).first()));
    must(page.viewportSize().width > 900 || tops.every((at, place) => place === 0 || at > tops[place - 1]), tops.join());
    const { height, wide } = await page.evaluate(() => ({ height: document.documentElement.scrollHeight, wide: innerWidth }));
    must(wide > 400 || height < 10500, `the page is ${height} pixels tall`);
  });
  await report.step('the result follows the rows, and steps that mean nothing for a row are left out of its card', async () => {
    await unfold(1);
    await cell(1, 'new_end').selectOption('0.187');
    await frame(page);
    must((await lines('Ends to re-terminate')).length === 3 && (await lines('Terminals to pick')).some(line => line.startsWith('1 × female, 0.187 in')), (await lines('Terminals to pick')).join('|'));
    await page.locator('.rows-fold').evaluate(fold => (fold.open = true));
    const card = async at => (await page.locator('[data-results] tr').nth(at - 1).locator('td:visible').evaluateAll(cells => cells.map(cell => cell.dataset.label))).join('|');
    must(/Sleeve\|Strip at least/.test(await card(1)), await card(1));
    if (page.viewportSize().width < 400) must(!/Sleeve|Strip|To pick|Test current/.test(await card(3)), await card(3));
  });
  await report.step('a warning stands at the head of the result while it holds', async () => {
    const first = page.locator('[data-result] > :nth-child(2) > .verdict');
    must((await first.count()) === 0, 'a warning without a reason');
    await unfold(5);
    await cell(5, 'new_end').selectOption('inside');
    await cell(1, 'amps').evaluate(entry => (entry.value = '39'));
    await cell(1, 'amps').dispatchEvent('input');
    await frame(page);
    const titles = await first.locator('h3').allInnerTexts();
    must(titles.join() === 'Commons,Tabs and currents', titles.join());
    must((await lines('Wires that may not be joined inside')).join().startsWith('Wire 5: Flame sense'), (await lines('Wires that may not be joined inside')).join());
    must((await lines('Wires whose tab does not carry them')).join().startsWith('Wire 1: Line hot'), 'the wire that is too hot is not named');
    const rest = await page.locator('[data-verdicts] > .verdict:visible h3').allInnerTexts();
    must(rest.join() === 'Ground,Ends to re-terminate', rest.join());
    await page.getByRole('button', { name: 'Starting values' }).click();
    await page.waitForTimeout(100);
    must((await first.count()) === 0 && (await page.locator('[data-verdicts] > .verdict:visible h3').allInnerTexts()).join() === 'Commons,Ground,Tabs and currents,Ends to re-terminate', 'the verdicts are not back in their order');
  });
  await report.step('a row that cannot be judged says why', async () => {
    await unfold(6);
    await cell(6, 'amps').fill('many');
    await frame(page);
    const said = await lines('Wires whose tab does not carry them');
    must(said.length === 1 && said[0] === 'Wire 6: Igniter It needs “Current that it carries”, which has no value.', said.join('|'));
  });
  await report.step('on paper and without a script the result is there, and the working of the rows is open', async () => {
    await open('wire-transfer');
    await page.emulateMedia({ media: 'print' });
    must((await part('Terminals to pick').isVisible()) && (await page.locator('.sum-table td').first().isVisible()), 'not on paper');
    await page.emulateMedia({ media: 'screen' });
    const context = await page.context().browser().newContext({ javaScriptEnabled: false, viewport: page.viewportSize() });
    const still = await context.newPage();
    await still.goto(fileUrl(site, 'calculators/wire-transfer.html'));
    const words = plain(await still.locator('[data-result]').innerText());
    must(words.includes('1 × female, 0.250 in, blue sleeve (16-14 AWG)') && words.includes('Wire 6: Igniter') && !words.includes('Wires that may not'), words);
    await context.close();
  });
  await report.step('a unit that is typed goes into the list when the field is left', async () => {
    const field = name => page.locator(`[data-input="${name}"]`);
    const stands = async name => [await field(name).locator('[data-entry]').inputValue(), await field(name).locator('[data-unit]').inputValue()].join(' ');
    await open('flame-current');
    await enter(page, 'pin_voltage', '3600 mV');
    const before = JSON.stringify(await shown(page));
    must((await stands('pin_voltage')) === '3600 mV V', await stands('pin_voltage'));
    await page.keyboard.press('Tab');
    must((await stands('pin_voltage')) === '3600 mV', await stands('pin_voltage'));
    must(JSON.stringify(await shown(page)) === before, 'the result changed');
    must(plain(await field('pin_voltage').locator('[data-range]').innerText()).includes('mV'), 'the range is told in another unit');
    await page.waitForTimeout(900);
    must(page.url().endsWith('#sum?pin_voltage=3600+mV'), page.url());
    // What cannot be read stays as it is; so does the list.
    for (const text of ['5 parsec', '0x10 mV', 'mV', '1,5 mV', '']) {
      await enter(page, 'pin_voltage', text);
      await page.keyboard.press('Tab');
      must((await stands('pin_voltage')) === `${text} mV`, `${text}: ${await stands('pin_voltage')}`);
    }
    await page.getByRole('button', { name: 'Starting values' }).press('Enter');
    await page.waitForTimeout(50);
    must(/ V$/.test(await stands('pin_voltage')), `after a reset: ${await stands('pin_voltage')}`);
    // A customary pressure typed on the metric page, and switched back.
    await open('orifice-flow');
    await page.getByRole('radio', { name: 'Metric (SI)' }).check();
    await enter(page, 'natural_pressure', '7 in. w.c.');
    await page.keyboard.press('Tab');
    must((await stands('natural_pressure')) === "7 [in_i'H2O]", await stands('natural_pressure'));
    await page.getByRole('radio', { name: 'US', exact: true }).check();
    must((await stands('natural_pressure')) === "7 [in_i'H2O]", await stands('natural_pressure'));
    await page.getByRole('radio', { name: 'Metric (SI)' }).check();
    must(/^174\d\.?\d* Pa$/.test(await stands('natural_pressure')), await stands('natural_pressure'));
    await page.getByRole('radio', { name: 'US', exact: true }).check();
  });
  await report.step('a figure out of range is told in the unit that its field shows', async () => {
    await open('orifice-flow');
    await page.getByRole('radio', { name: 'Metric (SI)' }).check();
    await enter(page, 'natural_pressure', '99999');
    const says = page.locator('[data-input="natural_pressure"] [data-says]');
    must(plain(await says.innerText()) === 'Enter a value from 24.91 Pa to 3487 Pa.', await says.innerText());
    must(plain(await page.locator('[data-wrong]').innerText()).includes('24.91 Pa to 3487 Pa. What needs it'), await page.locator('[data-wrong]').innerText());
    let terminal = '';
    try {
      execFileSync(program, ['work', 'orifice-flow', 'natural_pressure=99999 Pa', '--book', book], { encoding: 'utf8', stdio: 'pipe' });
    } catch (error) {
      terminal = plain(error.stderr);
    }
    must(terminal.includes(plain(await says.innerText())), terminal);
    await page.locator('[data-input="natural_pressure"] [data-unit]').selectOption("[in_i'H2O]");
    must(plain(await says.innerText()) === 'Enter a value from 0.1 in. w.c. to 14 in. w.c.', await says.innerText());
    await open('dial-time', '#sum?find=input');
    await page.getByRole('radio', { name: 'US', exact: true }).check();
    await enter(page, 'dial', '1000');
    await enter(page, 'seconds', '1');
    const solved = plain(await page.locator('.result-part[data-result-step="input"] [data-says]').innerText());
    must(/^It comes to .* Btu\/h, and this sum takes 1000 Btu\/h to 20 000 000 Btu\/h\.$/.test(solved), solved);
  });
}

const calculators = files(path.join(site, 'calculators'), '.html').map(name => name.replace('.html', ''));
report.check('the site has calculators', calculators.length >= 20, calculators.join(' '));
for (const id of calculators) SUMS[id] ??= [{}];

// The first three sums of the handbook, with each kind of field.
const THOROUGH = new Set(['flame-current', 'retry-budget', 'conductor-and-tab']);

// Random sums, worked by the press beforehand: the file is written by a test of `cargo test`.
const sampleFile = id => path.join(root, 'target/sums-sample', `${id}.json`);
if (book === path.join(root, 'content') && !calculators.every(id => fs.existsSync(sampleFile(id)))) {
  execFileSync('cargo', ['test', '--release', '--test', 'suite', 'sample_for_the_browser'], { cwd: root, stdio: 'ignore' });
}

for (const [device, options] of [['phone', PHONE], ['desk', DESK]]) {
  const { page, wrongs, close } = await browser(site, options);
  for (const [id, sums] of only ? [] : Object.entries(SUMS)) {
    const address = fileUrl(site, `calculators/${id}.html`);
    for (const given of sums) {
      await report.step(`${device}: ${id} ${JSON.stringify(given)} as in the terminal`, async () => {
        await page.goto(address);
        const before = JSON.stringify(await shown(page));
        for (const [name, value] of Object.entries(given)) await enter(page, name, value);
        const here = await shown(page);
        const there = inTerminal(id, given);
        const differing = Object.keys(there.steps).filter(step => plain(here.steps[step] ?? 'missing') !== plain(there.steps[step]));
        if (differing.length) throw new Error(differing.map(step => `${step}: page “${here.steps[step]}”, terminal “${there.steps[step]}”`).join('\n'));
        const verdicts = here.verdicts.filter(severity => severity !== '');
        if (verdicts.join() !== there.verdicts.join()) throw new Error(`verdicts: page ${verdicts}, terminal ${there.verdicts}`);
        if (Object.keys(given).length && JSON.stringify(here) === before) throw new Error('nothing changed on the page');
        const nonsense = NONSENSE.exec(await words(page));
        if (nonsense) throw new Error(`the page says ${nonsense[0]}`);
      });
    }
    // The script is the same on both devices, and the sample is the longest of these steps.
    if (device === 'phone') await report.step(`${device}: ${id}: random sums come to the same bits, and are shown alike`, async () => {
      const sample = JSON.parse(fs.readFileSync(sampleFile(id), 'utf8'));
      await page.goto(address);
      const wrong = await page.evaluate(([id, sample, onPage]) => {
        const sheet = document.querySelector('[data-sum]');
        const labels = bluecone.calculator.labels(sheet);
        const same = (found, value) => (typeof found === 'number' ? found === Number(value) : found === value);
        const wrong = [];
        let values = 0;
        sample.forEach(({ given, steps, verdicts }, at) => {
          const worked = bluecone.sums.work(id, labels, given);
          steps.forEach((step, place) => {
            const found = worked.steps[place];
            if (found.value !== null) values++;
            if (!same(found.value, step.value) || found.shown !== step.shown || found.says !== (step.says ?? '')) wrong.push({ given, step, found });
          });
          worked.verdicts.forEach((verdict, place) => verdict.value !== verdicts[place] && wrong.push({ given, place, verdict }));
          if (at >= onPage || labels.lists.length) return;
          // And as a reader sees it. A choice that is not offered cannot be chosen there.
          const fields = [...sheet.querySelectorAll('[data-input]')];
          for (const field of fields) {
            const entry = field.querySelector('[data-entry]');
            entry.value = given[field.dataset.input];
            if (entry.value !== given[field.dataset.input]) return;
          }
          sheet.querySelector('[data-entry]').dispatchEvent(new Event('input', { bubbles: true }));
          // The result stands at once; the working comes with the next frame, and at once when the page is printed.
          const result = item => (item.querySelector('[data-value]').hidden ? '' : item.querySelector('[data-value]').textContent);
          const results = steps.map(step => result(sheet.querySelector(`[data-step="${step.id}"]`)));
          dispatchEvent(new Event('beforeprint'));
          for (const [place, step] of steps.entries()) {
            const item = sheet.querySelector(`[data-step="${step.id}"]`);
            const line = [...item.querySelectorAll('[data-line]')].filter(line => !line.hidden).map(line => line.textContent).join();
            const shown = results[place];
            if (shown !== step.shown || line !== (step.working ? '= ' + step.working : '')) wrong.push({ given, step, shown, line });
          }
        });
        return values > sample.length ? wrong : ['no values'];
      }, [id, sample, 30]);
      if (wrong.length) throw new Error(`${wrong.length} differ, such as ${JSON.stringify(wrong[0])}`);
    });
    if (device === 'desk') continue;
    // Bad input in every field of numbers that is in sight: a sentence beside the field, and no nonsense anywhere.
    await page.goto(address);
    const fields = await page.locator('[data-input]:not([hidden]) input[data-entry]').evaluateAll(entries => entries.map(entry => entry.closest('[data-input]').dataset.input));
    report.check(`${device}: ${id} has fields`, fields.length > 0, fields.join());
    // Every text on the first sums; on the others each field takes every fourth, so that a page meets them all.
    const share = (texts, turn) => texts.filter((_, at) => THOROUGH.has(id) || at % 4 === turn % 4);
    for (const [turn, name] of fields.entries()) {
      const says = page.locator(`[data-input="${name}"] [data-says]`);
      const entry = page.locator(`[data-input="${name}"] [data-entry]`);
      await report.step(`${device}: ${id} ${name}: bad input is met with a sentence`, async () => {
        for (const text of share(['', '   ', 'many', '1e999', '-1e999', '99999999999', 'NaN', 'Infinity', '-Infinity', '1,5', '1,50', '1.2.3', '--2', '5 5', '٣', '0x10', '<b>5</b>', '5 parsec', "'", '\u202e5'], turn)) {
          await enter(page, name, text);
          const sentence = (await says.textContent()).trim();
          if (!/^[A-Z“].{8,}[.?]$/.test(sentence)) throw new Error(`${JSON.stringify(text)} is met with “${sentence}”`);
          if ((await entry.getAttribute('aria-invalid')) !== 'true') throw new Error(`${JSON.stringify(text)} is not marked as wrong`);
          if (!(await says.isVisible())) throw new Error('the sentence is not seen');
          // A sentence may quote what was typed; nothing else may hold it.
          const quoted = (await words(page)).replaceAll(sentence, '');
          const nonsense = NONSENSE.exec(quoted);
          if (nonsense) throw new Error(`${JSON.stringify(text)}: the page says ${nonsense[0]} in “${quoted.slice(Math.max(0, nonsense.index - 60), nonsense.index + 30)}”`);
        }
        for (const text of share(['-5', '0', '0.0000001', '-0', '1e3', ' 2 ', '2.', '.5', '+2'], turn)) {
          await enter(page, name, text);
          const nonsense = NONSENSE.exec(await words(page));
          if (nonsense) throw new Error(`${JSON.stringify(text)}: the page says ${nonsense[0]}`);
        }
      });
    }
    await report.step(`${device}: ${id}: the button brings the starting values back`, async () => {
      await page.getByRole('button', { name: 'Starting values' }).press('Enter');
      await page.waitForTimeout(50);
      const [here, there] = [await shown(page), inTerminal(id, {})];
      for (const step of Object.keys(there.steps)) if (plain(here.steps[step]) !== plain(there.steps[step])) throw new Error(`${step}: ${here.steps[step]}, not ${there.steps[step]}`);
      if (await page.locator('[aria-invalid]').count()) throw new Error('a field is still marked as wrong');
    });
    const width = await page.evaluate(() => document.documentElement.scrollWidth);
    report.check(`${device}: ${id} does not scroll sideways`, width <= options.viewport.width, `${width} wide`);
  }

  await report.step(`${device}: the lane chart redraws`, async () => {
    await page.goto(fileUrl(site, 'calculators/retry-budget.html'));
    const state = () => page.evaluate(() => ({ svg: document.querySelector('[data-picture]').innerHTML, shapes: document.querySelectorAll('[data-picture] rect, [data-picture] path').length, phases: document.querySelectorAll('[data-phases] tr').length, words: document.querySelector('[data-picture]').textContent }));
    const drawn = await page.locator('[data-picture] svg').boundingBox();
    if (!(drawn.width > 200 && drawn.height > 60)) throw new Error(`${drawn.width}×${drawn.height}`);
    await enter(page, 'trials', '1');
    const one = await state();
    await enter(page, 'trials', '4');
    const four = await state();
    if (one.svg === four.svg || four.shapes <= one.shapes || four.phases <= one.phases) throw new Error(`one trial: ${one.shapes} shapes, ${one.phases} phases; four: ${four.shapes}, ${four.phases}`);
    for (const lane of ['Blower', 'Igniter', 'Gas', 'Flame']) if (!four.words.toLowerCase().includes(lane.toLowerCase())) throw new Error(`no lane ${lane} in “${four.words}”`);
    if (NONSENSE.test(four.svg)) throw new Error('nonsense in the drawing');
  });
  await report.step(`${device}: the drawing of the tab redraws`, async () => {
    await page.goto(fileUrl(site, 'calculators/conductor-and-tab.html'));
    const drawing = () => page.locator('[data-drawing]').innerHTML();
    const before = await drawing();
    const choices = await page.locator('[data-input="tab_size"] option').evaluateAll(options => options.filter(option => !option.selected).map(option => option.value));
    await enter(page, 'tab_size', choices[0]);
    if ((await drawing()) === before) throw new Error('the same drawing');
  });
  await report.step(`${device}: the drawing has room for all that it is given`, async () => {
    const drawn = await page.evaluate(all => all.map(measures => {
      const place = document.querySelector('[data-drawing]');
      place.innerHTML = bluecone.terminal(measures);
      const svg = place.firstElementChild;
      const { width, height } = svg.viewBox.baseVal;
      const boxes = Array.from(svg.children, part => ({ what: part.textContent || part.getAttribute('class'), words: part.tagName === 'text', x: part.getBBox().x, y: part.getBBox().y, to: part.getBBox().x + part.getBBox().width, down: part.getBBox().y + part.getBBox().height }));
      const wrong = boxes.filter(box => box.x < 2 || box.y < 2 || box.to > width - 2 || box.down > height - 2).map(box => `${box.what} is cut off`);
      boxes.forEach((box, at) => boxes.slice(0, at).forEach(other => {
        if (!box.words && !other.words && !/t-sleeve/.test(box.what)) return;
        if (box.x < other.to && other.x < box.to && box.y < other.down && other.y < box.down) wrong.push(`${box.what} lies on ${other.what}`);
      }));
      const bar = svg.querySelector('.t-bar').getBBox().width / parseFloat(boxes.find(box => /one scale/.test(box.what)).what.replace(/\s/g, ''));
      const strip = boxes.find(box => box.what === 't-copper' && box.x === 80);
      const [long, due] = [strip ? strip.to - strip.x : 0, measures.strip * 1000 * bar];
      if (Math.abs(long - due) > 0.01) wrong.push(`the strip is ${long} long, by the bar it should be ${due}`);
      return wrong.map(what => `${JSON.stringify(measures)}: ${what}`);
    }), DRAWINGS);
    const wrong = drawn.flat();
    if (wrong.length) throw new Error(`${wrong.length}, such as ${wrong.slice(0, 5).join('; ')}`);
  });
  await report.step(`${device}: the plot redraws when an input changes, and says so where there is none`, async () => {
    await page.goto('about:blank');
    await page.goto(fileUrl(site, 'calculators/voltage-drop.html'));
    const state = () => page.evaluate(() => ({ svg: document.querySelector('[data-plot-picture]').innerHTML.trim(), words: document.querySelector('[data-plot-words]').textContent, rows: document.querySelectorAll('[data-plot-points] tr').length }));
    const settled = () => page.waitForTimeout(500);
    const pressed = await state();
    await settled();
    const redrawn = await state();
    if (JSON.stringify(pressed) !== JSON.stringify(redrawn)) throw new Error(`the page draws another plot than the press: ${JSON.stringify(redrawn)}`);
    await enter(page, 'run_length', '200');
    await settled();
    const longer = await state();
    if (longer.svg === pressed.svg || !plain(longer.words).includes('200 ft gives') || longer.rows < 8) throw new Error(JSON.stringify(longer));
    await enter(page, 'run_length', '');
    await settled();
    const none = await state();
    if (none.svg.includes('p-here') || !none.words.includes('has no value')) throw new Error(JSON.stringify(none));
    if (NONSENSE.test(longer.svg + none.svg + none.words)) throw new Error('nonsense in the drawing');
  });
  if (device === 'phone') {
    await features(page);
    await rows(page);
  }
  await result(page);
  report.check(`${device}: nothing went wrong`, wrongs.length === 0, wrongs.join('\n'));
  await close();
}
report.end();
