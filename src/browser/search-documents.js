// @ts-check
// What the index says of each document, read when it is asked for. Its layout is written down in the press: `pack.rs` of its search
// folder.
'use strict';

/**
 * @typedef {{ at(line: number): string, all(): string[] }} Lines divided when one of them is first asked for
 */

(() => {
  const { DIGITS } = blueconeSearch;

  const FIELDS = 4;
  /** A length that does not fit one digit is on a list of its own. */
  const LONG = 92;

  /** @param {string} section */
  const lines = (section) => section.split('\t').slice(0, -1);

  /** @param {string} section @returns {Lines} */
  function lazyLines(section) {
    /** @type {string[] | null} */
    let divided = null;
    const all = () => (divided ??= lines(section));
    return { all, at: (line) => all()[line] ?? '' };
  }

  /** @type {string[]} */
  const NONE = [];

  /** A document's title. @param {SearchIndex} index @param {number} document */
  const titleOf = ({ titles }, document) => titles.at(document);

  /** A document's other names. @param {SearchIndex} index @param {number} document */
  function othersOf({ names }, document) {
    const others = names.at(document);
    return others === '' ? NONE : others.split('\v');
  }

  /** A document's kind, by its number. @param {SearchIndex} index @param {number} document */
  const kindOf = ({ kindDigits }, document) => DIGITS[kindDigits.charCodeAt(document) & 127];

  /** The code of a field's length. @param {SearchIndex} index @param {number} document @param {number} field */
  function lengthOf({ lengthDigits, longs }, document, field) {
    const place = document * FIELDS + field;
    const digit = DIGITS[lengthDigits.charCodeAt(place) & 127];
    return digit < LONG ? digit : longs.get(place) ?? 0;
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
    const code = index.codes.at(document);
    if (code >= 'A') return code.slice(1);
    if (index.written === null) {
      index.written = new Uint32Array(index.count);
      const codes = index.codes.all();
      for (let at = 0, last = 0; at < index.count; at++) index.written[at] = last = codes[at] >= 'A' ? at : last;
    }
    const last = index.codes.at(index.written[document]);
    const folder = last >= 'A' ? last.slice(1, last.lastIndexOf('/') + 1) : '';
    return `${folder}${idWords(titleOf(index, document), code === '' ? Infinity : Number(code))}.html`;
  }

  /** @param {SearchIndex} index @param {number} document */
  const idOf = (index, document) => index.ids.at(document) || nameOf(addressOf(index, document));

  Object.assign(blueconeSearch, { lines, lazyLines, titleOf, othersOf, kindOf, lengthOf, addressOf, idOf });
})();
