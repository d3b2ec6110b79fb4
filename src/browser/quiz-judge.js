// The part of the quiz that needs no page: reading numbers, judging answers, drawing items, the record.
// A classic script; it gives one name, `blueconeJudge`.
"use strict";

var blueconeJudge = (function () {
  /**
   * Reads a typed number.
   * @param {string} typed
   * @param {string} unit the unit that stands beside the field; it may be typed as well
   * @returns {{ value: number } | { problem: string }} a plain sentence says what is wrong
   */
  function readNumber(typed, unit) {
    let text = typed.trim().replace(/[\u2212\u2013]/g, "-");
    if (unit && text.toLowerCase().endsWith(unit.toLowerCase())) {
      text = text.slice(0, -unit.length).trim();
    }
    text = text.replace(/(\d)[ \u00a0\u2009\u202f](?=\d{3}(?!\d))/g, "$1");
    if (text === "") {
      return { problem: "Type a number first." };
    }
    if (text.includes(",")) {
      return { problem: "Leave the comma out. Use a point for decimals, such as 3.5, and nothing between thousands." };
    }
    if (/[^0-9.+\-\s]/.test(text)) {
      const beside = unit ? " The unit is already there: " + unit + "." : "";
      return { problem: "Type digits only, such as 3.5." + beside };
    }
    if (!/^[+-]?(\d+\.?\d*|\.\d+)$/.test(text)) {
      return { problem: "That is not one number. Type digits with at most one point, such as 3.5." };
    }
    return { value: Number(text) };
  }

  /**
   * Whether an answer is right: the option's position, the steps as they now stand, or the number.
   * @param {QuizVariant} variant
   * @param {number | string[]} answer
   * @returns {boolean}
   */
  function isRight(variant, answer) {
    if (variant.kind === "choice") {
      return answer === variant.right;
    }
    if (variant.kind === "order") {
      return Array.isArray(answer) && answer.length === variant.steps.length && variant.steps.every((step, at) => answer[at] === step);
    }
    return typeof answer === "number" && Math.abs(answer - variant.value) <= variant.within;
  }

  /**
   * The right answer in words.
   * @param {QuizVariant} variant
   * @returns {string}
   */
  function rightAnswer(variant) {
    if (variant.kind === "choice") {
      return variant.options[variant.right];
    }
    if (variant.kind === "order") {
      return variant.steps.map((step, at) => at + 1 + ". " + step).join(" ");
    }
    return variant.unit ? variant.worked + "\u00a0" + variant.unit : variant.worked;
  }

  /**
   * A copy in random order.
   * @template T
   * @param {T[]} list
   * @param {() => number} random from 0 up to but not including 1
   * @returns {T[]}
   */
  function shuffled(list, random) {
    const copy = list.slice();
    for (let last = copy.length - 1; last > 0; last -= 1) {
      const other = Math.floor(random() * (last + 1));
      [copy[last], copy[other]] = [copy[other], copy[last]];
    }
    return copy;
  }

  /**
   * A copy in random order that differs from the list, if anything in it differs.
   * @param {string[]} list
   * @param {() => number} random
   * @returns {string[]}
   */
  function disordered(list, random) {
    const copy = shuffled(list, random);
    if (copy.every((step, at) => step === list[at])) {
      copy.push(/** @type {string} */ (copy.shift()));
    }
    return copy;
  }

  /**
   * Draws items: those never seen first, then those last answered wrong, then the rest; asked in random order.
   * @param {QuizItem[]} items
   * @param {number} count
   * @param {QuizRecord} record
   * @param {() => number} random
   * @returns {QuizItem[]}
   */
  function drawn(items, count, record, random) {
    /** @param {QuizItem} item */
    const rank = (item) => {
      const seen = record.seen[item.id];
      return seen ? (seen.right ? 2 : 1) : 0;
    };
    const mixed = shuffled(items, random);
    const chosen = [0, 1, 2].flatMap((wanted) => mixed.filter((item) => rank(item) === wanted)).slice(0, count);
    return shuffled(chosen, random);
  }

  /**
   * The record out of its text; an empty one if there is none or it cannot be read.
   * @param {string | null} text
   * @returns {QuizRecord}
   */
  function readRecord(text) {
    /** @type {QuizRecord} */
    const record = { best: Object.create(null), seen: Object.create(null) };
    try {
      const read = JSON.parse(text || "{}");
      for (const [topics, best] of Object.entries(read.best || {})) {
        if (best && Number.isInteger(best.right) && Number.isInteger(best.of) && best.of > 0 && best.right >= 0 && best.right <= best.of) {
          record.best[topics] = { right: best.right, of: best.of };
        }
      }
      for (const [item, seen] of Object.entries(read.seen || {})) {
        if (seen && Number.isInteger(seen.times) && typeof seen.right === "boolean") {
          record.seen[item] = { times: seen.times, right: seen.right };
        }
      }
    } catch (_) {
      // Someone else's text, or half of one: begin afresh.
    }
    return record;
  }

  /**
   * Takes a result into the record.
   * @param {QuizRecord} record
   * @param {string} topics
   * @param {number} right
   * @param {number} of
   * @returns {boolean} whether it is the best so far
   */
  function keepBest(record, topics, right, of) {
    const before = record.best[topics];
    if (before && before.right * of >= right * before.of) {
      return false;
    }
    record.best[topics] = { right, of };
    return true;
  }

  return { readNumber, isRight, rightAnswer, shuffled, disordered, drawn, readRecord, keepBest };
})();
