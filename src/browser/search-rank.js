// @ts-check
// The order of results. The rules are written down in the press: `rank.rs` of its search folder, which these functions follow line
// for line.
'use strict';

/**
 * @typedef {{ document: number, exact: boolean, matched: number, lifted: boolean, bm25: number, score: number }} Ranked lifted: it comes
 *   first for having all the words
 * @typedef {{ total: number, kinds: number[], ranked: Ranked[] }} Ranking how many match, how many of each kind, and the first of them
 */

(() => {
  const { postingsOf, startOf, kindOf, lengthOf, closeness, isExact, adjacent, OWN } = blueconeSearch;

  const K1 = 1.2;
  const B = 0.75;
  const FIELDS = 4;
  const BODY = 3;
  const FIELD_WEIGHTS = [2, 1.4, 1.2, 1];
  const BACKGROUND = 0.6;
  /** Added to the key of a document that is lifted; more than any score a million times over. */
  const WHOLE = 2 ** 51;
  const CLOSE = 50;
  const CLOSE_NAMES = 150;

  /** A value for each document that was asked for; kept between searches so that nothing is allocated while typing. */
  class Tally {
    /** @param {number} count */
    constructor(count) {
      this.matched = new Uint8Array(count);
      this.named = new Uint8Array(count);
      this.scores = new Float64Array(count);
      this.touched = new Uint32Array(count);
      this.length = 0;
    }

    /** @param {number} document */
    touch(document) {
      if (this.matched[document] === 0) this.touched[this.length++] = document;
    }

    clear() {
      for (let i = 0; i < this.length; i++) {
        const document = this.touched[i];
        this.matched[document] = this.named[document] = this.scores[document] = 0;
      }
      this.length = 0;
    }
  }

  /**
   * @typedef {{
   *   sums: Tally, segment: Tally, word: Tally, scores: Float64Array, norms: Float64Array, kinds: Uint8Array, lengths: Uint8Array, found: Row, named: Row,
   * }} Scratch `kinds` and `lengths` (codes of the body's) by document: small, since a letter after a pause finds nothing of them in the
   *   processor's caches
   * @typedef {{ documents: Uint32Array, keys: Float64Array, length: number }} Row documents with the keys that they are ordered by
   */
  /** @type {WeakMap<SearchIndex, Scratch>} */
  const memory = new WeakMap();

  /** @param {SearchIndex} index */
  function scratch(index) {
    let known = memory.get(index);
    if (known === undefined) {
      const norms = new Float64Array(FIELDS * 256);
      for (let field = 0; field < FIELDS; field++) {
        const average = index.totals[field] / index.count;
        for (let code = 0; code < 256; code++) norms[field * 256 + code] = K1 * (1 - B + (B * fieldLength(code)) / average);
      }
      const tally = () => new Tally(index.count);
      const row = () => ({ documents: new Uint32Array(index.count), keys: new Float64Array(index.count), length: 0 });
      const kinds = new Uint8Array(index.count);
      const lengths = new Uint8Array(index.count);
      for (let document = 0; document < index.count; document++) {
        kinds[document] = kindOf(index, document);
        lengths[document] = lengthOf(index, document, BODY);
      }
      const scores = new Float64Array(index.count);
      memory.set(index, known = { sums: tally(), segment: tally(), word: tally(), scores, norms, kinds, lengths, found: row(), named: row() });
    }
    return known;
  }

  /** Orders the documents that have at least one word of the plan. @param {SearchIndex} index @param {Plan} plan */
  const rank = (index, plan) => search(index, plan, Infinity).ranked;

  /**
   * The first `limit` of the documents that have at least one word of the plan, of one kind or of all. Words whose file is missing
   * count as not found.
   * @param {SearchIndex} index @param {Plan} plan @param {number} limit @param {number} kind by its number, or -1
   * @returns {Ranking}
   */
  function search(index, plan, limit, kind = -1) {
    const kinds = new Array(index.kinds.length).fill(0);
    if (plan.start !== null) {
      const { total, documents } = startOf(index, plan.start) ?? { total: 0, documents: [] };
      return { total, kinds, ranked: documents.map((document) => ({ document, exact: false, matched: 1, lifted: true, bm25: 0, score: 0 })) };
    }
    const { sums, kinds: kindsOf, found, named } = scratch(index);
    for (const segment of plan.segments) addSegment(index, plan, segment);
    const all = plan.words.length;
    const shares = kinds.map((_, at) => (index.background.includes(at) ? BACKGROUND : 1));
    /** @param {number} document */
    const weightOf = (document) => ((sums.scores[document] * sums.matched[document]) / all) * shares[kindsOf[document]];
    /** @param {number} document */
    const isLifted = (document) => sums.matched[document] === all && (all === 1 || sums.named[document] > 0);
    found.length = named.length = 0;
    for (let i = 0; i < sums.length; i++) {
      const document = sums.touched[i];
      const own = kindsOf[document];
      kinds[own]++;
      if (kind >= 0 && own !== kind) continue;
      const key = rounded(weightOf(document)) + (isLifted(document) ? WHOLE : 0);
      push(found, document, key);
      if (sums.named[document] >= all) push(named, document, key);
    }
    const total = found.length;
    const first = best(found, Math.max(limit, CLOSE));
    const near = first.slice(0, CLOSE);
    const close = new Set(near);
    const namings = named.length;
    named.length = 0;
    for (let i = 0; i < namings; i++) if (!close.has(named.documents[i])) push(named, named.documents[i], named.keys[i]);
    near.push(...best(named, CLOSE_NAMES));
    const looked = closeness(index, plan, near);
    /** @type {Ranked[]} */
    const ranked = [];
    near.forEach((document, at) => {
      const matched = sums.matched[document];
      const exact = matched === all && isExact(index, document, plan.key);
      close.add(document);
      ranked.push({ document, exact, matched, lifted: isLifted(document), bm25: sums.scores[document], score: weightOf(document) * looked[at] });
    });
    for (const document of first) {
      if (close.has(document)) continue;
      ranked.push({
        document, exact: false, matched: sums.matched[document], lifted: isLifted(document), bm25: sums.scores[document], score: weightOf(document),
      });
    }
    sums.clear();
    ranked.sort((a, b) => Number(b.exact) - Number(a.exact) || Number(b.lifted) - Number(a.lifted)
      || rounded(b.score) - rounded(a.score) || a.document - b.document);
    return { total, kinds, ranked: ranked.slice(0, limit) };
  }

  /** @param {number} score */
  const rounded = (score) => Math.round(score * 1e6);

  /** @param {Row} row @param {number} document @param {number} key */
  function push(row, document, key) {
    row.documents[row.length] = document;
    row.keys[row.length++] = key;
  }

  /**
   * The first `count` documents by falling key, then rising number, without putting the others in order.
   * @param {Row} row @param {number} count
   */
  function best({ documents, keys, length }, count) {
    /** @param {number} a @param {number} b places */
    const before = (a, b) => keys[b] - keys[a] || documents[a] - documents[b];
    /** A heap of places whose top is the last of the best so far. @type {number[]} */
    const heap = [];
    for (let one = 0; one < length; one++) {
      if (heap.length < count) {
        let at = heap.push(one) - 1;
        for (let up = (at - 1) >> 1; at > 0 && before(heap[up], one) < 0; up = (at - 1) >> 1) {
          heap[at] = heap[up];
          at = up;
        }
        heap[at] = one;
      } else if (keys[one] >= keys[heap[0]] && before(one, heap[0]) < 0) {
        let at = 0;
        for (let down = 1; down < count; down = 2 * at + 1) {
          if (down + 1 < count && before(heap[down], heap[down + 1]) < 0) down++;
          if (before(one, heap[down]) >= 0) break;
          heap[at] = heap[down];
          at = down;
        }
        heap[at] = one;
      }
    }
    return heap.sort(before).map((place) => documents[place]);
  }

  /** Adds one tally to another and empties it. @param {Tally} from @param {Tally} to */
  function pour(from, to) {
    for (let i = 0; i < from.length; i++) {
      const document = from.touched[i];
      to.touch(document);
      to.matched[document] += from.matched[document];
      to.scores[document] += from.scores[document];
      to.named[document] += from.named[document];
    }
    from.clear();
  }

  /** Adds a stretch of the query to the sums. @param {SearchIndex} index @param {Plan} plan @param {Segment} segment */
  function addSegment(index, plan, segment) {
    const { sums, segment: several, word: own, scores } = scratch(index);
    // A word that is nothing but itself needs no comparing.
    const sum = segment.alternatives.length === 0 ? sums : several;
    for (const word of plan.words.slice(segment.from, segment.to)) {
      // The first needs no adding.
      if (sum.length === 0) {
        addWord(index, word, sum);
        continue;
      }
      addWord(index, word, own);
      pour(own, sum);
    }
    if (sum === sums) return;
    const length = segment.to - segment.from;
    for (const { stems, factor, adjacent: next } of segment.alternatives) {
      for (const stem of stems) {
        const list = postingsOf(index, stem);
        if (list === null) continue;
        const { shard: { documents, named, others }, from, to } = list;
        scoreList(index, list, list.frequencies);
        for (let at = from; at < to; at++) {
          const document = documents[at];
          own.touch(document);
          own.matched[document] += 1;
          own.scores[document] += scores[at - from];
        }
        for (let i = list.named; i < named.length && named[i] < to; i++) {
          if (others[3 * i] > 0 || others[3 * i + 1] > 0) own.named[documents[named[i]]] += 1;
        }
      }
      for (let i = 0; i < own.length; i++) {
        const document = own.touched[i];
        if (own.matched[document] < stems.length || (next && !adjacent(index, document, stems))) continue;
        sum.touch(document);
        if (own.named[document] === own.matched[document]) sum.named[document] = Math.max(sum.named[document], length);
        const score = own.scores[document] * factor;
        if (length > sum.matched[document] || (length === sum.matched[document] && score > sum.scores[document])) {
          sum.matched[document] = length;
          sum.scores[document] = score;
        }
      }
      own.clear();
    }
    pour(sum, sums);
  }

  /** Puts a word into an empty tally. @param {SearchIndex} index @param {Word} word @param {Tally} sum */
  function addWord(index, word, sum) {
    const { scores } = scratch(index);
    const shared = [0, 0, 0, 0];
    for (const { stem, how } of word.expansions) {
      if (how !== OWN) postingsOf(index, stem)?.frequencies.forEach((own, field) => (shared[field] = Math.max(own, shared[field])));
    }
    for (const { stem, how, factor } of word.expansions) {
      const list = postingsOf(index, stem);
      if (list === null) continue;
      const { shard: { documents, named, others }, from, to } = list;
      scoreList(index, list, how === OWN ? list.frequencies : shared);
      for (let at = from; at < to; at++) {
        const document = documents[at];
        const score = factor * scores[at - from];
        sum.touch(document);
        sum.matched[document] = 1;
        if (score > sum.scores[document]) sum.scores[document] = score;
      }
      for (let i = list.named; i < named.length && named[i] < to; i++) {
        if (others[3 * i] > 0 || others[3 * i + 1] > 0) sum.named[documents[named[i]]] = 1;
      }
    }
  }

  /** @param {number} code */
  function fieldLength(code) {
    if (code < 24) return code;
    const [bits, shift] = [(code - 24) & 7, (code - 24) >> 3];
    return 24 + (shift === 0 ? bits : (bits | 8) * 2 ** (shift - 1));
  }

  /**
   * The weighted BM25 of each posting of a list, into the scratch's scores.
   * @param {SearchIndex} index @param {Postings} list @param {number[]} frequencies
   */
  function scoreList(index, { shard: { documents, body, named, others }, from, to, named: first }, frequencies) {
    const { norms, lengths, scores } = scratch(index);
    const weights = frequencies.map((n, field) => FIELD_WEIGHTS[field] * Math.log(1 + (index.count - n + 0.5) / (n + 0.5)) * (K1 + 1));
    const weight = weights[BODY];
    for (let at = from; at < to; at++) {
      const count = body[at];
      scores[at - from] = count > 0 ? weight * (count / (count + norms[BODY * 256 + lengths[documents[at]]])) : 0;
    }
    for (let i = first; i < named.length && named[i] < to; i++) {
      const document = documents[named[i]];
      let score = 0;
      for (let field = 0; field < BODY; field++) {
        const count = others[3 * i + field];
        if (count > 0) score += weights[field] * (count / (count + norms[field * 256 + lengthOf(index, document, field)]));
      }
      scores[named[i] - from] += score;
    }
  }

  Object.assign(blueconeSearch, { rank, search });
})();
