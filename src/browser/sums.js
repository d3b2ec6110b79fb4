/**
 * Works the calculators in the page. It does what the press does when it checks the worked examples: the same operations in the
 * same order, the same rounding, the same sentences. A test runs both side by side, so change both or neither.
 *
 * Each calculator's own script calls `bluecone.sum(id, make)`; pages call `bluecone.sums.work(id, given)`.
 *
 * @typedef {[shown: string, code: string, offset: number, numerator: number, denominator: number]} Unit
 * @typedef {number | boolean | string} Value  numbers in SI base units
 * @typedef {Record<string, any>} Names        values by name; reading one without a value throws a Lack
 * @typedef {(string | number)[]} Line         words, and places of inputs and steps
 * @typedef {{id: string, title: string, when?: (v: Names) => boolean, units?: Unit[], from?: number, to?: number, whole?: boolean,
 *   choices?: [string, string][], start: number}} Input
 * @typedef {{id: string, title: string, unit: Unit, digits?: number, work: (v: Names) => Value, line: (v: Names) => Line}} Step
 * @typedef {{on: string, edges?: ((v: Names) => number)[], is?: Value[]}} Verdict
 * @typedef {{title: string, lasts: (v: Names) => number, on: number[], between?: boolean} | {repeat: (v: Names) => number, phases: Phase[]}} Phase
 * @typedef {{inputs: Input[], steps: Step[], verdicts: Verdict[], phases?: Phase[], drawing?: Record<string, (v: Names) => Value>}} Sum
 * @typedef {{title: string, rows: Record<string, Value | null>[]}} Table
 * @typedef {{title: string, start: number, end: number, on: number[]}} Segment  seconds
 * @typedef {{id: string, value: Value | null, says: string, shown: string}} Worked  `says`: why there is no value
 */
