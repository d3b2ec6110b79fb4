// @ts-check
// From what was typed to what is looked for. The rules are written down in the press: `plan.rs` of its search folder, which these
// functions follow line for line.
'use strict';

/**
 * @typedef {{ stem: number, factor: number, how: number }} Expansion how: OWN, LIKE or START
 * @typedef {{ word: string, expansions: Expansion[] }} Word
 * @typedef {{ stems: number[], factor: number, adjacent: boolean }} Alternative
 * @typedef {{ from: number, to: number, alternatives: Alternative[] }} Segment
 * @typedef {{ key: string, words: Word[], segments: Segment[], kinds: number[], start: string | null }} Plan
 */

(() => {
  const { split, rangeOf, frequencyOf } = blueconeSearch;

  const LONGEST = 256;
  const MOST_WORDS = 12;
  const START_CAPS = [4, 8, 16, 32];
  const OTHER_CAP = 8;
  /** How many words that may be meant are looked through for files to bring before they are needed. */
  const AHEAD = 64;
  const SHORTEST_HALF = 3;
  const SHORTEST_HALF_WORD = 3;
  const START_FACTOR = 0.6;
  const ENDING_FACTOR = 0.8;
  const TYPO_FACTORS = [1, 0.6, 0.4];
  const START_TYPO_FACTOR = 0.35;
  const NOT_FACTOR = 0.8;
  const SYNONYM_FACTOR = 0.5;
  const COMPOUND_FACTOR = 0.9;
  const RARE = 2;
  const USUAL = 8;
  const FARTHEST = 3;
  const STOP_WORDS = new Set(('a an and any are as at be been by can could do does for from get got had has have how i if in is it its just '
    + 'know many matter matters me mean means much my need of ok or really should so that the them then there these '
    + 'they this to too was we what when where which who why will with would you your').split(' '));
  const NOTS = ['never', 'no', 'none', 'not', 'without'];
  const ENDINGS = ['ings', 'ing', 'ers', 'er', 'ed', 'es', 's', 'e', ''];
  const [OWN, LIKE, START] = [0, 1, 2];

  /**
   * @param {SearchIndex} index @param {string} query
   * @returns {Plan}
   */
  function plan(index, query) {
    const text = cut(query);
    const tokens = split(text);
    const open = tokens.length > 0 && tokens[tokens.length - 1].to === text.length;
    const typed = tokens.map((token) => token.word);
    const wanted = [...new Set(significant(typed))].slice(0, MOST_WORDS);
    /** @param {string} word */
    const isOpen = (word) => open && word === typed[typed.length - 1];
    const words = wanted.map((word) => ({ word, expansions: expand(index, word, isOpen(word)) }));
    const start = open && typed.length === 1 && index.starts.includes(typed[0]) ? typed[0] : null;
    const one = wanted.map((word) => glued(index, typed, word, open));
    const last = words.length > 0 && isOpen(wanted[wanted.length - 1]);
    return { key: key(typed), words, segments: segments(index, words, one, last), kinds: kindsNamed(index, words), start };
  }

  /** @param {string[]} words */
  function significant(words) {
    const kept = words.filter((word) => !STOP_WORDS.has(word));
    return kept.length === 0 ? words : kept;
  }

  /** @param {string[]} words */
  const key = (words) => significant(words).join('');

  /** @param {string} query */
  function cut(query) {
    if (query.length <= LONGEST) return query;
    const last = query.charCodeAt(LONGEST - 1);
    return query.slice(0, last >= 0xd800 && last < 0xdc00 ? LONGEST - 1 : LONGEST);
  }

  /** The surface word's number, or -1. @param {SearchIndex} index @param {string} word */
  function surfaceOf(index, word) {
    const at = index.surfaces.placeOf(word);
    return at < index.surfaces.length && index.surfaces.at(at) === word ? at : -1;
  }

  /** The word's stem, or -1. @param {SearchIndex} index @param {string} word */
  function stemOf(index, word) {
    const at = surfaceOf(index, word);
    return at < 0 ? -1 : index.stemOf[at];
  }

  /** The word's stem, or -1 if no document has it. @param {SearchIndex} index @param {string} word */
  function usedStem(index, word) {
    const stem = stemOf(index, word);
    return stem >= 0 && frequencyOf(index, stem) > 0 ? stem : -1;
  }

  /**
   * @param {SearchIndex} index @param {string} word @param {boolean} open still being typed
   * @returns {Expansion[]}
   */
  function expand(index, word, open) {
    /** @type {Expansion[]} */
    const found = [];
    /** @param {number[]} stems @param {number} factor @param {number} how */
    const add = (stems, factor, how) => {
      for (const stem of stems) if (found.every((known) => known.stem !== stem)) found.push({ stem, factor, how });
    };
    const own = stemOf(index, word);
    if (own >= 0) add([own], 1, OWN);
    if (NOTS.includes(word)) add(NOTS.map((other) => usedStem(index, other)).filter((stem) => stem >= 0), NOT_FACTOR, LIKE);
    if (open) add(startStems(index, word), START_FACTOR, START);
    if (/[0-9]/.test(word)) return found;
    if (found.length === 0) {
      const inflected = otherEndings(index, word);
      if (inflected.size > 0) {
        add(mostFrequent(index, inflected, OTHER_CAP), ENDING_FACTOR, LIKE);
        return found;
      }
      const { far, stems } = typos(index, word);
      add(stems, TYPO_FACTORS[far], LIKE);
      if (open) add(startTypos(index, word), START_TYPO_FACTOR, START);
      else if (word.length >= SHORTEST_HALF_WORD) add(startStems(index, word), START_FACTOR, START);
    } else if (own >= 0 && frequencyOf(index, own) <= RARE && word.length > 4) {
      const { far, stems } = typos(index, word);
      if (far === 1) add(stems.filter((stem) => frequencyOf(index, stem) >= USUAL * Math.max(frequencyOf(index, own), 1)), TYPO_FACTORS[1], LIKE);
    }
    return found;
  }

  /**
   * @template K, T
   * @param {(index: SearchIndex, word: K) => T} find @returns {(index: SearchIndex, word: K) => T} the same, keeping what was
   * found, since the words before the one being typed stay
   */
  function kept(find) {
    /** @type {WeakMap<SearchIndex, Map<K, T>>} */
    const memory = new WeakMap();
    return (index, word) => {
      let known = memory.get(index);
      if (known === undefined) memory.set(index, known = new Map());
      let found = known.get(word);
      if (found === undefined) {
        found = find(index, word);
        if (known.size > 1000) known.clear();
        known.set(word, found);
      }
      return found;
    };
  }

  const startStems = kept((index, start) => mostFrequent(index, starting(index, start), START_CAPS[Math.min(start.length, 4) - 1]));

  /** Where the words stand that say nothing by themselves. @type {WeakMap<SearchIndex, Set<number>>} */
  const stopMemory = new WeakMap();

  /** The stems of the words with a start that are no stop words. @param {SearchIndex} index @param {string} start @returns {Set<number>} */
  function starting(index, start) {
    let stops = stopMemory.get(index);
    if (stops === undefined) stopMemory.set(index, stops = new Set([...STOP_WORDS].map((word) => surfaceOf(index, word))));
    const stems = new Set();
    const [from, to] = index.surfaces.rangeOf(start);
    for (let at = from; at < to; at++) if (!stops.has(at)) stems.add(index.stemOf[at]);
    return stems;
  }

  /**
   * @param {SearchIndex} index @param {string} start @param {(word: string, stem: number) => boolean} wanted
   * @returns {Set<number>}
   */
  function startingWith(index, start, wanted) {
    const stems = new Set();
    for (let at = index.surfaces.placeOf(start); at < index.surfaces.length; at++) {
      const word = index.surfaces.at(at);
      if (!word.startsWith(start)) break;
      if (wanted(word, index.stemOf[at])) stems.add(index.stemOf[at]);
    }
    return stems;
  }

  /**
   * The stems that most documents have, at most `cap`, those of more documents first, then by number; without those that none has.
   * @param {SearchIndex} index @param {Set<number>} stems @param {number} cap @returns {number[]}
   */
  function mostFrequent(index, stems, cap) {
    /** @type {number[]} */
    const most = [];
    /** @type {number[]} */
    const often = [];
    for (const stem of stems) {
      const here = frequencyOf(index, stem);
      if (here === 0 || (most.length === cap && here < often[cap - 1])) continue;
      let at = most.length;
      while (at > 0 && (often[at - 1] < here || (often[at - 1] === here && most[at - 1] > stem))) at--;
      if (at === cap) continue;
      most.splice(at, 0, stem);
      often.splice(at, 0, here);
      if (most.length > cap) most.length = often.length = cap;
    }
    return most;
  }

  /** @param {SearchIndex} index @param {string} word @returns {Set<number>} */
  function otherEndings(index, word) {
    for (const ending of ENDINGS) {
      const base = word.slice(0, word.length - ending.length);
      if (!word.endsWith(ending) || base.length < 3) continue;
      const found = startingWith(index, base, (known, stem) => ENDINGS.includes(known.slice(base.length)) && frequencyOf(index, stem) > 0);
      if (found.size > 0) return found;
    }
    return new Set();
  }

  const typos = kept((index, word) => {
    /** @type {Map<number, number>} by stem, whether the first letter differs */
    const near = new Map();
    let far = 0;
    // Only the nearest are taken, so two edits are looked for only where no word is one away.
    for (const limit of word.length < 4 ? [] : word.length < 8 ? [1] : [1, 2]) {
      index.surfaces.eachNear(word, limit, (at) => {
        const stem = index.stemOf[at];
        if (frequencyOf(index, stem) === 0) return;
        near.set(stem, Math.min(near.get(stem) ?? 1, word[0] === index.surfaces.at(at)[0] ? 0 : 1));
      });
      far = near.size > 0 ? limit : 0;
      if (far > 0) break;
    }
    const stems = [...near].sort(([a, aDiffers], [b, bDiffers]) => aDiffers - bDiffers || frequencyOf(index, b) - frequencyOf(index, a) || a - b)
      .slice(0, OTHER_CAP).map(([stem]) => stem);
    return { far, stems };
  });

  const startTypos = kept((index, word) => {
    if (word.length <= 3) return [];
    const near = new Set();
    index.surfaces.eachStartNear(word, (at) => near.add(index.stemOf[at]));
    return mostFrequent(index, near, OTHER_CAP);
  });

  /** By kind, the stems of its name. @type {WeakMap<SearchIndex, number[][]>} */
  const kindMemory = new WeakMap();

  /** The kinds whose name the words say. @param {SearchIndex} index @param {Word[]} words @returns {number[]} */
  function kindsNamed(index, words) {
    let known = kindMemory.get(index);
    if (known === undefined) kindMemory.set(index, known = index.kinds.map((kind) => split(kind).map(({ word }) => stemOf(index, word))));
    const said = new Set(words.map(({ expansions: [first] }) => (first !== undefined && first.how === OWN ? first.stem : -1)));
    said.delete(-1);
    return [...known.keys()].filter((kind) => known[kind].length > 0 && known[kind].every((stem) => said.has(stem)));
  }

  /** @type {WeakMap<SearchIndex, number[][][]>} */
  const groupMemory = new WeakMap();

  /** Synonym groups as stems. @param {SearchIndex} index */
  function groupsIn(index) {
    let known = groupMemory.get(index);
    if (known === undefined) {
      known = index.groups.map((group) => group.map((name) => significant(name).map((word) => stemOf(index, word)).filter((stem) => stem >= 0)));
      groupMemory.set(index, known);
    }
    return known;
  }

  /** Each compound's place among all. @type {WeakMap<SearchIndex, Map<string, number>>} */
  const compoundMemory = new WeakMap();

  /** Words that are written as two words too: for a stem, the stems of the two, in the order of the compounds. */
  const compoundsOf = kept(/** @param {SearchIndex} index @param {number} stem @returns {number[][]} */ (index, stem) => {
    let known = compoundMemory.get(index);
    if (known === undefined) compoundMemory.set(index, known = new Map(index.compounds.all().map((line, place) => [line, place])));
    const found = [];
    for (let at = index.stemOf.indexOf(stem); at >= 0; at = index.stemOf.indexOf(stem, at + 1)) {
      const whole = index.surfaces.at(at);
      for (let cut = 1; cut < whole.length; cut++) {
        const [first, second] = [whole.slice(0, cut), whole.slice(cut)];
        const place = known.get(first + ' ' + second);
        if (place !== undefined) found.push({ place, stems: [stemOf(index, first), stemOf(index, second)] });
      }
    }
    return found.sort((a, b) => a.place - b.place).map(({ stems }) => stems);
  });

  /**
   * @param {SearchIndex} index @param {Word[]} words @param {number[][]} one for each word, what it is as one with a stop word @param {boolean} open
   * @returns {Segment[]}
   */
  function segments(index, words, one, open) {
    const groups = groupsIn(index);
    const meant = words.map(({ expansions: [first] }) => (first !== undefined && first.how !== START ? first.stem : -1));
    /** @param {number[]} name @param {number} from */
    const here = (name, from) => from + name.length <= meant.length && name.every((stem, at) => stem === meant[from + at]);
    const found = [];
    for (let from = 0; from < words.length;) {
      const joined = from + 1 < words.length ? join(index, words[from].word, words[from + 1].word, open && from + 2 === words.length) : [];
      let longest = joined.length > 0 ? 2 : 1;
      for (const group of groups) {
        for (const name of group) if (name.length > longest && here(name, from)) longest = name.length;
      }
      /** @type {Alternative[]} */
      const alternatives = [];
      /** @param {number[]} stems @param {number} factor @param {boolean} adjacent */
      const add = (stems, factor, adjacent) => {
        if (alternatives.some((known) => known.stems.length === stems.length && known.stems.every((stem, at) => stem === stems[at]))) return;
        if (stems.every((stem) => frequencyOf(index, stem) > 0)) alternatives.push({ stems, factor, adjacent });
      };
      for (const group of groups) {
        if (!group.some((name) => name.length === longest && here(name, from))) continue;
        for (const name of group) if (name.length !== longest || !here(name, from)) add(name, SYNONYM_FACTOR, false);
      }
      if (longest === 2) joined.forEach((stem) => add([stem], COMPOUND_FACTOR, false));
      if (longest === 1) {
        halves(index, words[from], open && from + 1 === words.length).forEach((stems) => add(stems, COMPOUND_FACTOR, true));
        one[from].forEach((stem) => add([stem], COMPOUND_FACTOR, false));
      }
      found.push({ from, to: from + longest, alternatives });
      from += longest;
    }
    return found;
  }

  /** A word as one with a stop word beside it. @param {SearchIndex} index @param {string[]} typed @param {string} word @param {boolean} open @returns {number[]} */
  function glued(index, typed, word, open) {
    const at = typed.indexOf(word);
    /** @param {number} at */
    const isStop = (at) => typed[at] !== word && STOP_WORDS.has(typed[at]);
    return [
      ...(isStop(at - 1) ? join(index, typed[at - 1], word, open && at + 1 === typed.length) : []),
      ...(isStop(at + 1) ? join(index, word, typed[at + 1], open && at + 2 === typed.length) : []),
    ];
  }

  /** Two words as one. @param {SearchIndex} index @param {string} first @param {string} second @param {boolean} open @returns {number[]} */
  function join(index, first, second, open) {
    const whole = first + second;
    if (/[0-9]/.test(whole)) return [];
    const stem = usedStem(index, whole);
    if (stem >= 0) return [stem];
    return open ? mostFrequent(index, startingWith(index, whole, () => true), START_CAPS[0]) : [];
  }

  /** One word as two. @param {SearchIndex} index @param {Word} word @param {boolean} open @returns {number[][]} */
  function halves(index, { word, expansions }, open) {
    if (expansions.length > 0 && expansions[0].how === OWN) return compoundsOf(index, expansions[0].stem);
    if (expansions.some(({ how, factor }) => how === START && factor === START_FACTOR)) return [];
    /** @type {number[][]} */
    const found = [];
    const letters = [...word];
    for (let at = 2; at < letters.length && found.length < OTHER_CAP; at++) {
      const first = usedStem(index, letters.slice(0, at).join(''));
      const rest = letters.slice(at).join('');
      if (first < 0 || rest.length < 2) continue;
      let second = usedStem(index, rest);
      if (second < 0 && open && rest.length > 2) second = startStems(index, rest)[0] ?? -1;
      if (second >= 0) found.push([first, second]);
    }
    if (found.length > 0 || expansions.length > 0 || /[0-9]/.test(word)) return found;
    // Nothing is like the whole: one of the two may hold a slip.
    /** @param {string} half */
    const near = (half) => {
      const { far, stems } = typos(index, half);
      return far === 1 ? stems[0] : -1;
    };
    for (let at = SHORTEST_HALF; at <= letters.length - SHORTEST_HALF && found.length < OTHER_CAP; at++) {
      const [first, second] = [letters.slice(0, at).join(''), letters.slice(at).join('')];
      const stems = [usedStem(index, first), usedStem(index, second)];
      if ((stems[0] < 0) === (stems[1] < 0)) continue;
      if (stems[0] < 0) stems[0] = near(first);
      else stems[1] = near(second);
      if (stems[0] >= 0 && stems[1] >= 0) found.push(stems);
    }
    return found;
  }

  /**
   * The files that ranking a plan reads.
   * @param {SearchIndex} index @param {Plan} plan
   * @returns {Set<Part>}
   */
  function needed(index, plan) {
    if (plan.start !== null) {
      const range = rangeOf(index.startLists, index.starts.indexOf(plan.start));
      return new Set(range === undefined ? [] : [range]);
    }
    /** @type {Set<Part>} */
    const ranges = new Set();
    for (const stem of stemsOf(plan)) {
      const range = rangeOf(index.postings, stem);
      if (range !== undefined) ranges.add(range);
    }
    return ranges;
  }

  /**
   * Files that the next letters are likely to need and that have not come: those of the most frequent words with the last word as their
   * start, likeliest first.
   * @param {SearchIndex} index @param {Plan} plan @param {number} most
   * @returns {Part[]}
   */
  function ahead(index, plan, most) {
    const last = plan.words.length > 0 ? plan.words[plan.words.length - 1].word : '';
    /** @type {Set<Part>} */
    const ranges = new Set();
    for (const stem of last === '' ? [] : mostFrequent(index, starting(index, last), AHEAD)) {
      const range = rangeOf(index.postings, stem);
      if (range !== undefined && range.data === null && ranges.size < most) ranges.add(range);
    }
    return [...ranges];
  }

  /** @param {Plan} plan */
  const stemsOf = (plan) => new Set([
    ...plan.words.flatMap((word) => word.expansions.map((expansion) => expansion.stem)),
    ...plan.segments.flatMap((segment) => segment.alternatives.flatMap((other) => other.stems)),
  ]);

  /**
   * Known words near each of the query's, for "did you mean": nearest first, one for each stem, at most `count` for each word.
   * @param {SearchIndex} index @param {Plan} plan @param {number} count
   * @returns {string[][]}
   */
  function nearest(index, plan, count) {
    return plan.words.map(({ word }) => {
      const limit = Math.min(Math.floor(word.length / 3) + 1, FARTHEST);
      /** @type {{ far: number, often: number, at: number }[]} */
      const near = [];
      index.surfaces.eachNear(word, limit, (at, far) => {
        const often = frequencyOf(index, index.stemOf[at]);
        if (often > 0) near.push({ far, often, at });
      });
      near.sort((a, b) => a.far - b.far || b.often - a.often || a.at - b.at);
      const stems = new Set();
      return near.filter(({ at }) => !stems.has(index.stemOf[at]) && stems.add(index.stemOf[at])).slice(0, count).map(({ at }) => index.surfaces.at(at));
    });
  }

  Object.assign(blueconeSearch, { plan, needed, ahead, nearest, significant, key, surfaceOf, stemOf, stemsOf, OWN, START });
})();
