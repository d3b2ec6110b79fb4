// @ts-check
// The packed index. Its layout is written down in the press: `pack.rs` of its search folder.
'use strict';

/**
 * @typedef {{ documents: Uint32Array, counts: Uint32Array }} Postings three counts (title, other names, body) for each document
 * @typedef {{ name: string, from: number, to: number, data: null | Shard, failed: boolean }} Part stems or documents from..to
 * @typedef {{ bytes: Uint8Array, starts: Uint32Array | null, lines: string[] }} Shard
 * @typedef {{
 *   count: number, totals: number[], kinds: string[], kindOf: Uint32Array, lengths: Uint8Array,
 *   titles: string[], addresses: string[], ids: string[], surfaces: string[], stemOf: Uint32Array,
 *   frequencies: Uint32Array, groups: string[][][], postings: Part[], summaries: Part[],
 *   lists: Map<number, Postings | null>,
 * }} SearchIndex
 */

(() => {
  /** Reads varints; throws a RangeError past the end, which the callers turn into "damaged". */
  class Reader {
    /** @param {Uint8Array} bytes @param {number} at @param {number} end */
    constructor(bytes, at = 0, end = bytes.length) {
      this.bytes = bytes;
      this.at = at;
      this.end = end;
    }

    next() {
      let number = 0;
      for (let scale = 1; ; scale *= 128) {
        if (this.at >= this.end || scale > 2 ** 42) throw new RangeError('damaged');
        const byte = this.bytes[this.at++];
        number += (byte & 127) * scale;
        if (byte < 128) return number;
      }
    }

    /** @param {number} count */
    many(count) {
      if (count > this.end - this.at) throw new RangeError('damaged');
      const numbers = new Uint32Array(count);
      for (let i = 0; i < count; i++) numbers[i] = this.next();
      return numbers;
    }

    /** @param {number} count */
    raw(count) {
      if (count > this.end - this.at) throw new RangeError('damaged');
      this.at += count;
      return this.bytes.subarray(this.at - count, this.at);
    }
  }

  const DIGITS = new Uint8Array(128).fill(255);
  [...'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/'].forEach((digit, value) => {
    DIGITS[digit.charCodeAt(0)] = value;
  });

  /** @param {string} text */
  function fromBase64(text) {
    const padding = text.endsWith('==') ? 2 : text.endsWith('=') ? 1 : 0;
    const bytes = new Uint8Array((text.length / 4) * 3 - padding);
    for (let from = 0, to = 0; from < text.length; from += 4) {
      let group = 0;
      for (let i = from; i < from + 4; i++) group = (group << 6) | (DIGITS[text.charCodeAt(i)] & 63);
      if (to < bytes.length) bytes[to++] = group >> 16;
      if (to < bytes.length) bytes[to++] = group >> 8;
      if (to < bytes.length) bytes[to++] = group;
    }
    return bytes;
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
      const reader = new Reader(fromBase64(words.numbers));
      const head = reader.many(9);
      const count = head[1];
      const [postings, summaries, surfaces, stems] = head.subarray(5);
      const kindOf = reader.many(count);
      const lengths = reader.raw(count * 3);
      const steps = reader.many(surfaces);
      const stemOf = new Uint32Array(surfaces);
      for (let i = 0, stem = 0; i < surfaces; i++) stemOf[i] = stem += (steps[i] >>> 1) ^ -(steps[i] & 1);
      const frequencies = reader.many(stems);
      const counts = reader.many(postings + summaries);
      const sections = words.text.split('\f');
      const kinds = lines(sections[0]);
      const addresses = frontDecode(lines(sections[2]));
      const ids = lines(sections[3]).map((id, at) => id || addresses[at].replace(/^.*\//s, '').replace(/\.html$/, ''));
      /** @type {SearchIndex} */
      const index = {
        count, totals: [...head.subarray(2, 5)], kinds, kindOf, lengths, titles: lines(sections[1]), addresses, ids,
        surfaces: frontDecode(sections[4].match(/[A-Z][^A-Z]*/g) ?? []), stemOf, frequencies,
        groups: lines(sections[5]).map((line) => line.split('\v').map((name) => name.split(' '))),
        postings: ranges(lines(sections[6]), counts.subarray(0, postings)),
        summaries: ranges(lines(sections[7]), counts.subarray(postings)),
        lists: new Map(),
      };
      const whole = head[0] === 2 && index.titles.length === count && index.addresses.length === count && ids.length === count
        && index.surfaces.length === surfaces && stemOf.every((stem) => stem < stems) && kindOf.every((kind) => kind < kinds.length);
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
  const rangeOf = (list, at) => list.find((range) => at < range.to);

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
      const bytes = fromBase64(file.numbers);
      let starts = null;
      if (bytes.length > 0) {
        const reader = new Reader(bytes);
        const lengths = reader.many(count);
        starts = new Uint32Array(count + 1);
        starts[0] = reader.at;
        for (let i = 0; i < count; i++) starts[i + 1] = starts[i] + lengths[i];
        if (starts[count] !== bytes.length) return false;
      }
      range.data = { bytes, starts, lines: lines(file.text) };
      return true;
    } catch {
      return false;
    }
  }

  /**
   * The documents that have a stem; null if their file is missing or damaged.
   * @param {SearchIndex} index @param {number} stem
   * @returns {Postings | null}
   */
  function postingsOf(index, stem) {
    const known = index.lists.get(stem);
    if (known !== undefined) return known;
    const range = rangeOf(index.postings, stem);
    if (range === undefined || !fill(range) || range.data === null || range.data.starts === null) return null;
    const at = stem - range.from;
    let list = null;
    try {
      list = readList(new Reader(range.data.bytes, range.data.starts[at], range.data.starts[at + 1]), index.frequencies[stem], index.count);
    } catch {
      range.failed = true;
    }
    index.lists.set(stem, list);
    return list;
  }

  /** @param {Reader} reader @param {number} length @param {number} count @returns {Postings} */
  function readList(reader, length, count) {
    const documents = new Uint32Array(length);
    const counts = new Uint32Array(length * 3);
    for (let i = 0, document = 0; i < length; i++) {
      const step = reader.next();
      document += Math.floor(step / 2);
      if (document >= count) throw new RangeError('damaged');
      documents[i] = document;
      const flags = step % 2 === 1 ? 8 : reader.next();
      const many = (flags & 4) !== 0;
      counts[i * 3] = many ? reader.next() : flags & 1;
      counts[i * 3 + 1] = many ? reader.next() : (flags >> 1) & 1;
      counts[i * 3 + 2] = flags >> 3;
    }
    return { documents, counts };
  }

  /**
   * What stands under a document's title; null until its file has come.
   * @param {SearchIndex} index @param {number} document
   * @returns {string | null}
   */
  function summaryOf(index, document) {
    const range = rangeOf(index.summaries, document);
    if (range === undefined || !fill(range) || range.data === null) return null;
    return range.data.lines[document - range.from] ?? '';
  }

  Object.assign(blueconeSearch, { take, openIndex, rangeOf, fill, postingsOf, summaryOf });
})();
