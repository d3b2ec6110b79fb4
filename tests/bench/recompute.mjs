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
// Each is told in two ways, in one run:
// - counted: timed at full speed and multiplied. The site comes from loopback then, with the two headers that give a page a
//   clock with steps of 0.005 ms.
// - slowed: by the browser, from the folder, with a clock of 0.1 ms. Chromium slows a page by stopping it for a millisecond or
//   so at a time, so of what takes 0.05 ms unslowed one in five shows a whole stop, and no 95th percentile under a millisecond
//   can come out. The loops in the first lines take a known time and show how far that goes on this machine.
// usage: node recompute.mjs SITE [SLOWER]
import path from 'node:path';
import { PHONE, fileUrl, files, findChromium, folders } from '../judges/site.mjs';
import { bare } from './bare.mjs';
import { serve } from './search/server.mjs';

const [site] = folders(1, 'recompute.mjs SITE [SLOWER]');
const slower = Number(process.argv[3] ?? 6);
const KEYS = 400;
const LOOPS = [0.02, 0.05, 0.1];
const PARTS = ['work', 'key', 'frame', 'layout'];

/** Mean and 95th percentile in milliseconds. */
const told = times => {
  const p95 = times.toSorted((a, b) => a - b)[Math.floor(times.length * 0.95)];
  const mean = times.reduce((sum, time) => sum + time, 0) / times.length;
  return `${mean.toFixed(2).padStart(6)}${p95.toFixed(2).padStart(6)}`;
};

const page = await bare(findChromium(), PHONE.viewport);
const slow = rate => page.send('Emulation.setCPUThrottlingRate', { rate });
const ids = files(path.join(site, 'calculators'), '.html').map(name => name.replace('.html', ''));
const server = await serve(path.resolve(site));

/** Tells what loops of known length take; `times` is what their times are multiplied by. */
const loops = async (turns, times) => {
  for (const long of LOOPS) {
    const all = await page.evaluate(
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
    console.log(`${`a loop of ${long} ms unslowed`.padEnd(28)} ${told(all.map(time => time * times))}`);
  }
};

/** Times of `KEYS` keystrokes on the calculator that the page shows. */
const keystrokes = id =>
  page.evaluate(
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

const line = (name, times) => console.log(`${name.padEnd(28)} ${PARTS.map(part => told(times[part])).join('  ')}`);

/** One way of telling: the pages at `address`, slowed by the browser `rate` times, their times multiplied by `times`. */
const way = async (name, address, rate, times) => {
  console.log(`\n${name}; milliseconds: mean and 95th percentile`);
  await slow(1);
  await page.goto(address(`calculators/${ids[0]}.html`));
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
  await slow(rate);
  await loops(turns, times);
  console.log(`${`${KEYS} keystrokes a calculator`.padEnd(28)} ${PARTS.map(part => part.padStart(12)).join('  ')}`);
  const all = { work: [], key: [], frame: [], layout: [] };
  for (const id of ids) {
    await page.goto(address(`calculators/${id}.html`));
    const measured = await keystrokes(id);
    for (const part of PARTS) {
      measured[part] = measured[part].map(time => time * times);
      all[part].push(...measured[part]);
    }
    line(id, measured);
  }
  line('all', all);
};

await way(`counted: full speed, times ${slower}`, to => `${server.address}/${to}`, 1, slower);
await way(`slowed ${slower} times by the browser`, to => fileUrl(site, to), slower, 1);
await page.close();
await server.close();