(function () {
  "use strict";

  const MOST_SEGMENTS = 500;
  const TYPED = 9;
  const LARGE = "The number is too large to work with.";

  /** There is no value, and this plain sentence says why. */
  class Lack {
    /** @param {string} sentence */
    constructor(sentence) {
      this.sentence = sentence;
    }
  }

  /** @param {string} sentence @returns {never} */
  function lack(sentence) {
    throw new Lack(sentence);
  }

  /** @template T @param {() => T} work @returns {{value: T | null, says: string}} */
  function attempt(work) {
    try {
      return { value: work(), says: "" };
    } catch (error) {
      if (error instanceof Lack) return { value: null, says: error.sentence };
      throw error;
    }
  }

  /** @param {any} value */
  const finite = (value) => (typeof value === "number" && !Number.isFinite(value) ? lack(LARGE) : value);

  // Comparison: what conversions between units leave behind does not count.
  const larger = (a, b) => (b > a ? b : a);
  const alike = (a, b) => Math.abs(a - b) <= 1e-9 * larger(Math.abs(a), Math.abs(b));
  const below = (a, b) => a < b && !alike(a, b);
  const same = (a, b) => (typeof a === "number" ? alike(a, b) : a === b);

  const divide = (a, b) => (b === 0 ? lack("It divides by zero.") : a / b);

  function round(number, step, direction) {
    if (step <= 0) lack("It rounds to a step that is not above zero.");
    const ratio = number / step;
    const nearest = Math.floor(ratio + 0.5);
    return (alike(ratio, nearest) ? nearest : direction(ratio)) * step;
  }

  function power(base, exponent) {
    finite(base), finite(exponent);
    const none = base === 0 ? exponent < 0 : base < 0 && exponent !== Math.floor(exponent);
    return none ? lack("It raises zero or a negative number to a power that has no value.") : Math.pow(base, exponent);
  }

  /** What formulas call; plain arithmetic stands in them as it is. */
  const kit = {
    div: divide,
    pow: power,
    raise(base, exponent) {
      let product = 1;
      for (let times = Math.abs(exponent); times > 0; times--) product *= base;
      return exponent < 0 ? divide(1, product) : product;
    },
    eq: (a, b) => same(finite(a), finite(b)),
    ne: (a, b) => !same(finite(a), finite(b)),
    lt: (a, b) => below(finite(a), finite(b)),
    gt: (a, b) => below(finite(b), finite(a)),
    le: (a, b) => !below(finite(b), finite(a)),
    ge: (a, b) => !below(finite(a), finite(b)),
    min: (...all) => all.map(finite).reduce((least, next) => (next < least ? next : least)),
    max: (...all) => all.map(finite).reduce(larger),
    abs: (a) => Math.abs(finite(a)),
    sqrt: (a) => (finite(a) < 0 ? lack("It takes the square root of a negative number.") : Math.sqrt(a)),
    exp: (a) => Math.exp(finite(a)),
    ln: (a) => (finite(a) <= 0 ? lack("It takes the logarithm of zero or of a negative number.") : Math.log(a)),
    up: (a, step) => round(finite(a), finite(step), Math.ceil),
    down: (a, step) => round(finite(a), finite(step), Math.floor),

    /**
     * Figures as printed, to SI base units.
     * @param {string} title @param {string[]} names @param {(number[] | 0)[]} units offset, numerator, denominator; 0: as it is
     * @param {(Value | null)[][]} rows @returns {Table}
     */
    table(title, names, units, rows) {
      const convert = (cell, unit) => (typeof cell === "number" && unit ? ((cell + unit[0]) * unit[1]) / unit[2] : cell);
      return { title, rows: rows.map((row) => Object.fromEntries(row.map((cell, at) => [names[at], convert(cell, units[at])]))) };
    },
    /** The first row for which `holds`; rows with an empty cell in `uses` are passed over. */
    first(table, column, uses, holds, none) {
      const row = table.rows.find((row) => uses.every((name) => row[name] !== null) && holds(row));
      return row ? figure(table, row, column) : noRow(table, none);
    },
    /** The row whose cells equal `keys`. */
    where(table, column, keys, none) {
      const names = Object.keys(keys);
      for (const name of names) finite(keys[name]);
      const row = table.rows.find((row) => names.every((name) => row[name] !== null && same(row[name], keys[name])));
      return row ? figure(table, row, column) : noRow(table, none);
    },
    /** By the order column: the next row up, or in proportion between two rows. */
    at(table, column, order, wanted, between, none) {
      finite(wanted);
      let before = null;
      for (const row of table.rows) {
        const at = row[order];
        if (at === null) continue;
        if (alike(at, wanted)) return figure(table, row, column);
        if (below(wanted, at)) {
          if (!between) return figure(table, row, column);
          if (!before) break;
          const low = figure(table, before, column);
          return low + ((figure(table, row, column) - low) * (wanted - before[order])) / (at - before[order]);
        }
        before = row;
      }
      return noRow(table, none);
    },
  };

  const figure = (table, row, column) => (row[column] === null ? lack(`“${table.title}” gives no figure here.`) : row[column]);
  const noRow = (table, none) => lack(none || `No row of “${table.title}” fits.`);

  // Numbers as readers see them: shortest decimal digits, to twelve figures, then half away from zero to what is shown.

  /** @param {{digits: number[], point: number}} figures @param {number} keep */
  function cut(figures, keep) {
    const { digits } = figures;
    if (keep < 0) digits.length = 0;
    else if (keep < digits.length) {
      const up = digits[keep] >= 5;
      digits.length = keep;
      if (up) {
        while (digits[digits.length - 1] === 9) digits.pop();
        if (digits.length) digits[digits.length - 1]++;
        else {
          digits.push(1);
          figures.point++;
        }
      }
    }
    while (digits[digits.length - 1] === 0) digits.pop();
  }

  /**
   * @param {number} number @param {number | undefined} decimals just so many; undefined: `significant` figures at most
   * @param {number} [significant] @returns {string}
   */
  function format(number, decimals, significant = 3) {
    if (!Number.isFinite(number)) return "∞";
    const [mantissa, exponent] = Math.abs(number).toExponential().split("e");
    const figures = { digits: Array.from(mantissa.replace(".", ""), Number), point: Number(exponent) + 1 };
    cut(figures, 12);
    cut(figures, decimals === undefined ? significant : figures.point + decimals);
    const { digits, point } = figures;
    const zero = digits.length === 0;
    const digit = (at) => digits[at] || 0;
    let text = "";
    if (!zero && (point > 15 || (decimals === undefined && point < -5))) {
      const raised = Array.from(String(point - 1), (sign) => (sign === "-" ? "⁻" : "⁰¹²³⁴⁵⁶⁷⁸⁹"[Number(sign)])).join("");
      text = digits[0] + (digits.length > 1 ? "." + digits.slice(1).join("") : "") + "\u00a0×\u00a010" + raised;
    } else {
      const whole = zero ? 0 : Math.max(point, 0);
      const after = decimals !== undefined ? decimals : zero ? 0 : Math.max(digits.length - point, 0);
      for (let at = 0; at < whole; at++) text += (at > 0 && whole > 4 && (whole - at) % 3 === 0 ? "\u202f" : "") + digit(at);
      text = text || "0";
      if (after > 0) text += "." + Array.from({ length: after }, (_, at) => (zero ? 0 : digit(point + at))).join("");
    }
    return number < 0 && !zero ? "−" + text : text;
  }

  // Units.

  /** @param {Unit} unit @param {number} number */
  const toBase = (unit, number) => ((number + unit[2]) * unit[3]) / unit[4];
  /** @param {Unit} unit @param {number} base */
  const fromBase = (unit, base) => (base * unit[4]) / unit[3] - unit[2];
  /** @param {Unit} unit @param {string} text */
  const withUnit = (unit, text) => (unit[0] ? text + "\u00a0" + unit[0] : text);

  // What the reader typed.

  /** @param {string} typed @returns {[number: number, rest: string]} */
  function readNumber(typed) {
    const text = typed.trim().replace(/[\u202f\u2009]/g, "").replace(/−/g, "-");
    if (!text) lack("Enter a number.");
    const found = /^[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?/.exec(text);
    if (!found) return lack(`“${text}” is not a number.`);
    const rest = text.slice(found[0].length).trim();
    if (rest.startsWith(",")) lack("Write numbers without commas: a point for decimals, as in 0.5.");
    return [finite(Number(found[0])), rest];
  }

  /**
   * @param {Input} input @param {string} typed @param {string | undefined} chosen the unit's code, if the text names none
   * @returns {{value: Value, shown: string}}
   */
  function read(input, typed, chosen) {
    if (input.choices) {
      const wanted = typed.trim();
      const choice = input.choices.find(([id]) => id === wanted);
      if (choice) return { value: wanted, shown: choice[1] };
      return lack(`“${wanted}” is not one of the choices: ${input.choices.map(([id]) => id).join(", ")}.`);
    }
    const units = input.units || [];
    const [number, rest] = readNumber(typed);
    const main = units[0];
    const unit = units.find((unit) => (rest ? unit[0] === rest || unit[1] === rest : unit[1] === chosen)) || (rest ? null : main);
    if (!unit) {
      const offered = units.map((unit) => unit[0]);
      return lack(main[0] ? `“${rest}” is not a unit for this; use ${offered.join(" or ")}.` : `“${rest}” does not belong here; write the number alone.`);
    }
    const value = finite(toBase(unit, number));
    if (below(value, toBase(main, input.from)) || below(toBase(main, input.to), value)) {
      const edge = (number) => withUnit(main, format(number, undefined, TYPED));
      lack(`Enter a value from ${edge(input.from)} to ${edge(input.to)}.`);
    }
    if (input.whole && number !== Math.floor(number)) lack("Enter a whole number.");
    return { value, shown: withUnit(unit, format(number, undefined, TYPED)) };
  }

  /** @param {Phase[]} phases @param {Names} v @returns {Segment[]} */
  function segments(phases, v) {
    /** @type {Segment[]} */
    const line = [];
    const full = `The timeline has more than ${MOST_SEGMENTS} phases, too many to draw.`;
    let now = 0;
    const lay = (phases, last) => {
      for (const phase of phases) {
        if (phase.repeat) {
          const times = finite(phase.repeat(v));
          if (times < 0 || times !== Math.floor(times)) lack("The number of repeats must be a whole number, zero or more.");
          if (times > MOST_SEGMENTS) lack(full);
          for (let round = 1; round <= times; round++) lay(phase.phases, round === times);
        } else if (!(phase.between && last)) {
          const lasts = finite(phase.lasts(v));
          if (lasts < 0) lack("A phase would last less than no time.");
          const end = finite(now + lasts);
          if (line.length === MOST_SEGMENTS) lack(full);
          line.push({ title: phase.title, start: now, end, on: phase.on });
          now = end;
        }
      }
    };
    lay(phases, false);
    return line;
  }

  /** @param {Verdict} verdict @param {Names} v @returns {number} the band's position */
  function band(verdict, v) {
    const value = v[verdict.on];
    if (!verdict.edges) return (verdict.is || []).indexOf(value);
    const at = verdict.edges.findIndex((edge) => below(value, finite(edge(v))));
    return at < 0 ? verdict.edges.length : at;
  }

  /** @type {Record<string, Sum>} */
  const sums = Object.create(null);

  /**
   * Works a calculator.
   * @param {string} id
   * @param {Record<string, string | [text: string, unit: string]>} given texts as typed; what is not given keeps its start
   */
  function work(id, given) {
    const sum = sums[id];
    /** @type {Names} */
    const v = Object.create(null);
    /** @type {string[]} */
    const shown = [];
    const define = (name, value, sentence, text) => {
      Object.defineProperty(v, name, { get: () => (value === null ? lack(sentence) : value) });
      shown.push(text);
    };
    const inputs = sum.inputs.map((input) => {
      const counts = !input.when || attempt(() => input.when(v)).value === true;
      const typed = Object.hasOwn(given, input.id) ? given[input.id] : input.choices ? input.choices[input.start][0] : String(input.start);
      const [text, unit] = Array.isArray(typed) ? typed : [typed, undefined];
      const { value: got, says } = attempt(() => read(input, text, unit));
      const needed = `It needs “${input.title}”, which ${counts ? "has no value" : "does not count here"}.`;
      define(input.id, got && counts ? got.value : null, needed, got ? got.shown : "");
      return { id: input.id, value: got ? got.value : null, says, shown: got ? got.shown : "", counts };
    });
    const steps = sum.steps.map((step) => {
      const { value, says } = attempt(() => {
        const value = finite(step.work(v));
        if (typeof value === "number") finite(fromBase(step.unit, value));
        return value;
      });
      const number = typeof value === "number" ? fromBase(step.unit, value) : null;
      const text = number !== null ? withUnit(step.unit, format(number, step.digits)) : value === true ? "yes" : value === false ? "no" : value || "";
      const numbers = value === null ? "" : step.line(v).map((piece) => (typeof piece === "number" ? shown[piece] : piece)).join("");
      define(step.id, value, `It needs “${step.title}”, which has no value.`, text);
      return { id: step.id, value, says, number, shown: text, numbers };
    });
    return {
      inputs,
      steps,
      verdicts: sum.verdicts.map((verdict) => {
        const { value, says } = attempt(() => band(verdict, v));
        return { on: verdict.on, band: value, says };
      }),
      timeline: sum.phases ? attempt(() => segments(sum.phases, v)) : null,
      drawing: Object.entries(sum.drawing || {}).map(([name, part]) => ({ name, ...attempt(() => finite(part(v))) })),
    };
  }

  const bluecone = (globalThis.bluecone = globalThis.bluecone || {});
  /** @param {string} id @param {(k: typeof kit) => Sum} make */
  bluecone.sum = (id, make) => {
    sums[id] = make(kit);
  };
  bluecone.sums = { work, format, readNumber: (text) => attempt(() => readNumber(text)), has: (id) => id in sums };
})();
