// @ts-check
// The postings of a range of stems, from the row of bits that the press writes. Its layout is written down there: `columns.rs` and
// `bits.rs` of the search folder.
'use strict';

/**
 * @typedef {{
 *   count: number, starts: Uint32Array, documents: Uint16Array | Uint32Array, body: Uint16Array | Uint32Array, named: Uint32Array, others: Uint32Array,
 *   forms: Uint8Array, placesAt: Uint32Array, places: Uint16Array, rest: any,
 * }} Shard the postings of several stems, one after another: where each stem's begin; document and body count of each; which have the stem
 *   in title, other names or figures, and their three counts. Forms and places are read when they are first asked for; until then `rest`
 *   has them
 * @typedef {{ shard: Shard, from: number, to: number, named: number, frequencies: number[] }} Postings one stem's part of a shard: from..to,
 *   and where its part of `named` begins; in how many documents it is by field (title, other names, figures, body)
 */

(() => {
  const { Bits } = blueconeSearch;

  /** From here on what a count is above the least is written out. */
  const LEVELS = 8;
  const FORMS = 6;

  /**
   * Documents and counts of a range of stems.
   * @param {string} code @param {Uint32Array} frequencies of the stems @param {number} count of all documents @returns {Shard}
   */
  function readShard(code, frequencies, count) {
    const starts = new Uint32Array(frequencies.length + 1);
    let longest = 0;
    for (let i = 0; i < frequencies.length; i++) {
      starts[i + 1] = starts[i] + frequencies[i];
      longest = Math.max(longest, frequencies[i]);
    }
    const all = starts[frequencies.length];
    const bits = new Bits(code);
    if (longest > count) throw new RangeError('damaged');
    const documents = count <= 0x10000 ? new Uint16Array(all) : new Uint32Array(all);
    for (let i = 0; i < frequencies.length; i++) bits.set(frequencies[i], count, documents, starts[i]);
    /** @type {Uint16Array | Uint32Array} */
    let body = new Uint16Array(all).fill(1);
    /** @type {number[]} */
    const named = [];
    /** @type {number[]} */
    const others = [];
    const marked = new Uint32Array(longest);
    const left = new Uint32Array(longest);
    for (let i = 0; i < frequencies.length; i++) {
      const from = starts[i];
      const names = bits.marks(frequencies[i], marked);
      const first = others.length;
      for (let at = 0; at < names; at++) {
        named.push(from + marked[at]);
        others.push(1, 0, 0);
        body[from + marked[at]] = 0;
      }
      const unusual = bits.marks(names, marked);
      for (let at = 0; at < unusual; at++) {
        for (let field = 0; field < 3; field++) others[first + 3 * marked[at] + field] = bits.gamma();
      }
      // Which postings are above the level so far.
      let above = bits.marks(frequencies[i], left);
      for (let level = 1; above > 0; level++) {
        for (let at = 0; at < above; at++) body[from + left[at]]++;
        if (level === LEVELS) break;
        const higher = bits.marks(above, marked);
        for (let at = 0; at < higher; at++) left[at] = left[marked[at]];
        above = higher;
      }
      for (let at = 0; at < above; at++) {
        const more = bits.gamma();
        if (more > 0xff00 && body instanceof Uint16Array) body = Uint32Array.from(body);
        body[from + left[at]] += more;
      }
    }
    const empty = new Uint32Array(0);
    return {
      count, starts, documents, body, named: Uint32Array.from(named), others: Uint32Array.from(others), forms: new Uint8Array(0), placesAt: empty,
      places: new Uint16Array(0), rest: bits,
    };
  }

  /**
   * Reads the last two columns of a shard. Damage leaves them empty from there on.
   * @param {Shard} shard @param {Uint8Array} formCounts of its stems @param {number} lead
   */
  function readRest(shard, formCounts, lead) {
    const { starts, documents, body, named, others, rest: bits } = shard;
    if (bits === null) return;
    shard.rest = null;
    const all = documents.length;
    const forms = shard.forms = new Uint8Array(all).fill(1);
    const placesAt = shard.placesAt = new Uint32Array(all + 1);
    /** By posting: how often in all, and how often in figures and body. */
    const often = Uint32Array.from(body);
    const placed = Uint32Array.from(body);
    for (let i = 0; i < named.length; i++) {
      often[named[i]] += others[3 * i] + others[3 * i + 1] + others[3 * i + 2];
      placed[named[i]] += others[3 * i + 2];
    }
    let longest = 0;
    for (let i = 1; i < starts.length; i++) longest = Math.max(longest, starts[i] - starts[i - 1]);
    const marked = new Uint32Array(longest);
    const some = new Uint32Array(longest);
    let places = new Uint16Array(all);
    let filled = 0;
    try {
      for (let i = 0; i < formCounts.length; i++) {
        const count = Math.min(formCounts[i], FORMS);
        if (count < 2) continue;
        const [from, to] = [starts[i], starts[i + 1]];
        let once = 0;
        for (let at = from; at < to; at++) if (often[at] === 1) some[once++] = at;
        for (let form = 0; form < count - 1; form++) {
          const those = bits.marks(once, marked);
          let kept = 0;
          for (let at = 0, next = 0; at < once; at++) {
            if (next < those && marked[next] === at) {
              forms[some[at]] = 1 << form;
              next++;
            } else {
              some[kept++] = some[at];
            }
          }
          once = kept;
        }
        for (let at = 0; at < once; at++) forms[some[at]] = 1 << (count - 1);
        let several = 0;
        for (let at = from; at < to; at++) {
          if (often[at] === 1) continue;
          forms[at] = 0;
          some[several++] = at;
        }
        for (let form = 0; form < count; form++) {
          const those = bits.marks(several, marked);
          for (let at = 0; at < those; at++) forms[some[marked[at]]] |= 1 << form;
        }
      }
      for (let i = 1; i < starts.length; i++) {
        let bodied = 0;
        for (let at = starts[i - 1]; at < starts[i]; at++) if (placed[at] > 0) some[bodied++] = at;
        const those = bits.marks(bodied, marked);
        let next = 0;
        for (let at = starts[i - 1]; at < starts[i]; at++) {
          placesAt[at] = filled;
          if (next === those || some[marked[next]] !== at) continue;
          next++;
          const count = bits.below(placed[at]) + 1;
          if (count > lead) throw new RangeError('damaged');
          if (filled + count > places.length) {
            const more = new Uint16Array(2 * places.length + count);
            more.set(places);
            places = more;
          }
          bits.set(count, lead, places, filled);
          filled += count;
        }
      }
      placesAt[all] = filled;
    } catch {
      // As far as it goes: what comes after has none.
      for (let at = 1; at <= all; at++) placesAt[at] = Math.max(placesAt[at], placesAt[at - 1]);
    }
    shard.places = places;
  }

  Object.assign(blueconeSearch, { readShard, readRest });
})();
