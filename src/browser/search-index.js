// @ts-check
// The packed index. Its layout is written down in the press: `pack.rs` of its search folder.
'use strict';

/**
 * @typedef {{ name: string, from: number, to: number, data: null | Data, failed: boolean }} Part stems, documents or starts from..to
 * @typedef {{ numbers: string, lines: string[], shard: Shard | null }} Data what a file brought; of postings,
 *   `numbers` is read into `shard` when the first of its stems is asked for
 * @typedef {{ surface: string, stem: number }} Form
 * @typedef {{
 *   count: number, lead: number, totals: number[], kinds: string[], background: number[], kindOf: Uint32Array, lengths: Uint32Array,
 *   titles: string[], names: string[][], codes: string[], written: Uint32Array | null, ids: string[], surfaces: string[], stemOf: Uint32Array,
 *   frequencies: Uint32Array, formOf: Uint8Array, formCounts: Uint8Array, groups: string[][][], compounds: string[][], starts: string[],
 *   postings: Part[], texts: Part[], startLists: Part[], lists: Map<number, Postings | null>,
 * }} SearchIndex
 */

(() => {
  const { Bits, DIGITS, readShard, readRest } = blueconeSearch;

  const VERSION = 5;
  const FIELDS = 4;
  const FORMS = 6;
  const ENDS = 62;
  const MORE = 31;

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
  const parts = (line) => (line === '' ? NONE : line.split('\v'));

  /** @type {string[]} */
  const NONE = [];

  /** @param {string[]} coded */
  function frontDecode(coded) {
    let before = '';
    return coded.map((line) => (before = before.slice(0, line.charCodeAt(0) - 65) + line.slice(1)));
  }

  /** Words that only their capitals divide. @param {string} coded */
  function frontDecodeWords(coded) {
    const words = [];
    let before = '';
    for (let from = 0, at = 1; at <= coded.length; at++) {
      const unit = at === coded.length ? 65 : coded.charCodeAt(at);
      if (unit < 65 || unit > 90) continue;
      before = before.slice(0, coded.charCodeAt(from) - 65) + coded.slice(from + 1, at);
      words.push(before);
      from = at;
    }
    return words;
  }

  /** The id that an address says: its last part, without `.html`. @param {string} address */
  const nameOf = (address) => address.slice(address.lastIndexOf('/') + 1, address.endsWith('.html') ? -5 : undefined);

  /** A title's first words as an id has them: plain letters and figures, with hyphens between. @param {string} title @param {number} most */
  function idWords(title, most) {
    let words = '';
    for (let at = 0, from = -1, count = 0; count < most && at <= title.length; at++) {
      const unit = at < title.length ? title.charCodeAt(at) | 32 : 32;
      // A figure has the bit already; a letter has it when it is small.
      if ((unit >= 97 && unit <= 122) || (unit >= 48 && unit <= 57 && title.charCodeAt(at) >= 48)) {
        if (from < 0) from = at;
      } else if (from >= 0) {
        words += (count++ > 0 ? '-' : '') + title.slice(from, at).toLowerCase();
        from = -1;
      }
    }
    return words;
  }

  /**
   * Where a document's page is. Written out, or told by the folder of the last one that is and so many words of the title.
   * @param {SearchIndex} index @param {number} document
   */
  function addressOf(index, document) {
    const { codes, titles } = index;
    const code = codes[document];
    if (code >= 'A') return code.slice(1);
    if (index.written === null) {
      index.written = new Uint32Array(index.count);
      for (let at = 0, last = 0; at < index.count; at++) index.written[at] = last = codes[at] >= 'A' ? at : last;
    }
    const last = codes[index.written[document]];
    const folder = last >= 'A' ? last.slice(1, last.lastIndexOf('/') + 1) : '';
    return `${folder}${idWords(titles[document], code === '' ? Infinity : Number(code))}.html`;
  }

  /** @param {SearchIndex} index @param {number} document */
  const idOf = (index, document) => index.ids[document] || nameOf(addressOf(index, document));

  /** Each surface word's stem and which of its forms it is, and how many forms each stem has. @param {any} bits @param {number} surfaces @param {number} stems */
  function readStems(bits, surfaces, stems) {
    const stemOf = new Uint32Array(surfaces);
    const formOf = new Uint8Array(surfaces);
    const formCounts = new Uint8Array(stems);
    for (let i = 0, next = 0; i < surfaces; i++) {
      const stem = bits.bit() === 0 ? next++ : next - 1 - bits.gamma();
      if (stem < 0 || stem >= stems) throw new RangeError('damaged');
      const forms = formCounts[stem];
      stemOf[i] = stem;
      formOf[i] = forms < FORMS ? forms : FORMS - 1;
      if (forms < FORMS) formCounts[stem] = forms + 1;
    }
    return { stemOf, formOf, formCounts };
  }

  /** @param {any} bits @param {number} stems */
  function readFrequencies(bits, stems) {
    const frequencies = new Uint32Array(stems);
    for (let i = 0; i < stems; i++) {
      const frequency = bits.gamma();
      frequencies[i] = frequency < 2 ? 1 - frequency : frequency;
    }
    return frequencies;
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
      const head = reader.many(8 + FIELDS);
      const count = head[1];
      const [postings, texts, starts, surfaces, stems] = head.subarray(3 + FIELDS);
      const kindOf = reader.many(count);
      const lengths = reader.many(count * FIELDS);
      const counts = reader.many(postings + texts + starts);
      if (stems > words.numbers.length * 6) throw new RangeError('damaged');
      if (surfaces > words.numbers.length * 6) throw new RangeError('damaged');
      const bits = new Bits(words.numbers, reader.at);
      const stemming = readStems(bits, surfaces, stems);
      const frequencies = readFrequencies(bits, stems);
      const sections = words.text.split('\f');
      const kinds = lines(sections[0]);
      const titles = lines(sections[2]);
      const [codes, ids] = [lines(sections[4]), lines(sections[5])];
      /** @type {SearchIndex} */
      const index = {
        count, lead: head[2], totals: [...head.subarray(3, 3 + FIELDS)], kinds, background: lines(sections[1]).map((kind) => kinds.indexOf(kind)), kindOf, lengths, titles,
        names: lines(sections[3]).map(parts), codes, written: null, ids,
        surfaces: frontDecodeWords(sections[6]), ...stemming, frequencies,
        groups: lines(sections[7]).map((line) => line.split('\v').map((name) => name.split(' '))),
        compounds: lines(sections[8]).map((line) => line.split(' ')),
        starts: frontDecode(lines(sections[9])),
        postings: ranges(lines(sections[10]), counts),
        texts: ranges(lines(sections[11]), counts.subarray(postings)),
        startLists: ranges(lines(sections[12]), counts.subarray(postings + texts)),
        lists: new Map(),
      };
      const whole = head[0] === VERSION && [titles, index.names, codes, ids].every((list) => list.length === count)
        && index.surfaces.length === surfaces && kindOf.every((kind) => kind < kinds.length)
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
    range.data = { numbers: file.numbers, lines: lines(file.text), shard: null };
    return true;
  }

  /** What a file of postings has; null if it is missing or damaged. @param {SearchIndex} index @param {Part} range @returns {Shard | null} */
  function shardOf(index, range) {
    if (range.failed || !fill(range) || range.data === null) return null;
    const { data } = range;
    if (data.shard === null) {
      try {
        data.shard = readShard(data.numbers, index.frequencies.subarray(range.from, range.to), index.count);
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

  Object.assign(blueconeSearch, { take, openIndex, addressOf, idOf, rangeOf, fill, prepare, postingsOf, postingOf, wholeShard, countsOf, startOf, textOf });
})();
