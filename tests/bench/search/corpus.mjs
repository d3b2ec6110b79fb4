// The text that is searched: the longest articles of the GNU collaborative dictionary, as the Debian package `dict-gcide` has them.
import fs from 'node:fs';
import path from 'node:path';
import zlib from 'node:zlib';

/** What the second set's articles are cut to or filled up to, in characters. */
const EVEN = 2_000;
/** An article that is too short goes on with others; this step keeps its neighbours in the alphabet, which tell of the same things, away. */
const STRIDE = 7_919;
/** A title has as many of an article's headwords as fit in so many characters. */
const TITLE = 60;

const DIGITS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';
const number = coded => [...coded].reduce((sum, digit) => sum * 64 + DIGITS.indexOf(digit), 0);

/** @typedef {{ id: string, title: string, head: string, text: string }} Article `head` is the headword that the article begins with. */

/** The longest articles, in the order of the dictionary. @param {string} folder @param {number} count @returns {Article[]} */
export function longest(folder, count) {
  const all = zlib.gunzipSync(fs.readFileSync(path.join(folder, 'gcide.dict.dz')));
  /** @type {Map<string, { from: number, length: number, heads: string[] }>} */
  const found = new Map();
  for (const line of fs.readFileSync(path.join(folder, 'gcide.index'), 'utf8').split('\n')) {
    const [head, from, length] = line.split('\t');
    if (!length || head.startsWith('00-database')) continue;
    const place = `${from} ${length}`;
    if (!found.has(place)) found.set(place, { from: number(from), length: number(length), heads: [] });
    found.get(place).heads.push(head);
  }
  const chosen = [...found.values()].sort((a, b) => b.length - a.length || a.from - b.from).slice(0, count);
  chosen.sort((a, b) => a.from - b.from);
  /** @type {Map<string, number>} */
  const ids = new Map();
  return chosen.map(({ from, length, heads }) => {
    const raw = all.toString('utf8', from, from + length);
    const printed = raw.split(' \\')[0].trim();
    const head = heads.find(one => one.toLowerCase() === printed.toLowerCase()) ?? heads[0];
    const slug = head.toLowerCase().normalize('NFKD').replace(/[^a-z0-9]+/g, '-').replace(/^-|-$/g, '') || 'word';
    const times = (ids.get(slug) ?? 0) + 1;
    ids.set(slug, times);
    let title = head;
    // Other forms of the headword are left out: nobody writes them into a title, and another inflection is what some queries are.
    const forms = other => !other.includes(' ') && other.slice(0, 4).toLowerCase() === head.slice(0, 4).toLowerCase();
    for (const other of heads) {
      if (other !== head && !forms(other) && title.length + other.length + 2 <= TITLE) title += `, ${other}`;
    }
    return { id: times === 1 ? slug : `${slug}-${times}`, title, head, text: tidy(raw) };
  });
}

/** Without pronunciation, marks of the sources and layout. @param {string} raw */
function tidy(raw) {
  return raw
    .replace(/\\[^\\\n]*\\,?/, '')
    .replace(/\[(1913 Webster|PJC|Webster 1913 Suppl\.|WordNet [\d.]+|[^\]]{0,30}PJC)\]/g, '')
    .replace(/[{}]/g, '')
    .replace(/\s+/g, ' ')
    .trim();
}

/** The same articles, every one about 2 kB long. @param {Article[]} articles @returns {Article[]} */
export function even(articles) {
  return articles.map((article, at) => {
    let text = article.text;
    for (let next = at; text.length < EVEN; ) {
      next = (next + STRIDE) % articles.length;
      text += ` ${articles[next].text}`;
    }
    return { ...article, text: text.slice(0, EVEN).replace(/\s\S*$/, '') };
  });
}
