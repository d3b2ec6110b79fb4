// @ts-check
// A close look at one document. The rules are written down in the press: `closeness.rs` of its search folder, which these functions
// follow line for line.
'use strict';

(() => {
  const { split, postingsOf, postingOf, wholeShard, significant, key, idOf, titleOf, othersOf, kindOf, stemOf, surfaceOf, stemsOf, START } = blueconeSearch;

  const COVER = 0.5;
  const PHRASE = 0.4;
  const EARLY = 0.2;
  const FORM = 0.15;
  const SPELT = 1;
  const UNNAMED = 0.6;
  const LACKING = 4;
  const EXTRA = 0.5;
  const KIND = 0.3;
  const OTHER_NAME = 0.9;
  const IN_BODY = 0.7;
  const LONG_START = 4;

  /** @param {string} text */
  const wordsOf = (text) => split(text).map((token) => token.word);

  /**
   * @typedef {{ stems: number[], spelt: string[][], rows: number[][] | null, keys: string[] | null }} Names of the words that count: for each
   *   name, title first, how many they are and then their stems, one more than the last for an unknown word; and the words. `rows` has
   *   the stems of all words. The stems are one row, since a letter looks at those of two hundred documents
   */
  /** By document. @type {WeakMap<SearchIndex, (Names | undefined)[]>} */
  const memory = new WeakMap();

  /** Title and other names of a document. @param {SearchIndex} index @param {number} document */
  function namesOf(index, document) {
    let known = memory.get(index);
    if (known === undefined) memory.set(index, known = new Array(index.count));
    return (known[document] ??= readNames(index, document));
  }

  /** @param {SearchIndex} index @param {number} document @returns {Names} */
  function readNames(index, document) {
    const spelt = [titleOf(index, document), ...othersOf(index, document)].map((name) => significant(wordsOf(name)));
    const stems = [];
    for (const name of spelt) {
      stems.push(name.length);
      for (const word of name) {
        const stem = stemOf(index, word);
        stems.push(stem < 0 ? index.frequencies.length : stem);
      }
    }
    return { stems, spelt, rows: null, keys: null };
  }

  /** How alike two words are spelt, from 0 to 1: the letters in which they begin and end alike, out of those and the others. @param {string} typed @param {string} known */
  function likeness(typed, known) {
    const least = Math.min(typed.length, known.length);
    let same = 0;
    while (same < least && typed[same] === known[same]) same++;
    for (let end = 1; same < least && typed[typed.length - end] === known[known.length - end]; end++) same++;
    const likeness = same / (same + LACKING * (typed.length - same) + EXTRA * (known.length - same));
    return same === typed.length ? Math.max(likeness, UNNAMED) : likeness;
  }

  /**
   * How alike a word and the likest of the names' words that it matches are spelt.
   * @param {string} word @param {Uint16Array} meant by stem @param {Names} known
   */
  function likest(word, meant, { stems, spelt }) {
    let likest = -1;
    for (let from = 0, which = 0; from < stems.length; from += 1 + stems[from], which++) {
      for (let place = 0; place < stems[from]; place++) {
        if ((meant[stems[from + 1 + place]] & ITSELF) === 0) continue;
        likest = Math.max(likest, (which === 0 ? 1 : OTHER_NAME) * likeness(word, spelt[which][place]));
      }
    }
    return likest < 0 ? UNNAMED : likest;
  }

  /** By document, one more than its place among those looked at; kept between searches. @type {WeakMap<SearchIndex, Uint16Array>} */
  const slotMemory = new WeakMap();
  /** By stem, what it stands for in a plan: a bit for each word, and those below; kept between searches. @type {WeakMap<SearchIndex, Uint16Array>} */
  const meantMemory = new WeakMap();
  /** The plan has the stem; and the only word stands for it, not what is called alike. */
  const [ANY, ITSELF] = [1 << 15, 1 << 14];
  /** @type {number[]} */
  const NOWHERE = [];

  /**
   * How close documents come to a plan.
   * @param {SearchIndex} index @param {Plan} plan @param {number[]} documents at most 65,535
   * @returns {number[]}
   */
  function closeness(index, plan, documents) {
    let meant = meantMemory.get(index);
    if (meant === undefined) meantMemory.set(index, meant = new Uint16Array(index.frequencies.length + 1));
    const bits = meant;
    const all = stemsOf(plan);
    const count = plan.words.length;
    for (const stem of all) bits[stem] = ANY;
    if (count === 1) for (const { stem } of plan.words[0].expansions) bits[stem] |= ITSELF;
    const looked = words(index, plan, documents);
    looked.forEach(({ stems }, at) => stems.forEach((stem) => (bits[stem] |= 1 << at)));

    const close = documents.map((document, slot) => {
      const names = namesOf(index, document);
      const { stems } = names;
      let bestCover = 0;
      let phrase = 0;
      let early = 0;
      let form = 0;
      for (let from = 0; from < stems.length; from += 1 + stems[from]) {
        let shared = 0;
        for (let at = from + 1; at <= from + stems[from]; at++) if ((bits[stems[at]] & ANY) !== 0) shared++;
        shared = Math.min(shared, count);
        const cover = shared / (stems[from] + count - shared);
        bestCover = Math.max(bestCover, from === 0 ? cover : OTHER_NAME * cover);
      }
      for (let at = 1; at < count; at++) {
        const [first, second] = [looked[at - 1], looked[at]];
        if (followIn(stems, bits, 1 << (at - 1))) phrase += 1;
        else if (first.places[slot].some((place) => second.places[slot].includes(place + 1))) phrase += IN_BODY;
      }
      if (count > 1) phrase /= count - 1;
      for (let at = 0; at < count; at++) {
        const { places, formed } = looked[at];
        const place = firstOf(stems, bits, 1 << at);
        if (place >= 0) early += place < stems[0] ? 1 / (1 + place / 4) : 0.6;
        else if (places[slot].length > 0) early += 0.5 / (1 + Math.min(...places[slot]) / 16);
        form += formed[slot];
      }
      // More words than one say enough by themselves.
      const spelt = count === 1 ? likest(plan.words[0].word, bits, names) : 0;
      const kind = plan.kinds.includes(kindOf(index, document)) ? 1 : 0;
      return 1 + COVER * bestCover + PHRASE * phrase + (EARLY * early) / count + (FORM * form) / count + SPELT * spelt + KIND * kind;
    });
    for (const stem of all) bits[stem] = 0;
    return close;
  }

  /** The first place of a word among a document's names, the title's first word being 0; -1 if it is in none. @param {number[]} stems @param {Uint16Array} meant @param {number} word its bit */
  function firstOf(stems, meant, word) {
    for (let from = 0; from < stems.length; from += 1 + stems[from]) {
      for (let at = from + 1; at <= from + stems[from]; at++) if ((meant[stems[at]] & word) !== 0) return at - 1;
    }
    return -1;
  }

  /** Whether a word and the one after it stand side by side in a name. @param {number[]} stems @param {Uint16Array} meant @param {number} word its bit */
  function followIn(stems, meant, word) {
    for (let from = 0; from < stems.length; from += 1 + stems[from]) {
      for (let at = from + 1; at < from + stems[from]; at++) if ((meant[stems[at]] & word) !== 0 && (meant[stems[at + 1]] & (word << 1)) !== 0) return true;
    }
    return false;
  }

  /**
   * What each word of a plan has in each document: the stems that it stands for, its places, and whether it stands there as typed. Each
   * list is walked once for all the documents.
   * @param {SearchIndex} index @param {Plan} plan @param {number[]} documents
   */
  function words(index, plan, documents) {
    let slots = slotMemory.get(index);
    if (slots === undefined) slotMemory.set(index, slots = new Uint16Array(index.count));
    documents.forEach((document, at) => (slots[document] = at + 1));
    const found = plan.words.map(({ word, expansions }, at) => {
      const alone = plan.segments.filter(({ from, to }) => from === at && to === at + 1);
      const others = alone.flatMap(({ alternatives }) => alternatives).filter((other) => other.stems.length === 1);
      const surface = surfaceOf(index, word);
      const own = surface < 0 ? -1 : index.stemOf[surface];
      const bit = surface < 0 ? 0 : 1 << index.formOf[surface];
      const long = word.length >= LONG_START;
      const places = new Array(documents.length).fill(NOWHERE);
      const formed = new Uint8Array(documents.length);
      for (const { stem, how } of expansions) {
        const list = long || how !== START || stem === own ? postingsOf(index, stem) : null;
        if (list === null) continue;
        const { documents: here, forms, placesAt, places: row } = wholeShard(index, stem, list);
        for (let posting = list.from; posting < list.to; posting++) {
          const slot = slots[here[posting]] - 1;
          if (slot < 0) continue;
          if (stem === own && (forms[posting] & bit) !== 0) formed[slot] = 1;
          if (!long && how === START) continue;
          for (let from = placesAt[posting]; from < placesAt[posting + 1]; from++) {
            if (places[slot] === NOWHERE) places[slot] = [];
            places[slot].push(row[from]);
          }
        }
      }
      return { stems: [...expansions.map((expansion) => expansion.stem), ...others.map((other) => other.stems[0])], places, formed };
    });
    for (const document of documents) slots[document] = 0;
    return /** @type {{ stems: number[], places: number[][], formed: Uint8Array }[]} */ (found);
  }

  /** @param {SearchIndex} index @param {number} document @param {string} typed */
  function isExact(index, document, typed) {
    const names = namesOf(index, document);
    names.keys ??= [...names.spelt.map((name) => name.join('')), key(wordsOf(idOf(index, document)))];
    return names.keys.includes(typed);
  }

  /** @param {SearchIndex} index @param {number} document @param {number[]} stems */
  function adjacent(index, document, [first, second]) {
    const names = namesOf(index, document);
    names.rows ??= [titleOf(index, document), ...othersOf(index, document)].map((name) => wordsOf(name).map((word) => stemOf(index, word)));
    if (names.rows.some((row) => row.some((stem, at) => at > 0 && stem === second && row[at - 1] === first))) return true;
    const places = postingOf(index, second, document)?.places ?? [];
    return (postingOf(index, first, document)?.places ?? []).some((place) => places.includes(place + 1));
  }

  Object.assign(blueconeSearch, { closeness, isExact, adjacent });
})();
