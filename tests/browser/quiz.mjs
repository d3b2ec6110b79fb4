// The quizzes by keyboard: every topic is begun, one is answered to its end; the answer shows why and where to read on.
// usage: node quiz.mjs SITE
import fs from 'node:fs';
import { fileURLToPath } from 'node:url';
import path from 'node:path';
import { DESK, PHONE, Report, browser, fileUrl, files, folders } from '../judges/site.mjs';

const [site] = folders(1, 'quiz.mjs SITE');
const report = new Report('quiz');
const topics = files(path.join(site, 'quiz'), '.html').map(name => name.replace('.html', ''));
report.check('there are quizzes of several topics', topics.length >= 5, topics.join(' '));

/** Answers the question in sight, rightly or not, and gives what the page then says. */
async function answer(page) {
  const kind = await page.evaluate(() => (document.querySelector('.quiz-set input[type=radio]') ? 'choice' : document.querySelector('.quiz-order') ? 'order' : 'number'));
  const check = page.getByRole('button', { name: 'Check answer' });
  if (kind === 'choice') {
    await check.press('Enter');
    if (!(await page.locator('.quiz-feedback').innerText()).includes('Choose an answer')) throw new Error('no sentence when nothing is chosen');
    await page.locator('.quiz-set input[type=radio]').first().focus();
    await page.keyboard.press('Space');
    await page.keyboard.press('ArrowDown');
  } else if (kind === 'number') {
    const field = page.locator('.quiz-set input[type=text]');
    for (const text of ['', 'many', 'NaN', '1e999', '1,5']) {
      await field.fill(text);
      await field.press('Enter');
      const said = await page.locator('.quiz-feedback').innerText();
      if (said.length < 8 || (await page.locator('.quiz-why').count())) throw new Error(`${JSON.stringify(text)} is met with “${said}”`);
    }
    await field.fill('1.5');
  } else {
    await page.locator('.quiz-order button:enabled').first().press('Enter');
  }
  await check.press('Enter');
  await page.locator('.quiz-why').waitFor();
  return page.evaluate(() => ({
    verdict: document.querySelector('.quiz-right, .quiz-wrong').textContent,
    why: document.querySelector('.quiz-why').textContent,
    link: document.querySelector('.quiz-entry').href,
    next: document.activeElement.textContent,
    words: document.querySelector('main').innerText,
  }));
}

for (const [device, options] of [['phone', PHONE], ['desk', DESK]]) {
  const { page, wrongs, close } = await browser(site, options);
  for (const topic of topics) {
    await report.step(`${device}: ${topic}`, async () => {
      await page.goto(fileUrl(site, `quiz/${topic}.html`));
      await page.getByRole('button', { name: 'Start the quiz' }).press('Enter');
      const said = await answer(page);
      if (!/Right\.|Not right\./.test(said.verdict)) throw new Error(said.verdict);
      if (said.why.trim().length < 15) throw new Error(`no explanation: “${said.why}”`);
      if (!fs.existsSync(fileURLToPath(said.link.replace(/#.*/, '')))) throw new Error(`no page ${said.link}`);
      if (/\bNaN\b|Infinity|undefined|\[object/.test(said.words)) throw new Error(said.words);
      if (!/Next question|See the result/.test(said.next)) throw new Error(`the focus is on “${said.next}”`);
      const width = await page.evaluate(() => document.documentElement.scrollWidth);
      if (width > options.viewport.width) throw new Error(`${width} wide`);
    });
  }
  await report.step(`${device}: a quiz to its end, remembered in this book's own place`, async () => {
    const topic = topics[0];
    await page.goto(fileUrl(site, `quiz/${topic}.html`));
    await page.getByRole('button', { name: 'Start the quiz' }).press('Enter');
    const [, count] = /of (\d+)/.exec(await page.locator('.quiz-heading').innerText());
    for (let question = 1; question <= Number(count); question += 1) {
      await answer(page);
      await page.keyboard.press('Enter');
    }
    const result = await page.locator('.quiz-heading').innerText();
    if (!new RegExp(`^Result: \\d+ of ${count} right$`).test(result)) throw new Error(result);
    const { book, keys } = await page.evaluate(() => ({ book: document.documentElement.dataset.book, keys: Object.keys(localStorage) }));
    if (!keys.length || keys.some(key => !key.includes(book))) throw new Error(`keys ${keys} of the book ${book}`);
    await page.reload();
    const told = await page.locator('.quiz').innerText();
    if (!new RegExp(`\\b${count} of them seen|of them seen`).test(told) || /\b0 of them seen/.test(told)) throw new Error(told);
  });
  await report.step(`${device}: the entry behind a question opens`, async () => {
    await page.goto(fileUrl(site, `quiz/${topics[0]}.html`));
    await page.getByRole('button', { name: 'Start the quiz' }).press('Enter');
    await answer(page);
    await page.locator('.quiz-entry').press('Enter');
    await page.waitForURL(address => !address.pathname.includes('/quiz/'));
    if ((await page.locator('h1').count()) !== 1) throw new Error('no page');
  });
  report.check(`${device}: nothing went wrong`, wrongs.length === 0, wrongs.join('\n'));
  await close();
}
report.end();
