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

  /** @typedef {{ title: number[], names: number[][], spelt: string[][], rows: number[][] | null, keys: string[] | null }} Names the stems of the words that count, and those words, title first; `rows` the stems of all words */
  /** @type {WeakMap<SearchIndex, Map<number, Names>>} */
  const memory = new WeakMap();

  /** Title and other names of a document as stems. @param {SearchIndex} index @param {number} document */
  function namesOf(index, document) {
    let known = memory.get(index);
    if (known === undefined) memory.set(index, known = new Map());
    let names = known.get(document);
    if (names === undefined) {
      /** @param {string[]} name */
      const stems = (name) => name.map((word) => stemOf(index, word));
      const spelt = [titleOf(index, document), ...othersOf(index, document)].map((name) => significant(wordsOf(name)));
      const [title, ...others] = spelt.map(stems);
      names = { title, names: others, spelt, rows: null, keys: null };
      known.set(document, names);
    }
    return names;
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

  /** How alike a word and the likest of the names' words that it matches are spelt. @param {Word} typed @param {Names} known */
  function likest({ word, expansions }, { title, names, spelt }) {
    let likest = -1;
    spelt.forEach((name, which) => {
      const share = which === 0 ? 1 : OTHER_NAME;
      const here = which === 0 ? title : names[which - 1];
      name.forEach((other, place) => {
        if (expansions.some(({ stem }) => stem === here[place])) likest = Math.max(likest, share * likeness(word, other));
      });
    });
    return likest < 0 ? UNNAMED : likest;
  }

  /** By document, one more than its place among those looked at; kept between searches. @type {WeakMap<SearchIndex, Uint16Array>} */
  const slotMemory = new WeakMap();
  /** @type {number[]} */
  const NOWHERE = [];

  /**
   * How close documents come to a plan.
   * @param {SearchIndex} index @param {Plan} plan @param {number[]} documents at most 65,535
   * @returns {number[]}
   */
  function closeness(index, plan, documents) {
    const all = stemsOf(plan);
    const count = plan.words.length;
    const looked = words(index, plan, documents);

    /** @param {number[]} name */
    const cover = (name) => {
      let shared = 0;
      for (const stem of name) if (all.has(stem)) shared++;
      shared = Math.min(shared, count);
      return shared / (name.length + count - shared);
    };

    return documents.map((document, slot) => {
      const { title, names } = namesOf(index, document);
      let bestCover = cover(title);
      for (const name of names) bestCover = Math.max(bestCover, OTHER_NAME * cover(name));

      let phrase = 0;
      for (let at = 1; at < count; at++) {
        const [first, second] = [looked[at - 1], looked[at]];
        /** @param {number[]} name */
        const inName = (name) => name.some((stem, place) => place > 0 && second.stems.has(stem) && first.stems.has(name[place - 1]));
        if (inName(title) || names.some(inName)) phrase += 1;
        else if (first.places[slot].some((place) => second.places[slot].includes(place + 1))) phrase += IN_BODY;
      }
      if (count > 1) phrase /= count - 1;

      let early = 0;
      let form = 0;
      for (const { stems, places, formed } of looked) {
        const place = title.findIndex((stem) => stems.has(stem));
        if (place >= 0) early += 1 / (1 + place / 4);
        else if (names.some((name) => name.some((stem) => stems.has(stem)))) early += 0.6;
        else if (places[slot].length > 0) early += 0.5 / (1 + Math.min(...places[slot]) / 16);
        form += formed[slot];
      }
      // More words than one say enough by themselves.
      const spelt = count === 1 ? likest(plan.words[0], namesOf(index, document)) : 0;
      const kind = plan.kinds.includes(kindOf(index, document)) ? 1 : 0;
      return 1 + COVER * bestCover + PHRASE * phrase + (EARLY * early) / count + (FORM * form) / count + SPELT * spelt + KIND * kind;
    });
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
      return { stems: new Set([...expansions.map((expansion) => expansion.stem), ...others.map((other) => other.stems[0])]), places, formed };
    });
    for (const document of documents) slots[document] = 0;
    return /** @type {{ stems: Set<number>, places: number[][], formed: Uint8Array }[]} */ (found);
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
