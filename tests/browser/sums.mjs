// The calculators, worked by keyboard. What the page shows is held against what the program says in the terminal.
// usage: node sums.mjs SITE          (BLUECONE names the program, BOOK the handbook's folder; by default those of this repository)
import { execFileSync } from 'node:child_process';
import path from 'node:path';
import { DESK, PHONE, Report, browser, fileUrl, files, folders } from '../judges/site.mjs';

const [site] = folders(1, 'sums.mjs SITE');
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
}

/** What the page shows: every step that has a value, and the severity of every verdict. */
const shown = page =>
  page.evaluate(() => ({
    steps: Object.fromEntries([...document.querySelectorAll('[data-step]')].map(step => [step.dataset.step, step.querySelector('[data-value]')?.hidden ? '' : step.querySelector('[data-value]')?.textContent ?? ''])),
    verdicts: [...document.querySelectorAll('[data-verdict]')].map(verdict => [...verdict.querySelectorAll('[data-band]:not([hidden])')].map(band => /band-(good|watch|act|stop)/.exec(band.className)?.[1]).join()),
  }));

const words = page => page.evaluate(() => document.body.innerText + [...document.querySelectorAll('svg text')].map(text => text.textContent).join(' '));
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

const calculators = files(path.join(site, 'calculators'), '.html').map(name => name.replace('.html', ''));
report.check('every calculator of the site is worked here', calculators.every(id => SUMS[id]) && calculators.length >= 3, calculators.join(' '));

for (const [device, options] of [['phone', PHONE], ['desk', DESK]]) {
  const { page, wrongs, close } = await browser(site, options);
  for (const [id, sums] of Object.entries(SUMS)) {
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
    // Bad input in every field of numbers that is in sight: a sentence beside the field, and no nonsense anywhere.
    await page.goto(address);
    const fields = await page.locator('[data-input]:not([hidden]) input[data-entry]').evaluateAll(entries => entries.map(entry => entry.closest('[data-input]').dataset.input));
    report.check(`${device}: ${id} has fields`, fields.length > 2, fields.join());
    for (const name of fields) {
      const says = page.locator(`[data-input="${name}"] [data-says]`);
      const entry = page.locator(`[data-input="${name}"] [data-entry]`);
      await report.step(`${device}: ${id} ${name}: bad input is met with a sentence`, async () => {
        for (const text of ['', '   ', 'many', '1e999', '-1e999', '99999999999', 'NaN', 'Infinity', '-Infinity', '1,5', '1,50', '1.2.3', '--2', '5 5', '٣', '0x10', '<b>5</b>', '5 parsec', "'", '\u202e5']) {
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
        for (const text of ['-5', '0', '0.0000001', '-0', '1e3', ' 2 ', '2.', '.5', '+2']) {
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
  report.check(`${device}: nothing went wrong`, wrongs.length === 0, wrongs.join('\n'));
  await close();
}
report.end();
