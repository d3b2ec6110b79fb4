// Known-item queries: words of an article's title, as they stand and as a thumb makes them. The article is what must come first.

/** @typedef {{ kind: string, query: string, wanted: number }} Query `wanted` is the article's place in the list */

export const KINDS = ['clean', 'one typo', 'last word cut', 'another inflection'];
/** The first draw may be looked at and tuned on; the second only tells whether that helped. */
export const SEEDS = { open: 20_251, held: 77_003 };

/** Keys that lie side by side. */
const BESIDE = {
  a: 'qsz', b: 'vn', c: 'xv', d: 'sf', e: 'wr', f: 'dg', g: 'fh', h: 'gj', i: 'uo', j: 'hk', k: 'jl', l: 'ko', m: 'n', n: 'bm', o: 'ip', p: 'ol',
  q: 'wa', r: 'et', s: 'ad', t: 'ry', u: 'yi', v: 'cb', w: 'qe', x: 'zc', y: 'tu', z: 'xa',
};

/** SplitMix32. @param {number} seed */
function random(seed) {
  let state = seed | 0;
  return () => {
    state = (state + 0x9e3779b9) | 0;
    let mixed = Math.imul(state ^ (state >>> 16), 0x21f0aaad);
    mixed = Math.imul(mixed ^ (mixed >>> 15), 0x735a2d97);
    return ((mixed ^ (mixed >>> 15)) >>> 0) / 2 ** 32;
  };
}

/**
 * `count` queries of each kind. Drawn are articles whose first headword no other article has, and which has a word of five letters or more;
 * half of the queries, where the title has more words, add one of them.
 * @param {import('./corpus.mjs').Article[]} articles @param {number} count @param {number} seed @returns {Query[]}
 */
export function draw(articles, count, seed) {
  const next = random(seed);
  const below = limit => Math.floor(next() * limit);
  const words = text => text.toLowerCase().match(/[a-z]+/g) ?? [];
  /** @type {Map<string, number>} */
  const heads = new Map();
  for (const { head } of articles) heads.set(head.toLowerCase(), (heads.get(head.toLowerCase()) ?? 0) + 1);
  const fit = articles
    .map((article, at) => ({ at, article }))
    .filter(({ article: { head } }) => heads.get(head.toLowerCase()) === 1 && /^[A-Za-z]+( [A-Za-z]+)*$/.test(head) && words(head).at(-1).length >= 5);
  const queries = [];
  for (const kind of KINDS) {
    for (let n = 0; n < count; ) {
      const { at, article } = fit[below(fit.length)];
      const typed = words(article.head);
      const more = [...new Set(words(article.title))].filter(word => word.length >= 5 && !typed.includes(word));
      const other = more.length > 0 && next() < 0.5 ? [more[below(more.length)]] : [];
      const part = /^[^,]{0,80},? (n|v)\. /.exec(article.text)?.[1];
      if (kind === 'another inflection' && part === undefined) continue;
      // The headword is what is inflected, and its part of speech is known; else the word that was added is the last.
      const whole = kind === 'another inflection' ? [...other, ...typed] : [...typed, ...other];
      const changed = change(kind, whole, words(article.title), part === 'v', below);
      if (changed === null) continue;
      queries.push({ kind, query: changed.join(' '), wanted: at });
      n += 1;
    }
  }
  return queries;
}

/**
 * The words as typed; null if the change made nothing new.
 * @param {string} kind @param {string[]} typed @param {string[]} title @param {boolean} verb @param {(limit: number) => number} below
 * @returns {string[] | null}
 */
function change(kind, typed, title, verb, below) {
  const at = kind === 'one typo' ? typed.reduce((best, word, place) => (word.length > typed[best].length ? place : best), 0) : typed.length - 1;
  const word = typed[at];
  const put = made => (made === word || title.includes(made) ? null : typed.with(at, made));
  if (kind === 'clean') return typed;
  if (kind === 'one typo') return put(slip(word, below));
  if (kind === 'last word cut') return put(word.slice(0, Math.max(4, Math.ceil(word.length * 0.6))));
  return put(inflect(word, verb ? ['s', 'ed', 'ing'][below(3)] : 's'));
}

/** One slip in a word, not in its first letter. @param {string} word @param {(limit: number) => number} below */
function slip(word, below) {
  const at = 1 + below(word.length - 1);
  const beside = BESIDE[word[at]];
  const key = beside[below(beside.length)];
  switch (below(4)) {
    case 0: return word.slice(0, at) + word.slice(at + 1);
    case 1: return word.slice(0, at) + key + word.slice(at);
    case 2: return word.slice(0, at) + key + word.slice(at + 1);
    default: return at + 1 < word.length ? word.slice(0, at) + word[at + 1] + word[at] + word.slice(at + 2) : word.slice(0, at - 1) + word[at] + word[at - 1];
  }
}

/** Another form of a word by the plain rules of English spelling. @param {string} word @param {string} ending */
function inflect(word, ending) {
  if (/[^aeiou]y$/.test(word) && ending !== 'ing') return word.slice(0, -1) + (ending === 's' ? 'ies' : 'ied');
  if (ending === 's') return word + (/(s|x|z|ch|sh)$/.test(word) ? 'es' : 's');
  return (word.endsWith('e') ? word.slice(0, -1) : word) + ending;
}
