// @ts-check
// The packed index. Its layout is written down in the press: `pack.rs` of its search folder.
'use strict';

/**
 * @typedef {{ documents: Uint32Array, counts: Uint32Array, frequencies: number[], code: string, at: number, forms: Uint8Array | null,
 *   places: number[][] | null }} Postings four counts (title, other names, figures, body) for each document; forms and places are read
 *   from `code` at `at` when they are first asked for
 * @typedef {{ name: string, from: number, to: number, data: null | Shard, failed: boolean }} Part stems, documents or starts from..to
 * @typedef {{ numbers: string, starts: Uint32Array | null, lines: string[] }} Shard
 * @typedef {{ surface: string, stem: number }} Form
 * @typedef {{
 *   count: number, totals: number[], kinds: string[], background: number[], kindOf: Uint32Array, lengths: Uint32Array,
 *   titles: string[], names: string[][], addresses: string[], ids: string[], surfaces: string[], stemOf: Uint32Array,
 *   frequencies: Uint32Array, formOf: Uint8Array, formCounts: Uint8Array, groups: string[][][], compounds: string[][], starts: string[],
 *   postings: Part[], texts: Part[], startLists: Part[], lists: Map<number, Postings | null>,
 * }} SearchIndex
 */

(() => {
  const VERSION = 3;
  const FIELDS = 4;
  const FORMS = 6;
  const ENDS = 62;
  const MORE = 31;

  /** By character code; 255 for what is no digit. */
  const DIGITS = new Uint8Array(128).fill(255);
  for (let digit = 0, code = 32; code < 127; code++) if (code !== 34 && code !== 92) DIGITS[code] = digit++;

  /** Reads numbers; throws a RangeError past the end, which the callers turn into "damaged". */
  class Reader {
    /** @param {string} code @param {number} at @param {number} end */
    constructor(code, at = 0, end = code.length) {
      this.code = code;
      this.at = at;
      this.end = end;
    }

    next() {
      let number = 0;
      for (let scale = 1; ; scale *= MORE) {
        if (this.at >= this.end || scale > 2 ** 42) throw new RangeError('damaged');
        const digit = DIGITS[this.code.charCodeAt(this.at++) & 127];
        if (digit < ENDS) return number + digit * scale;
        number += digit * scale;
      }
    }

    /** @param {number} count */
    many(count) {
      if (count > this.end - this.at) throw new RangeError('damaged');
      const numbers = new Uint32Array(count);
      for (let i = 0; i < count; i++) numbers[i] = this.next();
      return numbers;
    }
  }

  /** @type {Map<string, { numbers: string, text: string }>} */
  const taken = new Map();

  /**
   * Called by each data file. One that was damaged on its way is not kept.
   * @param {string} name @param {number} sum @param {string} numbers @param {string} text
   */
  function take(name, sum, numbers, text) {
    let hash = 0x811c9dc5;
    for (let i = 0; i < numbers.length; i++) hash = Math.imul(hash ^ numbers.charCodeAt(i), 0x01000193);
    for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
    if (hash >>> 0 === sum) taken.set(name, { numbers, text });
  }

  /** @param {string} section */
  const lines = (section) => section.split('\t').slice(0, -1);

  /** @param {string} line */
  const parts = (line) => (line === '' ? [] : line.split('\v'));

  /** @param {string[]} coded */
  function frontDecode(coded) {
    let before = '';
    return coded.map((line) => (before = before.slice(0, line.charCodeAt(0) - 65) + line.slice(1)));
  }

  /**
   * The index, from `search/words.js`; null if that has not come or is damaged.
   * @returns {SearchIndex | null}
   */
  function openIndex() {
    const words = taken.get('words');
    if (words === undefined) return null;
    try {
      const reader = new Reader(words.numbers);
      const head = reader.many(7 + FIELDS);
      const count = head[1];
      const [postings, texts, starts, surfaces, stems] = head.subarray(2 + FIELDS);
      const kindOf = reader.many(count);
      const lengths = reader.many(count * FIELDS);
      const steps = reader.many(surfaces);
      const stemOf = new Uint32Array(surfaces);
      const formOf = new Uint8Array(surfaces);
      const formCounts = new Uint8Array(stems);
      for (let i = 0, stem = 0; i < surfaces; i++) {
        stemOf[i] = stem += (steps[i] >>> 1) ^ -(steps[i] & 1);
        formOf[i] = Math.min(formCounts[stem], FORMS - 1);
        if (formCounts[stem] < FORMS) formCounts[stem]++;
      }
      const frequencies = reader.many(stems);
      const counts = reader.many(postings + texts + starts);
      const sections = words.text.split('\f');
      const kinds = lines(sections[0]);
      const addresses = frontDecode(lines(sections[4]));
      const ids = lines(sections[5]).map((id, at) => id || addresses[at].replace(/^.*\//s, '').replace(/\.html$/, ''));
      /** @type {SearchIndex} */
      const index = {
        count, totals: [...head.subarray(2, 2 + FIELDS)], kinds, background: lines(sections[1]).map((kind) => kinds.indexOf(kind)), kindOf, lengths, titles: lines(sections[2]),
        names: lines(sections[3]).map(parts), addresses, ids,
        surfaces: frontDecode(sections[6].match(/[A-Z][^A-Z]*/g) ?? []), stemOf, frequencies, formOf, formCounts,
        groups: lines(sections[7]).map((line) => line.split('\v').map((name) => name.split(' '))),
        compounds: lines(sections[8]).map((line) => line.split(' ')),
        starts: frontDecode(lines(sections[9])),
        postings: ranges(lines(sections[10]), counts),
        texts: ranges(lines(sections[11]), counts.subarray(postings)),
        startLists: ranges(lines(sections[12]), counts.subarray(postings + texts)),
        lists: new Map(),
      };
      const whole = head[0] === VERSION && [index.titles, index.names, addresses, ids].every((list) => list.length === count)
        && index.surfaces.length === surfaces && stemOf.every((stem) => stem < stems) && kindOf.every((kind) => kind < kinds.length)
        && lengths.every((code) => code < 256);
      return whole ? index : null;
    } catch {
      return null;
    }
  }

  /** @param {string[]} names @param {Uint32Array} counts @returns {Part[]} */
  function ranges(names, counts) {
    let from = 0;
    return names.map((name, at) => {
      const range = { name, from, to: from + counts[at], data: null, failed: false };
      from = range.to;
      return range;
    });
  }

  /** @param {Part[]} list @param {number} at */
  function rangeOf(list, at) {
    let low = 0;
    for (let high = list.length; low < high;) {
      const middle = (low + high) >>> 1;
      if (list[middle].to <= at) low = middle + 1;
      else high = middle;
    }
    return /** @type {Part | undefined} */ (list[low]);
  }

  /**
   * Takes what a file brought into its range. False if it has not come or is damaged.
   * @param {Part} range
   */
  function fill(range) {
    if (range.data !== null) return true;
    const file = taken.get(range.name);
    if (file === undefined) return false;
    taken.delete(range.name);
    try {
      const count = range.to - range.from;
      let starts = null;
      if (file.numbers !== '') {
        const reader = new Reader(file.numbers);
        const lengths = reader.many(count);
        starts = new Uint32Array(count + 1);
        starts[0] = reader.at;
        for (let i = 0; i < count; i++) starts[i + 1] = starts[i] + lengths[i];
        if (starts[count] !== file.numbers.length) return false;
      }
      range.data = { numbers: file.numbers, starts, lines: lines(file.text) };
      return true;
    } catch {
      return false;
    }
  }

  /** A reader of item `at` of a range; null if its file is missing or damaged. @param {Part[]} list @param {number} at */
  function itemOf(list, at) {
    const range = rangeOf(list, at);
    if (range === undefined || !fill(range) || range.data === null || range.data.starts === null) return null;
    const { numbers, starts } = range.data;
    return { range, reader: new Reader(numbers, starts[at - range.from], starts[at - range.from + 1]) };
  }

  /**
   * The documents that have a stem; null if their file is missing or damaged.
   * @param {SearchIndex} index @param {number} stem
   * @returns {Postings | null}
   */
  function postingsOf(index, stem) {
    const known = index.lists.get(stem);
    if (known !== undefined) return known;
    const item = itemOf(index.postings, stem);
    if (item === null) return null;
    let list = null;
    try {
      list = readList(item.reader, index.frequencies[stem], index.count);
    } catch {
      item.range.failed = true;
    }
    index.lists.set(stem, list);
    return list;
  }

  /** @param {Reader} reader @param {number} length @param {number} count @returns {Postings} */
  function readList(reader, length, count) {
    const documents = reader.many(length);
    for (let i = 0, next = 0; i < length; i++) {
      next = documents[i] += next;
      if (next >= count) throw new RangeError('damaged');
      next++;
    }
    const counts = new Uint32Array(length * FIELDS);
    const frequencies = [0, 0, 0, 0];
    for (let i = 0, at = 0; i < length; i++, at += FIELDS) {
      const packed = reader.next();
      if (packed % 2 === 0) {
        counts[at + 3] = packed / 2 + 1;
        frequencies[3]++;
        continue;
      }
      const flags = (packed - 1) / 2 % 16;
      const many = flags >= 8;
      for (let field = 0; field < 3; field++) {
        counts[at + field] = many ? reader.next() : (flags >> field) & 1;
        if (counts[at + field] > 0) frequencies[field]++;
      }
      counts[at + 3] = Math.floor(packed / 32);
      if (counts[at + 3] > 0) frequencies[3]++;
    }
    return { documents, counts, frequencies, code: reader.code, at: reader.at, forms: null, places: null };
  }

  /**
   * Reads the last two columns of a list. Damage leaves them empty.
   * @param {SearchIndex} index @param {number} stem @param {Postings} list
   */
  function readPlaces(index, stem, list) {
    const { length } = list.documents;
    const forms = list.forms = new Uint8Array(length).fill(1);
    /** @type {number[][]} */
    const places = list.places = [];
    try {
      const reader = new Reader(list.code, list.at);
      if (index.formCounts[stem] > 1) for (let i = 0; i < length; i++) forms[i] = reader.next() + 1;
      for (let i = 0; i < length; i++) {
        /** @type {number[]} */
        const here = [];
        for (let left = list.counts[i * FIELDS + 2] + list.counts[i * FIELDS + 3], before = -1; left > 0; left--) {
          const step = reader.next();
          if (step === 0) break;
          here.push(before += step);
        }
        places.push(here);
      }
    } catch { /* as far as it goes */ }
  }

  /** Where document stands in a list, or -1. @param {Postings} list @param {number} document */
  function placeIn(list, document) {
    let low = 0;
    for (let high = list.documents.length; low < high;) {
      const middle = (low + high) >>> 1;
      if (list.documents[middle] < document) low = middle + 1;
      else high = middle;
    }
    return list.documents[low] === document ? low : -1;
  }

  /**
   * The places of a stem in a document's beginning, and which of its forms are there.
   * @param {SearchIndex} index @param {number} stem @param {number} document
   * @returns {{ places: number[], forms: number } | null}
   */
  function postingOf(index, stem, document) {
    const list = postingsOf(index, stem);
    const at = list === null ? -1 : placeIn(list, document);
    if (list === null || at < 0) return null;
    if (list.places === null) readPlaces(index, stem, list);
    return { places: list.places?.[at] ?? [], forms: list.forms?.[at] ?? 0 };
  }

  /**
   * How many documents a short start finds, and the best in order; null if that was not found beforehand or its file is missing.
   * @param {SearchIndex} index @param {string} start
   */
  function startOf(index, start) {
    const at = index.starts.indexOf(start);
    const item = at < 0 ? null : itemOf(index.startLists, at);
    if (item === null) return null;
    try {
      const total = item.reader.next();
      const documents = [];
      while (item.reader.at < item.reader.end) documents.push(item.reader.next());
      if (documents.some((document) => document >= index.count)) throw new RangeError('damaged');
      return { total, documents };
    } catch {
      item.range.failed = true;
      return null;
    }
  }

  /**
   * Summary and text of a document, in pieces; null until its file has come.
   * @param {SearchIndex} index @param {number} document
   * @returns {string[] | null}
   */
  function textOf(index, document) {
    const range = rangeOf(index.texts, document);
    if (range === undefined || !fill(range) || range.data === null) return null;
    return (range.data.lines[document - range.from] ?? '').split('\v');
  }

  Object.assign(blueconeSearch, { take, openIndex, rangeOf, fill, postingsOf, postingOf, startOf, textOf });
})();
