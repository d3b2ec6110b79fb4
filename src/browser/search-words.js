// @ts-check
// Text to words, as tantivy's analysers split and fold it. The rules are written down in the press: `words.rs` of its search folder.
'use strict';

/**
 * @typedef {{ word: string, from: number, to: number }} Token
 */

(() => {
  /** Words of this many UTF-8 bytes or more are dropped. */
  const LONG = 40;
  const SHORT_NOTS = new Set('aint arent cannot cant couldnt didnt doesnt dont hasnt isnt wont wouldnt'.split(' '));
  /** What tantivy's ASCII folding does beyond taking marks off: the folded letters, a colon, what folds to them. */
  const FOLDED = [
    '2:²₂②⓶❷➁➋２ 3:³₃③⓷❸➂➌３ 1:¹₁①⓵❶➀➊１ ae:æǣǽᴁᴂ d:ðđɖɗƌȡᴅᴆᵭᶁᶑⓓꝺｄ o:øɔɵǿᴏᴐᴖᴗᶗₒⓞⱺꝋꝍｏ th:þᵺꝧ ss:ß h:ħɥɦʜʮʯⓗⱨⱶｈ i:ıɨɪᴉᵢᵻᵼᶖⁱⓘꟾｉ ij:ĳ',
    'q:ĸɋʠⓠꝗꝙｑ l:ŀłƚȴɫɬɭʟᴌᶅⓛⱡꝇꝉꞁｌ n:ŉŋɲƞȵɳɴᴎᵰᶇⁿⓝｎ oe:œɶᴔ t:ŧƫƭʈȶⱦʇᴛᵵⓣｔ s:ſȿʂᵴᶊẜẝⓢꜱꞅｓ b:ƀɓƃʙᴃᵬᶀⓑｂ c:ƈȼɕʗᴄↄⓒꜿｃ e:ǝɛɇɘɜɝɞʚᴇᴈᶒᶓᶔₑⓔⱸⱻｅ',
    'a:əⱥɐɚᴀᶏᶕẚₐₔⓐａ f:ƒᵮᶂẛⓕꜰꝼꟻｆ g:ɠǥɡɢʛᵷᵹᶃⓖꝿｇ hv:ƕ k:ƙʞᴋᶄⓚⱪꝁꝃꝅｋ m:ɯɰɱᴍᵯᶆⓜꟽꟿｍ p:ƥᴘᵱᵽᶈⓟꝑꝓꝕꟼｐ r:ʀɍɼɽɾɿʁᴙᴚᵣᵲᵳᶉⓡꝛꞃｒ v:ʋʌᴠᵥᶌⓥⱱⱴꝟｖ',
    'y:ƴɏʎʏỿⓨｙ z:ƶȝȥɀʐʑᴢᵶᶎⓩⱬꝣｚ w:ƿʍᴡⓦⱳｗ dz:ǆǳʣʥ lj:ǉ nj:ǌ ou:ȣᴕ j:ȷɉɟʄʝᴊⓙⱼｊ db:ȸ qp:ȹ u:ʉᴜᵤᵾᶙⓤｕ ts:ʦ tc:ʨ ls:ʪ lz:ʫ ue:ᵫ x:ᶍₓⓧｘ',
    'll:ỻ 0:⁰₀⓪⓿０ 4:⁴₄④⓸❹➃➍４ 5:⁵₅⑤⓹❺➄➎５ 6:⁶₆⑥⓺❻➅➏６ 7:⁷₇⑦⓻❼➆➐７ 8:⁸₈⑧⓼❽➇➑８ 9:⁹₉⑨⓽❾➈➒９ 10:⑩⓾❿➉➓ 11:⑪⓫ 12:⑫⓬ 13:⑬⓭ 14:⑭⓮ 15:⑮⓯ 16:⑯⓰',
    '17:⑰⓱ 18:⑱⓲ 19:⑲⓳ 20:⑳⓴ (1):⑴ (2):⑵ (3):⑶ (4):⑷ (5):⑸ (6):⑹ (7):⑺ (8):⑻ (9):⑼ (10):⑽ (11):⑾ (12):⑿ (13):⒀ (14):⒁ (15):⒂ (16):⒃',
    '(17):⒄ (18):⒅ (19):⒆ (20):⒇ 1.:⒈ 2.:⒉ 3.:⒊ 4.:⒋ 5.:⒌ 6.:⒍ 7.:⒎ 8.:⒏ 9.:⒐ 10.:⒑ 11.:⒒ 12.:⒓ 13.:⒔ 14.:⒕ 15.:⒖ 16.:⒗ 17.:⒘ 18.:⒙',
    '19.:⒚ 20.:⒛ tz:ꜩ aa:ꜳ ao:ꜵ au:ꜷ av:ꜹꜻ ay:ꜽ oo:ꝏ vy:ꝡ ff:ﬀ fi:ﬁ fl:ﬂ ffi:ﬃ ffl:ﬄ st:ﬆ',
  ].join(' ');
  /** @type {Map<string, string>} */
  const folds = new Map();

  /** @param {string} letter */
  function foldLetter(letter) {
    if (folds.size === 0) {
      for (const entry of FOLDED.split(' ')) {
        const [folded, letters] = entry.split(':');
        for (const each of letters) folds.set(each, folded);
      }
    }
    const known = folds.get(letter);
    if (known !== undefined) return known;
    const bare = letter.normalize('NFD').replace(/\p{M}/gu, '');
    const folded = /^[\x21-\x7e]+$/.test(bare) ? bare : letter;
    folds.set(letter, folded);
    return folded;
  }

  /** @param {string} word */
  function fold(word) {
    const folded = /^[\x00-\x7f]*$/.test(word) ? word.toLowerCase() : foldLetters(word);
    return SHORT_NOTS.has(folded) ? 'not' : folded;
  }

  /** @param {string} word */
  function foldLetters(word) {
    let folded = '';
    for (const letter of word) {
      for (const lower of letter.toLowerCase()) folded += foldLetter(lower);
    }
    return folded.replace(/[µμ]/g, 'u').replace(/ω/g, 'ohm').replace(/[A-Z]/g, (capital) => capital.toLowerCase());
  }

  /** @param {string} word */
  function isLong(word) {
    if (word.length * 3 < LONG) return false;
    let bytes = 0;
    for (const letter of word) {
      const code = /** @type {number} */ (letter.codePointAt(0));
      bytes += code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
    }
    return bytes >= LONG;
  }

  /**
   * The folded words of a text, with the code units where each was written.
   * @param {string} text
   * @returns {Token[]}
   */
  function split(text) {
    /** @type {{ from: number, to: number }[]} */
    const runs = [];
    // In plain text the two say the same, and the first is quicker.
    for (const match of text.matchAll(/^[\x00-\x7f]*$/.test(text) ? /[A-Za-z0-9]+/g : /[\p{Alphabetic}\p{N}]+/gu)) {
      const from = match.index ?? 0;
      runs.push({ from, to: from + match[0].length });
    }
    /** @type {Token[]} */
    const tokens = [];
    /** @param {string} word @param {number} from @param {number} to */
    const push = (word, from, to) => {
      if (!isLong(word)) tokens.push({ word: fold(word), from, to });
    };
    splitRuns(text, runs, push);
    return tokens;
  }

  /**
   * @param {string} text
   * @param {{ from: number, to: number }[]} runs
   * @param {(word: string, from: number, to: number) => void} push
   */
  function splitRuns(text, runs, push) {
    /** @param {number} at */
    const digits = (at) => {
      if (at >= runs.length) return 0;
      let end = runs[at].from;
      while (end < runs[at].to && text[end] >= '0' && text[end] <= '9') end++;
      return end - runs[at].from;
    };
    /** What stands between run `at` and the next, if it is one unit. @param {number} at */
    const mark = (at) => (at + 1 < runs.length && runs[at + 1].from === runs[at].to + 1 ? text[runs[at].to] : '');
    /** Whether an apostrophe and this letter alone come after run `at`. @param {number} at @param {string} end */
    const tail = (at, end) => /^['\u2019]$/.test(mark(at)) && text.slice(runs[at + 1].from, runs[at + 1].to).toLowerCase() === end;
    /** @param {number} at */
    const letter = (at) => at < runs.length && runs[at].to === runs[at].from + 1 && /[a-z]/i.test(text[runs[at].from]);
    for (let at = 0; at < runs.length; at++) {
      let { from, to } = runs[at];
      let lead = digits(at);
      if (lead === 0) {
        if (/n/i.test(text[to - 1]) && tail(at, 't')) {
          at++;
          push('not', from, runs[at].to);
        } else if (tail(at, 's')) {
          at++;
          push(text.slice(from, to), from, runs[at].to);
        } else if (letter(at) && mark(at) === '.' && letter(at + 1)) {
          let word = text.slice(from, to);
          for (; mark(at) === '.' && letter(at + 1); at++) word += text[runs[at + 1].from];
          push(word, from, runs[at].to);
        } else {
          push(text.slice(from, to), from, to);
        }
        continue;
      }
      let start = from;
      let whole = text.slice(from, from + lead);
      let fraction = '';
      // A point right before, itself after a space or the like: `.187`.
      if (from > 0 && text[from - 1] === '.' && (at === 0 || runs[at - 1].to < from - 1)) {
        start = from - 1;
        fraction = whole;
        whole = '0';
      } else {
        const grouped = whole.length <= 3;
        while (grouped && from + lead === to && mark(at) === ',' && digits(at + 1) === 3) {
          at++;
          ({ from, to } = runs[at]);
          lead = 3;
          whole += text.slice(from, from + 3);
        }
        if (from + lead === to && mark(at) === '.' && digits(at + 1) > 0) {
          at++;
          ({ from, to } = runs[at]);
          lead = digits(at);
          fraction = text.slice(from, from + lead);
        }
      }
      while (fraction.endsWith('0')) fraction = fraction.slice(0, -1);
      push(fraction === '' ? whole : whole + '.' + fraction, start, from + lead);
      if (from + lead < to) push(text.slice(from + lead, to), from + lead, to);
      else if (text[to] === '%') push('percent', to, to + 1);
    }
  }

  // The one global name that the search scripts share.
  Object.assign(globalThis, { blueconeSearch: { split } });
})();
