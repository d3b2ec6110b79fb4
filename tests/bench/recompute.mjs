// What one keystroke costs on a calculator's page in Chromium with the CPU slowed, six times by default: working the sum, and
// with writing it into the page and laying that out. Run it on a machine that does nothing else.
// usage: node recompute.mjs SITE [SLOWER]
import path from 'node:path';
import { PHONE, browser, fileUrl, files, folders } from '../judges/site.mjs';

const [site] = folders(1, 'recompute.mjs SITE [SLOWER]');
const slower = Number(process.argv[3] ?? 6);
const KEYS = 400;

/** The 95th percentile in milliseconds; the browser's clock has steps of 0.1. */
const p95 = times => times.toSorted((a, b) => a - b)[Math.floor(times.length * 0.95)];

const { page, close } = await browser(site, PHONE);
const session = await page.context().newCDPSession(page);
await session.send('Emulation.setCPUThrottlingRate', { rate: slower });
console.log(`CPU slowed ${slower} times, ${KEYS} keystrokes a calculator; 95th percentile in milliseconds`);
console.log('calculator                      work  with page  with layout');
const all = { work: [], page: [], layout: [] };
for (const id of files(path.join(site, 'calculators'), '.html').map(name => name.replace('.html', ''))) {
  await page.goto(fileUrl(site, `calculators/${id}.html`));
  const times = await page.evaluate(
    async ([id, keys]) => {
      const sheet = document.querySelector('[data-sum]');
      const labels = bluecone.calculator.labels(sheet);
      const entries = [...sheet.querySelectorAll('[data-input]:not([hidden]) input[data-entry]')];
      const times = { work: [], page: [], layout: [] };
      for (let key = 0; key < keys; key++) {
        const entry = entries[key % entries.length];
        // A key more, a key less: the value changes each time.
        entry.value = entry.value.length > 6 ? entry.defaultValue : entry.value + (entry.value.includes('.') ? String(key % 10) : '.');
        const given = {};
        for (const field of sheet.querySelectorAll('[data-input]')) {
          const unit = field.querySelector('[data-unit]');
          const value = field.querySelector('[data-entry]').value;
          given[field.dataset.input] = unit ? [value, unit.value] : value;
        }
        const start = performance.now();
        bluecone.sums.work(id, labels, given);
        const worked = performance.now();
        entry.dispatchEvent(new Event('input', { bubbles: true }));
        const shown = performance.now();
        document.body.getBoundingClientRect();
        const laid = performance.now();
        times.work.push(worked - start);
        times.page.push(shown - worked);
        times.layout.push(laid - worked);
        if (key % 20 === 0) await new Promise(done => setTimeout(done, 0));
      }
      return times;
    },
    [id, KEYS],
  );
  const cell = list => p95(list).toFixed(1).padStart(5);
  console.log(`${id.padEnd(30)} ${cell(times.work)}      ${cell(times.page)}        ${cell(times.layout)}`);
  for (const part of Object.keys(all)) all[part].push(...times[part]);
}
console.log(`${'all'.padEnd(30)} ${p95(all.work).toFixed(1).padStart(5)}      ${p95(all.page).toFixed(1).padStart(5)}        ${p95(all.layout).toFixed(1).padStart(5)}`);
await close();
