// @ts-check
// The packed index. Its layout is written down in the press: `pack.rs` of its search folder.
'use strict';

/**
 * @typedef {{ name: string, from: number, to: number, data: null | Data, failed: boolean }} Part stems, documents or starts from..to
 * @typedef {{ numbers: string, lines: string[], shard: Shard | null }} Data what a file brought; of postings,
 *   `numbers` is read into `shard` when the first of its stems is asked for
 * @typedef {{
 *   count: number, lead: number, totals: number[], kinds: string[], background: number[], kindDigits: string, lengthDigits: string,
 *   longs: Map<number, number>, titles: Lines, names: Lines, codes: Lines, written: Uint32Array | null, ids: Lines, surfaces: any,
 *   stemOf: Uint32Array, frequencies: Uint32Array, frequencyRows: string[], formOf: Uint8Array, formCounts: Uint8Array,
 *   groups: string[][][], compounds: Lines, starts: string[], postings: Part[], texts: Part[], startLists: Part[],
 *   lists: Map<number, Postings | null>,
 * }} SearchIndex
 */

(() => {
  const { Bits, DIGITS, Surfaces, lines, lazyLines, readShard, readRest } = blueconeSearch;

  const VERSION = 6;
  const FIELDS = 4;
  const FORMS = 6;
  const ENDS = 62;
  const MORE = 31;
  /** A frequency that was not read yet. */
  const UNREAD = 0xffffffff;

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

  /** @param {Reader} reader @param {number} length */
  function row(reader, length) {
    if (length > reader.end - reader.at) throw new RangeError('damaged');
    reader.at += length;
    return reader.code.slice(reader.at - length, reader.at);
  }

  /** @type {Map<string, { numbers: string, text: string }>} */
  const taken = new Map();

  /**
   * Called by each data file. One that was damaged on its way is not kept.
   * @param {string} name @param {number} sum @param {string} numbers @param {string} text
   */
  function take(name, sum, numbers, text) {
    if (hashed(hashed(0x811c9dc5, numbers), text) >>> 0 === sum) taken.set(name, { numbers, text });
  }

  /** Takes a string into a hash, four code units at a time. @param {number} hash @param {string} text */
  function hashed(hash, text) {
    let at = 0;
    for (; at + 4 <= text.length; at += 4) {
      const four = text.charCodeAt(at) ^ (text.charCodeAt(at + 1) << 5) ^ (text.charCodeAt(at + 2) << 10) ^ (text.charCodeAt(at + 3) << 15);
      hash = Math.imul(hash ^ four, 0x01000193);
    }
    for (; at < text.length; at++) hash = Math.imul(hash ^ text.charCodeAt(at), 0x01000193);
    return hash;
  }

  /** In how many documents a stem is. @param {SearchIndex} index @param {number} stem */
  function frequencyOf(index, stem) {
    const known = index.frequencies[stem];
    if (known !== UNREAD) return known;
    const range = rangeOf(index.postings, stem);
    return range === undefined ? 0 : frequenciesOf(index, range)[stem - range.from];
  }

  /** In how many documents the stems of a file of postings are. @param {SearchIndex} index @param {Part} range */
  function frequenciesOf(index, range) {
    const frequencies = index.frequencies.subarray(range.from, range.to);
    if (frequencies.length > 0 && frequencies[0] === UNREAD) {
      const bits = new Bits(index.frequencyRows[index.postings.indexOf(range)]);
      try {
        for (let i = 0; i < frequencies.length; i++) {
          const frequency = bits.gamma();
          frequencies[i] = frequency < 2 ? 1 - frequency : frequency;
        }
      } catch {
        frequencies.fill(0);
        range.failed = true;
      }
    }
    return frequencies;
  }

  /** @param {string[]} coded */
  function frontDecode(coded) {
    let before = '';
    return coded.map((line) => (before = before.slice(0, line.charCodeAt(0) - 65) + line.slice(1)));
  }

  /** Each surface word's stem and which of its forms it is, and how many forms each stem has. @param {any} bits @param {number} surfaces @param {number} stems */
  function readStems(bits, surfaces, stems) {
    const stemOf = new Uint32Array(surfaces);
    const formOf = new Uint8Array(surfaces);
    const formCounts = new Uint8Array(stems);
    const { row } = bits;
    for (let i = 0, next = 0; i < surfaces; i++) {
      let stem = next;
      // The next bit, read here because there are a hundred thousand of them.
      if (((row[bits.at >>> 5] << (bits.at++ & 31)) | 0) < 0) stem = next - 1 - bits.gamma();
      else next++;
      if (stem < 0 || stem >= stems) throw new RangeError('damaged');
      const forms = formCounts[stem];
      stemOf[i] = stem;
      formOf[i] = forms < FORMS ? forms : FORMS - 1;
      if (forms < FORMS) formCounts[stem] = forms + 1;
    }
    if (bits.at > bits.end) throw new RangeError('damaged');
    return { stemOf, formOf, formCounts };
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
      const head = reader.many(9 + FIELDS);
      const count = head[1];
      const [postings, texts, starts, surfaces, stems, stemming] = head.subarray(3 + FIELDS);
      const kindDigits = row(reader, count);
      const lengthDigits = row(reader, count * FIELDS);
      const longs = new Map(Array.from({ length: reader.next() }, () => [reader.next(), reader.next()]));
      const counts = reader.many(postings + texts + starts);
      const rows = reader.many(postings);
      if (stems > words.numbers.length * 6) throw new RangeError('damaged');
      if (surfaces > words.numbers.length * 6) throw new RangeError('damaged');
      const stemmed = readStems(new Bits(row(reader, stemming)), surfaces, stems);
      const frequencyRows = Array.from(rows, (length) => row(reader, length));
      const sections = words.text.split('\f');
      const kinds = lines(sections[0]);
      const [titles, names, codes, ids] = sections.slice(2, 6).map(lazyLines);
      /** @type {SearchIndex} */
      const index = {
        count, lead: head[2], totals: [...head.subarray(3, 3 + FIELDS)], kinds, background: lines(sections[1]).map((kind) => kinds.indexOf(kind)), kindDigits, lengthDigits, longs,
        titles, names, codes, written: null, ids, surfaces: new Surfaces(lines(sections[6]), surfaces), ...stemmed,
        frequencies: new Uint32Array(stems).fill(UNREAD), frequencyRows,
        groups: lines(sections[7]).map((line) => line.split('\v').map((name) => name.split(' '))),
        compounds: lazyLines(sections[8]),
        starts: frontDecode(lines(sections[9])),
        postings: ranges(lines(sections[10]), counts),
        texts: ranges(lines(sections[11]), counts.subarray(postings)),
        startLists: ranges(lines(sections[12]), counts.subarray(postings + texts)),
        lists: new Map(),
      };
      return head[0] === VERSION && index.frequencies.length === counts.subarray(0, postings).reduce((sum, here) => sum + here, 0) ? index : null;
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
    range.data = { numbers: file.numbers, lines: lines(file.text), shard: null };
    return true;
  }

  /** What a file of postings has; null if it is missing or damaged. @param {SearchIndex} index @param {Part} range @returns {Shard | null} */
  function shardOf(index, range) {
    if (range.failed || !fill(range) || range.data === null) return null;
    const { data } = range;
    if (data.shard === null) {
      try {
        data.shard = readShard(data.numbers, frequenciesOf(index, range), index.count);
        data.numbers = '';
      } catch {
        range.failed = true;
      }
    }
    return data.shard;
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
    const shard = range === undefined ? null : shardOf(index, range);
    if (range === undefined || shard === null) return null;
    const { starts, body, named, others } = shard;
    const [from, to] = [starts[stem - range.from], starts[stem - range.from + 1]];
    const first = firstFrom(named, from);
    const frequencies = [0, 0, 0, to - from];
    for (let i = first; i < named.length && named[i] < to; i++) {
      for (let field = 0; field < FIELDS - 1; field++) if (others[3 * i + field] > 0) frequencies[field]++;
      if (body[named[i]] === 0) frequencies[FIELDS - 1]--;
    }
    const list = { shard, from, to, named: first, frequencies };
    index.lists.set(stem, list);
    return list;
  }

  /** The place of the first number that is not less. @param {Uint16Array | Uint32Array} numbers rising @param {number} least @param {number} low @param {number} high */
  function firstFrom(numbers, least, low = 0, high = numbers.length) {
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (numbers[middle] < least) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  /** A list's shard with forms and places read. @param {SearchIndex} index @param {number} stem @param {Postings} list */
  function wholeShard(index, stem, { shard }) {
    if (shard.rest !== null) {
      const range = /** @type {Part} */ (rangeOf(index.postings, stem));
      readRest(shard, index.formCounts.subarray(range.from, range.to), index.lead);
    }
    return shard;
  }

  /** Reads all of a file of postings, so that it need not be done while someone waits. @param {SearchIndex} index @param {Part} range */
  function prepare(index, range) {
    const shard = shardOf(index, range);
    if (shard !== null) readRest(shard, index.formCounts.subarray(range.from, range.to), index.lead);
  }

  /**
   * The places of a stem in a document's beginning, and which of its forms are there.
   * @param {SearchIndex} index @param {number} stem @param {number} document
   * @returns {{ places: Uint16Array, forms: number } | null}
   */
  function postingOf(index, stem, document) {
    const list = postingsOf(index, stem);
    if (list === null) return null;
    const at = firstFrom(list.shard.documents, document, list.from, list.to);
    if (at === list.to || list.shard.documents[at] !== document) return null;
    const { forms, places, placesAt } = wholeShard(index, stem, list);
    return { places: places.subarray(placesAt[at], placesAt[at + 1]), forms: forms[at] };
  }

  /** The four counts of each posting of a list. @param {Postings} list */
  function countsOf({ shard, from, to, named }) {
    const counts = [];
    for (let at = from; at < to; at++) {
      const others = shard.named[named] === at ? [...shard.others.subarray(3 * named, 3 * ++named)] : [0, 0, 0];
      counts.push([...others, shard.body[at]]);
    }
    return counts;
  }

  /**
   * How many documents a short start finds, and the best in order; null if that was not found beforehand or its file is missing.
   * @param {SearchIndex} index @param {string} start
   */
  function startOf(index, start) {
    const at = index.starts.indexOf(start);
    const range = at < 0 ? undefined : rangeOf(index.startLists, at);
    if (range === undefined || !fill(range) || range.data === null) return null;
    try {
      const reader = new Reader(range.data.numbers);
      const lengths = reader.many(range.to - range.from);
      reader.at += lengths.subarray(0, at - range.from).reduce((sum, length) => sum + length, 0);
      const end = reader.at + lengths[at - range.from];
      const total = reader.next();
      const documents = [];
      while (reader.at < end) documents.push(reader.next());
      if (documents.some((document) => document >= index.count)) throw new RangeError('damaged');
      return { total, documents };
    } catch {
      range.failed = true;
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

  Object.assign(blueconeSearch, { take, openIndex, frequencyOf, rangeOf, fill, prepare, postingsOf, postingOf, wholeShard, countsOf, startOf, textOf });
})();
