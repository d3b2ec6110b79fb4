/**
 * Works the calculators in the page as the press does: same operations, order, rounding, sentences. A test runs both side by
 * side: change both or neither. Types: sums.d.ts. Scripts call `bluecone.sum(id, make)`, pages `bluecone.sums.work(id, given)`.
 */
(function () {
  "use strict";

  const MOST_PHASES = 500;

  /** No value: throws the plain sentence that says why. */
  const lack = (sentence) => {
    throw sentence;
  };

  function attempt(work) {
    try {
      return { value: work(), says: "" };
    } catch (error) {
      if (typeof error === "string") return { value: null, says: error };
      throw error;
    }
  }

  const finite = (value) => (typeof value === "number" && !Number.isFinite(value) ? lack("The number is too large to work with.") : value);

  const checked = (work) => (...values) => work(...values.map(finite));

  // What conversions leave behind does not count.
  const larger = (a, b) => (b > a ? b : a);
  const alike = (a, b) => Math.abs(a - b) <= 1e-9 * larger(Math.abs(a), Math.abs(b));
  const below = (a, b) => a < b && !alike(a, b);
  const same = (a, b) => (typeof a === "number" ? alike(a, b) : a === b);

  const round = (direction) =>
    checked((number, step) => {
      if (step <= 0) lack("It rounds to a step that is not above zero.");
      const ratio = number / step;
      const nearest = Math.floor(ratio + 0.5);
      return (alike(ratio, nearest) ? nearest : direction(ratio)) * step;
    });

  /** What formulas call; plain arithmetic stands in them as it is. */
  const kit = {
    div: (a, b) => (b === 0 ? lack("It divides by zero.") : a / b),
    pow: checked((base, exponent) => {
      const none = base === 0 ? exponent < 0 : base < 0 && !Number.isInteger(exponent);
      return none ? lack("It raises zero or a negative number to a power that has no value.") : base ** exponent;
    }),
    raise(base, exponent) {
      let product = 1;
      for (let times = 0; times < Math.abs(exponent); times++) product *= base;
      return exponent < 0 ? kit.div(1, product) : product;
    },
    eq: checked(same),
    ne: checked((a, b) => !same(a, b)),
    lt: checked(below),
    gt: checked((a, b) => below(b, a)),
    le: checked((a, b) => !below(b, a)),
    ge: checked((a, b) => !below(a, b)),
    min: checked((...all) => all.reduce((least, next) => (next < least ? next : least))),
    max: checked((...all) => all.reduce((most, next) => larger(most, next))),
    abs: checked(Math.abs),
    sqrt: checked((a) => (a < 0 ? lack("It takes the square root of a negative number.") : Math.sqrt(a))),
    exp: checked(Math.exp),
    ln: checked((a) => (a <= 0 ? lack("It takes the logarithm of zero or of a negative number.") : Math.log(a))),
    up: round(Math.ceil),
    down: round(Math.floor),

    // Figures as printed, to SI base units; `units` are offset, numerator, denominator, or 0 for as it is.
    table(title, names, units, rows) {
      const convert = (cell, unit) => (typeof cell === "number" && unit ? ((cell + unit[0]) * unit[1]) / unit[2] : cell);
      return { title, rows: rows.map((row) => Object.fromEntries(row.map((cell, at) => [names[at], convert(cell, units[at])]))) };
    },
    // Rows with an empty cell in `uses` are passed over.
    first(table, column, uses, holds, none) {
      return figure(table, table.rows.find((row) => uses.every((name) => row[name] !== null) && holds(row)), column, none);
    },
    where(table, column, keys, none) {
      Object.values(keys).forEach(finite);
      const fits = (row) => Object.keys(keys).every((name) => row[name] !== null && same(row[name], keys[name]));
      return figure(table, table.rows.find(fits), column, none);
    },
    // By the order column: the next row up, or in proportion between two rows.
    at(table, column, order, wanted, between, none) {
      finite(wanted);
      let before = null;
      for (const row of table.rows.filter((row) => row[order] !== null)) {
        const at = row[order];
        if (alike(at, wanted) || (!between && wanted < at)) return figure(table, row, column);
        if (wanted < at) {
          if (!before) break;
          const [low, from] = [figure(table, before, column), before[order]];
          return low + ((figure(table, row, column) - low) * (wanted - from)) / (at - from);
        }
        before = row;
      }
      return figure(table, undefined, column, none);
    },
  };

  function figure(table, row, column, none) {
    if (!row) return lack(none || `No row of “${table.title}” fits.`);
    return row[column] ?? lack(`“${table.title}” gives no figure here.`);
  }

  // Numbers as shown: shortest decimal digits, to twelve figures, then half away from zero to what is shown.

  function drop(digits, last) {
    while (digits[digits.length - 1] === last) digits.pop();
  }

  function cut(figures, keep) {
    const { digits } = figures;
    if (keep < 0) digits.length = 0;
    else if (keep < digits.length) {
      const up = digits[keep] >= 5;
      digits.length = keep;
      if (up) {
        drop(digits, 9);
        if (digits.length) digits[digits.length - 1]++;
        else {
          digits.push(1);
          figures.point++;
        }
      }
    }
    drop(digits, 0);
  }

  /** @type {import("./sums").Format} */
  const format = (number, decimals, significant = 3) => {
    if (!Number.isFinite(number)) return "∞";
    const [mantissa, exponent] = Math.abs(number).toExponential().split("e");
    const figures = { digits: Array.from(mantissa.replace(".", ""), Number), point: Number(exponent) + 1 };
    cut(figures, 12);
    cut(figures, decimals === undefined ? significant : figures.point + decimals);
    const { digits } = figures;
    const zero = digits.length === 0;
    const point = zero ? 0 : figures.point;
    const digit = (at) => digits[at] || 0;
    let text = "";
    if (point > 15 || (decimals === undefined && point < -5)) {
      const raised = Array.from(String(point - 1), (sign) => (sign === "-" ? "⁻" : "⁰¹²³⁴⁵⁶⁷⁸⁹"[Number(sign)])).join("");
      text = digits.join("").replace(/^.(?=.)/, "$&.") + "\u00a0×\u00a010" + raised;
    } else {
      const after = decimals ?? Math.max(digits.length - point, 0);
      for (let at = 0; at < point; at++) text += (at > 0 && point > 4 && (point - at) % 3 === 0 ? "\u202f" : "") + digit(at);
      text = text || "0";
      if (after > 0) text += "." + Array.from({ length: after }, (_, at) => digit(point + at)).join("");
    }
    return number < 0 && !zero ? "−" + text : text;
  };

  const toBase = (unit, number) => ((number + unit[2]) * unit[3]) / unit[4];
  const fromBase = (unit, base) => (base * unit[4]) / unit[3] - unit[2];
  const withUnit = (unit, text) => (unit[0] ? text + "\u00a0" + unit[0] : text);

  const typedAs = (unit, number) => withUnit(unit, format(number, undefined, 9));

  function readNumber(typed) {
    const text = typed.trim().replace(/[\u202f\u2009]/g, "").replace(/−/g, "-");
    if (!text) lack("Enter a number.");
    const found = /^[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?/.exec(text);
    if (!found) return lack(`“${text}” is not a number.`);
    const rest = text.slice(found[0].length).trim();
    if (rest.startsWith(",")) lack("Write numbers without commas: a point for decimals, as in 0.5.");
    return [finite(Number(found[0])), rest];
  }

  /** @type {import("./sums").Read} */
  const read = (input, typed, chosen) => {
    if (input.choices) {
      const wanted = typed.trim();
      const choice = input.choices.find(([id]) => id === wanted);
      const ids = input.choices.map(([id]) => id).join(", ");
      return choice ? { value: wanted, shown: choice[1] } : lack(`“${wanted}” is not one of the choices: ${ids}.`);
    }
    const [number, rest] = readNumber(typed);
    const { units } = input;
    const main = units[0];
    const unit = units.find((unit) => (rest ? unit[0] === rest || unit[1] === rest : unit[1] === chosen)) || (rest ? null : main);
    if (!unit) {
      const use = main[0] ? `is not a unit for this; use ${units.map((unit) => unit[0]).join(" or ")}` : "does not belong here; write the number alone";
      return lack(`“${rest}” ${use}.`);
    }
    const value = finite(toBase(unit, number));
    if (below(value, toBase(main, input.from)) || below(toBase(main, input.to), value)) {
      lack(`Enter a value from ${typedAs(main, input.from)} to ${typedAs(main, input.to)}.`);
    }
    if (input.whole && !Number.isInteger(number)) lack("Enter a whole number.");
    return { value, shown: typedAs(unit, number) };
  };

  function segments(phases, v) {
    const line = [];
    const room = (taken) => taken < MOST_PHASES || lack(`The timeline has more than ${MOST_PHASES} phases, too many to draw.`);
    let now = 0;
    let rounds = 0;
    const lay = (phases, last) => {
      for (const phase of phases) {
        if (phase.repeat) {
          const times = finite(phase.repeat(v));
          if (times < 0 || !Number.isInteger(times)) lack("The number of repeats must be a whole number, zero or more.");
          for (let round = 1; round <= times; round++) {
            room(rounds++);
            lay(phase.phases, round === times);
          }
        } else if (!(phase.between && last)) {
          const lasts = finite(phase.lasts(v));
          if (lasts < 0) lack("A phase would last less than no time.");
          const end = finite(now + lasts);
          room(line.length);
          line.push({ title: phase.title, start: now, end, on: phase.on });
          now = end;
        }
      }
    };
    lay(phases, false);
    return line;
  }

  /** The band's position. */
  function band(verdict, v) {
    const value = v[verdict.on];
    if (verdict.is) return verdict.is.indexOf(value);
    const at = verdict.edges.findIndex((edge) => below(value, finite(edge(v))));
    return at < 0 ? verdict.edges.length : at;
  }

  const sums = Object.create(null);

  /** @type {import("./sums").Work} */
  const work = (id, given) => {
    const sum = sums[id];
    const v = Object.create(null);
    const shown = [];
    const define = ({ id, title }, value, text, why, says = "") => {
      const needs = /count here\.$/.test(says) ? says : `It needs “${title}”, which ${why}.`;
      Object.defineProperty(v, id, { get: () => value ?? lack(needs) });
      shown.push(text);
    };
    const inputs = sum.inputs.map((input) => {
      const counts = !input.when || attempt(() => input.when(v)).value === true;
      const typed = given[input.id] ?? (input.choices ? input.choices[input.start][0] : String(input.start));
      const { value: got, says } = attempt(() => read(input, ...[typed].flat()));
      const { value, shown } = got || { value: null, shown: "" };
      define(input, counts ? value : null, shown, counts ? "has no value" : "does not count here");
      return { id: input.id, value, says, shown, counts };
    });
    const steps = sum.steps.map((step) => {
      const { unit = ["", "1", 0, 1, 1] } = step;
      const inUnit = (value) => (typeof value === "number" ? finite(fromBase(unit, finite(value))) : null);
      const { value, says } = attempt(() => {
        const value = step.work(v);
        inUnit(value);
        return value;
      });
      const number = inUnit(value);
      const words = value === true ? "yes" : value === false ? "no" : value ?? "";
      const text = number === null ? words : withUnit(unit, format(number, step.digits));
      const numbers = value === null ? "" : step.line(v).map((piece) => (typeof piece === "number" ? shown[piece] : piece)).join("");
      define(step, value, text, "has no value", says);
      return { id: step.id, value, says, number, shown: text, numbers };
    });
    return {
      inputs,
      steps,
      verdicts: sum.verdicts.map((verdict) => ({ on: verdict.on, ...attempt(() => band(verdict, v)) })),
      timeline: sum.phases ? attempt(() => segments(sum.phases, v)) : null,
      drawing: Object.entries(sum.drawing || {}).map(([name, part]) => ({ name, ...attempt(() => finite(part(v))) })),
    };
  };

  const bluecone = (globalThis.bluecone = globalThis.bluecone || {});
  bluecone.sum = (id, make) => {
    sums[id] = make(kit);
  };
  bluecone.sums = { work, format, has: (id) => id in sums };
})();
