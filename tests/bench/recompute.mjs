// What one keystroke costs on a calculator's page in Chromium with the CPU slowed, six times by default. Run it on a machine
// that does nothing else.
//
// - work: the sum itself, `bluecone.sums.work`, with what is typed already read from the fields: values, verdicts, sentences and
//   results as text. No elements of the page.
// - key: everything between the key and its results: the fields read, the sum worked, and results, verdicts and sentences
//   written into the page.
// - frame: what the page leaves to the next frame: the numbers in the working, tables of rows, charts and drawings.
// - layout: laying out the page after both. The curve of a plot waits until the typing pauses and is not in here.
//
// Chromium slows a page by stopping it for a millisecond or so at a time. What takes 0.02 ms unslowed is hit in one key out
// of ten or twenty and then shows the whole stop; so the mean says what a key costs, and the 95th percentile what stops add. The
// loops in the first lines take a known time and show how far that goes on this machine.
// usage: node recompute.mjs SITE [SLOWER]
import path from 'node:path';
import { PHONE, browser, fileUrl, files, folders } from '../judges/site.mjs';

const [site] = folders(1, 'recompute.mjs SITE [SLOWER]');
const slower = Number(process.argv[3] ?? 6);
const KEYS = 400;
const LOOPS = [0.02, 0.05, 0.1];
const PARTS = ['work', 'key', 'frame', 'layout'];

/** Mean and 95th percentile in milliseconds; the browser's clock has steps of 0.1. */
const told = times => {
  const p95 = times.toSorted((a, b) => a - b)[Math.floor(times.length * 0.95)];
  const mean = times.reduce((sum, time) => sum + time, 0) / times.length;
  return `${mean.toFixed(2).padStart(6)}${p95.toFixed(1).padStart(6)}`;
};

const { page, close } = await browser(site, PHONE);
const session = await page.context().newCDPSession(page);
const slow = rate => session.send('Emulation.setCPUThrottlingRate', { rate });
const ids = files(path.join(site, 'calculators'), '.html').map(name => name.replace('.html', ''));

await page.goto(fileUrl(site, `calculators/${ids[0]}.html`));
const turns = await page.evaluate(() => {
  globalThis.loop = turns => {
    let x = 1;
    for (let turn = 0; turn < turns; turn++) x = (x * 1103515245 + 12345) % 2147483648;
    return x;
  };
  loop(3e6);
  const start = performance.now();
  loop(3e7);
  return 3e7 / (performance.now() - start);
});
await slow(slower);
console.log(`CPU slowed ${slower} times; milliseconds: mean and 95th percentile`);
for (const long of LOOPS) {
  const times = await page.evaluate(
    async turns => {
      const times = [];
      for (let at = 0; at < 1000; at++) {
        const start = performance.now();
        loop(turns);
        times.push(performance.now() - start);
        if (at % 20 === 0) await new Promise(done => setTimeout(done, 0));
      }
      return times;
    },
    Math.round(long * turns),
  );
  console.log(`a loop of ${long} ms unslowed:      ${told(times)}`);
}

console.log(`\n${KEYS} keystrokes a calculator${PARTS.map(part => part.padStart(14)).join('').slice(4)}`);
const line = (name, times) => console.log(`${name.padEnd(28)} ${PARTS.map(part => told(times[part])).join('  ')}`);
const all = { work: [], key: [], frame: [], layout: [] };
for (const id of ids) {
  await page.goto(fileUrl(site, `calculators/${id}.html`));
  const times = await page.evaluate(
    async ([id, keys]) => {
      const sheet = document.querySelector('[data-sum]');
      const labels = bluecone.calculator.labels(sheet);
      const one = (place, name) => place.querySelector(`[data-${name}]`);
      const every = (place, name) => [...place.querySelectorAll(`[data-${name}]`)];
      const typed = place => (one(place, 'unit') ? [one(place, 'entry').value, one(place, 'unit').value] : one(place, 'entry').value);
      const given = () => {
        const texts = Object.fromEntries(every(sheet, 'input').map(place => [place.dataset.input, typed(place)]));
        const row = place => Object.fromEntries(every(place, 'cell').map(cell => [cell.dataset.cell, typed(cell)]));
        for (const list of every(sheet, 'list')) texts[list.dataset.list] = every(list, 'line-row').map(row);
        return texts;
      };
      const entries = [...sheet.querySelectorAll('[data-input]:not([hidden]) input[data-entry], [data-cell]:not([hidden]) input[data-entry]')];
      const times = { work: [], key: [], frame: [], layout: [] };
      for (let key = 0; key < keys; key++) {
        const entry = entries[key % entries.length];
        // A key more, a key less: the value changes each time.
        entry.value = entry.value.length > 6 ? entry.defaultValue : entry.value + (entry.value.includes('.') ? String(key % 10) : '.');
        const texts = given();
        const marks = [performance.now()];
        bluecone.sums.work(id, labels, texts);
        marks.push(performance.now());
        entry.dispatchEvent(new Event('input', { bubbles: true }));
        marks.push(performance.now());
        // Before it prints, the page draws at once what it had left to the next frame.
        dispatchEvent(new Event('beforeprint'));
        marks.push(performance.now());
        document.body.getBoundingClientRect();
        marks.push(performance.now());
        Object.keys(times).forEach((part, at) => times[part].push(marks[at + 1] - marks[at]));
        if (key % 20 === 0) await new Promise(done => setTimeout(done, 0));
      }
      return times;
    },
    [id, KEYS],
  );
  line(id, times);
  for (const part of PARTS) all[part].push(...times[part]);
}
line('all', all);
await close();
