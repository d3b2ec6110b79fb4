// A walk through a symptom's checks: to its end by keyboard, back, resumed, contradicted, copied, without a script, with storage refused.
// usage: node walk.mjs SITE        (SCREENSHOTS=DIR keeps pictures)
import fs from 'node:fs';
import path from 'node:path';
import zlib from 'node:zlib';
import { DESK, PHONE, Report, browser, fileUrl, files, folders } from '../judges/site.mjs';

const [site] = folders(1, 'walk.mjs SITE');
const report = new Report('walk');
const pictures = process.env.SCREENSHOTS;
if (pictures) fs.mkdirSync(pictures, { recursive: true });
const symptoms = files(path.join(site, 'walk/symptoms'), '.js').map(name => name.replace('.js', ''));
report.check('there are symptoms to walk through', symptoms.length >= 10, symptoms.join(' '));
for (const id of symptoms) {
  const size = zlib.gzipSync(fs.readFileSync(path.join(site, `walk/symptoms/${id}.js`)), { level: 9 }).length;
  report.check(`${id}: its data is small`, size <= 10_000, `${size} bytes compressed`);
}

const picture = (page, name) => (pictures ? page.screenshot({ path: path.join(pictures, `walk-${name}.png`), fullPage: true }) : undefined);
const open = (page, id) => page.goto(fileUrl(site, `symptoms/${id}.html`));
const press = (page, name) => page.getByRole('button', { name, exact: true }).press('Enter');
const title = page => page.locator('.walk-title').innerText();

/** The screen is whole: steps are there, focus is on the heading, buttons suit gloves, words are plain, nothing sticks out. */
async function whole(page, width) {
  await page.locator('.walk-stage').waitFor();
  if (await page.locator('.walk-doing').count()) await page.locator('.walk-doing .steps').waitFor();
  const state = await page.evaluate(() => {
    const words = document.querySelector('main').innerText;
    const sizes = [...document.querySelectorAll('.walk button')].filter(button => button.checkVisibility()).map(button => [button.textContent, button.getBoundingClientRect().height, button.getBoundingClientRect().width]);
    return {
      focus: document.activeElement.className,
      small: sizes.filter(([, height, across]) => height < 56 || across < 56).map(String),
      bad: words.match(/\b(?:NaN|Infinity|undefined|null)\b|\[object/g),
      caution: words.includes("The appliance's instructions and rating plate, the local code and the licensed person on site come before anything said here"),
      others: [...document.querySelectorAll('.sheet > *')].filter(part => !part.matches('.walk, .head') && part.checkVisibility()).map(part => part.className),
      width: document.documentElement.scrollWidth,
      question: document.querySelector('.walk-choice') !== null,
      hazards: document.querySelectorAll('.walk-hazard .signal').length,
      bars: [...document.querySelectorAll('.walk-odds .suspect-chance')].map(chance => chance.textContent),
      state: document.querySelector('.walk-state')?.textContent ?? '',
    };
  });
  const wrong = [];
  if (state.focus !== 'walk-title') wrong.push(`the focus is on “${state.focus}”`);
  if (state.small.length) wrong.push(`small: ${state.small}`);
  if (state.bad) wrong.push(`words: ${state.bad}`);
  if (!state.caution) wrong.push('no caution');
  if (state.others.length) wrong.push(`beside the question: ${state.others}`);
  if (state.width > width) wrong.push(`${state.width} wide`);
  if (state.question && (!state.hazards || !state.bars.length || !/Isolated|Powered|Gas on|Firing/.test(state.state))) wrong.push(JSON.stringify(state));
  if (wrong.length) throw new Error(`${await title(page)}: ${wrong.join('; ')}`);
  return state;
}

for (const [device, options] of [['phone', PHONE], ['desk', DESK]]) {
  const { page, context, wrongs, close } = await browser(site, options);
  const { width } = options.viewport;

  await report.step(`${device}: every symptom to an end by keyboard`, async () => {
    for (const id of symptoms) {
      await open(page, id);
      await press(page, 'Start');
      for (let step = 0; ; step += 1) {
        if (step > 40) throw new Error(`${id}: no end`);
        const state = await whole(page, width);
        if (step < 3 || !state.question) await picture(page, `${id}-${device}-${step}`);
        if (!state.question) break;
        // The first finding of a check that only makes safe, otherwise the likeliest way on is one of many: take the last.
        const choices = page.locator('.walk-choice');
        const safe = (await page.locator('#walk-found').innerText()) === 'What came of it?';
        await (safe ? choices.first() : choices.last()).press('Enter');
      }
      const end = await title(page);
      if (!/^Found: |^No check here parts these|^Left: |^These answers do not fit|^This finding fits none/.test(end)) throw new Error(`${id}: ${end}`);
      if (!(await page.locator('.walk-note').inputValue()).startsWith('Service note\n')) throw new Error(`${id}: no note`);
    }
  });

  await report.step(`${device}: one jump from below the title to the hazards' names and the start`, async () => {
    for (const id of symptoms) {
      await open(page, id);
      const jump = page.locator('.jump li:first-child a');
      await jump.waitFor();
      if (!(await jump.evaluate(link => link.hash === '#walk' && link.getBoundingClientRect().bottom < innerHeight))) throw new Error(`${id}: the jump is not in sight`);
      await jump.press('Enter');
      const seen = await page.evaluate(() => {
        const inSight = part => part.getBoundingClientRect().top >= 0 && part.getBoundingClientRect().bottom <= innerHeight;
        const names = of => [...document.querySelectorAll(of)].map(part => part.textContent.trim());
        return {
          start: inSight(document.querySelector('.walk-button')),
          boxes: names('.hazards .hazard-title a'),
          lines: names('.walk-first a'),
          words: new Set(names('.hazards .signal')).size === names('.walk-first .plan-signal').length,
        };
      });
      if (!seen.start || !seen.words || !seen.boxes.length || String(seen.boxes) !== String(seen.lines)) throw new Error(`${id}: ${JSON.stringify(seen)}`);
    }
  });

  await report.step(`${device}: back, restart and leave`, async () => {
    await open(page, 'igniter-stays-dark');
    await page.evaluate(() => localStorage.clear());
    await page.reload();
    await press(page, 'Start');
    await whole(page, width);
    const first = await title(page);
    await page.locator('.walk-choice').nth(3).press('Enter');
    await whole(page, width);
    if ((await title(page)) === first) throw new Error('the answer leads nowhere');
    await press(page, 'Back');
    if ((await title(page)) !== first) throw new Error('back does not lead back');
    if (!(await page.getByRole('button', { name: 'Back', exact: true }).isDisabled())) throw new Error('back from the beginning');
    await page.locator('.walk-choice').nth(3).press('Enter');
    await press(page, 'Start again');
    if ((await title(page)) === first) throw new Error('one press starts again');
    await press(page, 'Really start again?');
    if ((await title(page)) !== first) throw new Error('start again does not start again');
    await press(page, 'Leave the walk');
    if (!(await page.locator('.diagnosis').isVisible())) throw new Error('the printed order does not come back');
  });

  await report.step(`${device}: resumed after a reload, and only with the same edition`, async () => {
    await open(page, 'igniter-stays-dark');
    await press(page, 'Start');
    await page.locator('.walk-choice').nth(3).press('Enter');
    await whole(page, width);
    const second = await title(page);
    await page.reload();
    await press(page, 'Go on where it stopped');
    await whole(page, width);
    if ((await title(page)) !== second) throw new Error('it goes on elsewhere');
    const keys = await page.evaluate(() => Object.keys(localStorage).filter(key => key.includes(':walk:')));
    const book = await page.evaluate(() => document.documentElement.dataset.book);
    if (keys.length !== 1 || !keys[0].startsWith(`${book}:walk:`)) throw new Error(`keys ${keys}`);
    for (const stale of ['{"made":"0000","events":["lockout-history=dark"]}', '{', '{"made":null}', '[]', 'null', '{"made":"MADE","events":["nothing=here"]}', '{"made":"MADE","events":[3]}']) {
      await page.evaluate(([key, text]) => localStorage.setItem(key, text.replace('MADE', blueconeWalks['igniter-stays-dark'].made)), [keys[0], stale]);
      await page.reload();
      await page.getByRole('button', { name: 'Start', exact: true }).waitFor();
      const words = await page.locator('.walk').innerText();
      if (!/no longer fits and was removed/.test(words)) throw new Error(`${stale}: ${words}`);
      if (await page.evaluate(key => localStorage.getItem(key), keys[0])) throw new Error(`${stale}: it is still there`);
    }
  });

  await report.step(`${device}: put off, odd and done after all`, async () => {
    await open(page, 'igniter-stays-dark');
    await press(page, 'Start');
    await whole(page, width);
    const first = await title(page);
    const before = await page.locator('.walk-odds').innerText();
    await press(page, 'Odd reading');
    if ((await title(page)) !== 'An odd reading') throw new Error(await title(page));
    if (!/Check the meter/.test(await page.locator('.walk-stage').innerText())) throw new Error('no advice');
    await picture(page, `odd-${device}`);
    await press(page, 'Back to the findings');
    await press(page, 'Odd reading');
    await press(page, 'Set it aside and go on');
    await whole(page, width);
    if ((await title(page)) === first) throw new Error('asked again at once');
    if ((await page.locator('.walk-odds').innerText()) !== before) throw new Error('an odd reading changed the odds');
    if (!/set aside\. Nothing is ruled out/.test(await page.locator('.walk-said').innerText())) throw new Error('nothing is said');
    await press(page, 'Cannot do this now');
    await whole(page, width);
    await page.getByRole('button', { name: `Do it now: ${first}` }).press('Enter');
    await whole(page, width);
    if ((await title(page)) !== first) throw new Error(`asked for ${first}, got ${await title(page)}`);
    // All put off: no dead end.
    for (let step = 0; step < 30 && (await page.locator('.walk-choice').count()); step += 1) await press(page, 'Cannot do this now');
    await whole(page, width);
    if (!/Nothing more can be told for now/.test(await title(page))) throw new Error(await title(page));
    await picture(page, `nothing-more-${device}`);
    await page.getByRole('button', { name: `Do it now: ${first}` }).first().press('Enter');
    if ((await title(page)) !== first) throw new Error('no way on');
  });

  await report.step(`${device}: a proof of safety that fails is asked again, with its warning`, async () => {
    await open(page, 'igniter-stays-dark');
    await page.evaluate(() => localStorage.clear());
    await page.reload();
    await press(page, 'Start');
    await whole(page, width);
    await page.locator('.walk-choice').nth(3).press('Enter');
    for (let step = 0; (await page.locator('#walk-found').innerText()) !== 'What came of it?'; step += 1) {
      if (step > 5) throw new Error('nothing to prove');
      await page.locator('.walk-choice').first().press('Enter');
    }
    await whole(page, width);
    const proof = await title(page);
    await page.locator('.walk-choice').nth(1).press('Enter');
    await whole(page, width);
    if ((await title(page)) !== proof) throw new Error(`goes on to ${await title(page)}`);
    if (!/^Not safe to go on/.test(await page.locator('.walk-said').innerText())) throw new Error('no warning');
  });

  await report.step(`${device}: a contradiction is named, and the way back leads on or to a second one`, async () => {
    const { events, id } = await page.evaluate(() => {
      // Looks for answers that contradict, with the page's own sums.
      const [id] = Object.keys(blueconeWalks);
      const data = blueconeWalks[id];
      const open = [[]];
      while (open.length) {
        const events = open.shift();
        const { next } = blueconeWalk.look(data, events);
        if (next.kind === 'contradiction' && next.events.length > 1) return { events, id };
        if (next.kind === 'do') {
          const check = data.checks[next.check];
          const outcomes = check.guard ? check.outcomes.slice(0, 1) : check.outcomes;
          outcomes.forEach(outcome => open.push([...events, `${check.id}=${outcome.id}`]));
        }
      }
      throw new Error('no contradiction');
    });
    await page.evaluate(([id, events]) => localStorage.setItem(`${document.documentElement.dataset.book}:walk:${id}`, JSON.stringify({ made: blueconeWalks[id].made, events })), [id, events]);
    await page.reload();
    await press(page, 'Go on where it stopped');
    await whole(page, width);
    await picture(page, `contradiction-${device}`);
    if ((await title(page)) !== 'These answers do not fit together') throw new Error(await title(page));
    const named = await page.locator('.walk-answer').allInnerTexts();
    if (named.length < 2) throw new Error(`${named}`);
    for (let at = 0; at < named.length; at += 1) {
      await page.locator('.walk-suspect button').nth(at).press('Enter');
      await whole(page, width);
      // Before the last answer there was no contradiction. Without another one the last may contradict others still.
      if ((await title(page)) === 'These answers do not fit together') {
        const second = await page.locator('.walk-answer').allInnerTexts();
        if (at === named.length - 1 || second.includes(named[at])) throw new Error(`taking back “${named[at]}” does not help`);
      }
      await press(page, 'Back');
    }
  });

  await report.step(`${device}: a reading on the gauge, the other kind of part, and the note`, async () => {
    await open(page, 'igniter-stays-dark');
    await page.evaluate(() => localStorage.clear());
    await page.reload();
    await press(page, 'Start');
    for (const choice of [3, 0]) {
      await whole(page, width);
      await page.locator('.walk-choice').nth(choice).press('Enter');
    }
    await whole(page, width);
    if ((await title(page)) !== "Measure the igniter's cold resistance") throw new Error(await title(page));
    const carbide = await page.locator('.walk-range').allInnerTexts();
    await page.locator('.walk-kind input').nth(1).press('Space');
    const nitride = await page.locator('.walk-range').allInnerTexts();
    if (carbide.join() === nitride.join()) throw new Error('the bands stay the same for another kind of part');
    await page.locator('.try input').fill('5000');
    const now = await page.locator('.walk-choice.band-now').allInnerTexts();
    if (now.length !== 1) throw new Error(`marked: ${now}`);
    await picture(page, `reading-${device}`);
    await page.locator('.walk-choice.band-now').press('Enter');
    await whole(page, width);
    if (!(await title(page)).startsWith('Found: ')) throw new Error(await title(page));
    const text = await page.locator('.walk-note').inputValue();
    if (!/Reading: 5000\u00a0Ω \(.*nitride\)/.test(text) || !/^Found: /m.test(text) || !/^Proof: /m.test(text) || !/^Mend: /m.test(text) || !/^Closing tests: /m.test(text)) throw new Error(text);
    if (/\d{4}-\d\d|\d\d:\d\d/.test(text)) throw new Error(`a time in the note: ${text}`);
    await press(page, 'Copy the note');
    // What was said before stands there until the copy is done.
    await page.locator('.walk-said p', { hasText: /^The note is (copied|selected)/ }).waitFor({ timeout: 5000 });
    const left = await page.evaluate(() => Object.values(localStorage).join(' '));
    if (/\b20\d\d-|GMT|"time|"date/i.test(left)) throw new Error(`a time is kept: ${left}`);
    await page.getByRole('button', { name: /^Its proof says no/ }).press('Enter');
    await whole(page, width);
  });

  await report.step(`${device}: light and dark`, async () => {
    for (const colorScheme of ['dark', 'light']) {
      await page.emulateMedia({ colorScheme });
      await open(page, 'lights-then-drops-out');
      await page.evaluate(() => localStorage.clear());
      await page.reload();
      await press(page, 'Start');
      await whole(page, width);
      const [ground, ink] = await page.evaluate(() => [getComputedStyle(document.querySelector('.walk-choice')).backgroundColor, getComputedStyle(document.querySelector('.walk-choice')).color]);
      const light = colour => colour.match(/[\d.]+/g).slice(0, 3).reduce((sum, part) => sum + Number(part), 0) / 765;
      if (Math.abs(light(ground) - light(ink)) < 0.5) throw new Error(`${colorScheme}: ${ground} under ${ink}`);
      await picture(page, `${colorScheme}-${device}`);
    }
  });

  await report.step(`${device}: on paper the order is there, the buttons are not`, async () => {
    await page.emulateMedia({ media: 'print' });
    const seen = await page.evaluate(() => [document.querySelector('.plan').checkVisibility(), document.querySelector('.walk-button').checkVisibility()]);
    await page.emulateMedia({ media: 'screen' });
    if (!seen[0] || seen[1]) throw new Error(`${seen}`);
  });

  report.check(`${device}: nothing went wrong`, wrongs.length === 0, wrongs.join('\n'));
  await context.clearCookies();
  await close();
}

// Every answer of one symptom, wherever the policy leads, and every way off it by one step: no screen without a way on.
{
  const { page, wrongs, close } = await browser(site, DESK);
  await report.step('no dead end over all answers', async () => {
    await open(page, 'igniter-stays-dark');
    const met = await page.evaluate(() => {
      const data = blueconeWalks['igniter-stays-dark'];
      const open = [{ events: [], off: 0 }];
      const met = { screens: 0, do: 0, named: 0, open: 0, contradiction: 0, wrong: [] };
      while (open.length) {
        const { events, off } = open.pop();
        const look = blueconeWalk.look(data, events);
        met.screens += 1;
        if ('wrong' in look) {
          met.wrong.push(events.join(' '));
          continue;
        }
        met[look.next.kind] += 1;
        if (look.next.kind === 'open' && !look.next.odds.length) met.wrong.push(`nothing left without a word: ${events.join(' ')}`);
        if (look.next.kind === 'contradiction' && !look.next.events.length) met.wrong.push(`no answer named: ${events.join(' ')}`);
        if (look.next.kind !== 'do') continue;
        const check = data.checks[look.next.check];
        check.outcomes.forEach((outcome, at) => {
          if (!check.guard || at === 0) open.push({ events: [...events, `${check.id}=${outcome.id}`], off });
        });
        if (off < 2) for (const kind of ['later', 'odd']) open.push({ events: [...events, `${kind}:${check.id}`], off: off + 1 });
      }
      return met;
    });
    if (met.wrong.length || met.screens < 200 || !met.named || !met.open || !met.contradiction) throw new Error(JSON.stringify(met).slice(0, 600));
    console.log(`${met.screens} screens: ${met.do} questions, ${met.named} named, ${met.open} open, ${met.contradiction} contradictions`);
  });
  report.check('nothing went wrong on the way', wrongs.length === 0, wrongs.join('\n'));
  await close();
}

// A check's script that is missing: the question still stands, with the way to the check's page.
{
  const { page, close } = await browser(site, PHONE);
  await page.route('**/walk/checks/*.js', route => route.abort());
  await report.step('a check that cannot be fetched leaves its link and its answers', async () => {
    await open(page, 'igniter-stays-dark');
    await press(page, 'Start');
    await page.getByText('could not be read from this folder').waitFor();
    if (!(await page.locator('.walk-choice').count()) || !(await page.locator('.walk-doing a').count())) throw new Error('nothing to go on with');
  });
  await close();
}

// Without a script the printed order is there and no empty frame.
{
  const { page, wrongs, close } = await browser(site, { ...PHONE, javaScriptEnabled: false });
  await report.step('without a script the order is there', async () => {
    await open(page, 'igniter-stays-dark');
    const [first, folds] = [page.locator('.plan').first(), await page.locator('.plan-rest').all()];
    if (folds.length !== 2) throw new Error(`${folds.length} folds of later steps`);
    const seen = (fold) => fold.locator('.plan > li').last().evaluate((step) => step.checkVisibility());
    for (const fold of folds) {
      if (await seen(fold)) throw new Error('a fold is open from the beginning');
    }
    await page.emulateMedia({ media: 'print' });
    for (const fold of folds) {
      if (!(await seen(fold))) throw new Error('later steps are not on paper');
    }
    await page.emulateMedia({ media: 'screen' });
    for (const fold of folds) {
      await fold.locator('summary').click();
      if (!(await seen(fold))) throw new Error('the later steps do not open');
    }
    if (!(await first.isVisible()) || (await page.locator('.walk').isVisible())) throw new Error('no order, or an empty frame');
  });
  report.check('without a script nothing went wrong', wrongs.length === 0, wrongs.join('\n'));
  await close();
}

// Storage refused: the walk works and forgets.
{
  const { page, wrongs, close } = await browser(site, PHONE);
  await page.addInitScript(() => {
    Object.defineProperty(globalThis, 'localStorage', { get() { throw new DOMException('refused', 'SecurityError'); } });
  });
  await report.step('with storage refused it still walks', async () => {
    await open(page, 'igniter-stays-dark');
    await press(page, 'Start');
    await whole(page, 360);
    const first = await title(page);
    await page.locator('.walk-choice').nth(3).press('Enter');
    await whole(page, 360);
    if ((await title(page)) === first) throw new Error('it stands still');
    await page.reload();
    await page.getByRole('button', { name: 'Start', exact: true }).waitFor();
  });
  report.check('with storage refused nothing went wrong', wrongs.length === 0, wrongs.join('\n'));
  await close();
}
report.end();
