/**
 * Works the calculators in the page as the press does: same operations, order, rounding, sentences. A test runs both side by
 * side: change both or neither. Types: sums.d.ts. A calculator's script calls `bluecone.sum(id, tables, make)`; the page calls
 * `bluecone.sums.work(id, labels, given)` with what it holds in words. Picks from tables and timelines are files of their own.
 */
(function () {
  "use strict";

  /** No value: throws the plain sentence that says why. */
  const lack = (sentence) => {
    throw sentence;
  };

  /** `none`: the sentence of whoever throws an empty one. */
  function attempt(work, none) {
    try {
      return { value: work(), says: "" };
    } catch (error) {
      if (typeof error === "string") return { value: null, says: error || none };
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
    up: round(Math.ceil),
    down: round(Math.floor),

    checked,
    attempt,
    finite,
    alike,
    below,
    same,
    lack,
  };

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

  const toBase = ({ scale }, number) => ((number + scale[0]) * scale[1]) / scale[2];
  const fromBase = ({ scale }, base) => (base * scale[2]) / scale[1] - scale[0];
  const withUnit = ({ shown }, text) => (shown ? text + "\u00a0" + shown : text);
  const typedAs = (unit, number) => withUnit(unit, format(number, undefined, 9));
  Object.assign(kit, { toBase, fromBase, typedAs });

  const PLAIN = { shown: "", code: "1", scale: [0, 1, 1] };

  function readNumber(typed) {
    const text = typed.trim().replace(/[\u202f\u2009]/g, "").replace(/−/g, "-");
    if (!text) lack("Enter a number.");
    const found = /^[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?/.exec(text);
    const rest = found ? text.slice(found[0].length).trim() : "";
    if (found ? rest.startsWith(",") : /^[-+]?,\d/.test(text)) lack("Write numbers without commas: a point for decimals, as in 0.5.");
    const spaced = /^[-+]?\d{1,3}(\s+\d{3}(?!\d))+(\.\d+)?/.exec(text);
    if (spaced) lack(`Write the number without spaces: ${spaced[0].replace(/\s/g, "")}.`);
    if (/^\d*\/\s*\d/.test(rest)) lack("Write fractions with a point, as in 0.5 or 1.75.");
    const more = (/^[\d.]/.test(rest) && !/^1\/[a-z]/i.test(rest)) || /^[-+]?0\s*x[\da-f]/i.test(text);
    if (!found || more) return lack(`“${text}” is not a number.`);
    const number = finite(Number(found[0]));
    if (Math.abs(number) < 2.2250738585072014e-308 && /[1-9]/.test(found[1])) lack("The number is too small to be told from zero.");
    return [number, rest];
  }

  /** @type {import("./sums").Read} */
  const read = (input, typed, chosen) => {
    const { choices, units } = input;
    if (choices.length) {
      const wanted = typed.trim();
      const choice = choices.find(([id]) => id === wanted);
      const ids = choices.map(([id]) => id).join(", ");
      return choice ? { value: wanted, shown: choice[1] } : lack(`“${wanted}” is not one of the choices: ${ids}.`);
    }
    const [number, rest] = readNumber(typed);
    const main = units[0];
    const unit = units.find((unit) => (rest ? unit.shown === rest || unit.code === rest : unit.code === chosen)) || (rest ? null : main);
    if (!unit) {
      const use = main.shown ? `is not a unit for this; use ${units.map((unit) => unit.shown).join(" or ")}` : "does not belong here; write the number alone";
      return lack(`“${rest}” ${use}.`);
    }
    const value = finite(toBase(unit, number));
    if (below(value, toBase(main, input.from)) || below(toBase(main, input.to), value)) {
      lack(`Enter a value from ${typedAs(main, input.from)} to ${typedAs(main, input.to)}.`.replace(/\.\.$/, "."));
    }
    if (input.whole && !Number.isInteger(number)) lack("Enter a whole number.");
    return { value, shown: typedAs(unit, number) };
  };

  /**
   * A step's value and the branch that gave it. For an `if` a step is a list: conditions and values in turn, and the last value;
   * or the name of a text first, and what it may be in the place of conditions. `f`: fields of its row.
   */
  function taken(step, v, f) {
    if (typeof step === "function") return [step(v, f), 0];
    const name = typeof step[0] === "string" ? step[0] : "";
    const names = f && name in f ? f : v;
    let at = name ? 1 : 0;
    while (at < step.length - 1 && !(name ? names[name] === step[at] : step[at](v, f))) at += 2;
    const value = step[Math.min(at + 1, step.length - 1)];
    return [typeof value === "function" ? value(v, f) : value, at >> 1];
  }

  /** Values by name: reading one that is missing throws its sentence. A name is defined once and then takes new values. */
  kit.names = () => {
    const [v, values, needs] = [Object.create(null), Object.create(null), Object.create(null)];
    const put = ({ id, title }, value, why, says = "") => {
      if (!(id in needs)) Object.defineProperty(v, id, { get: () => values[id] ?? lack(needs[id]) });
      values[id] = value;
      needs[id] = /count here\.$/.test(says) ? says : `It needs “${title}”, which ${why}.`;
    };
    return { v, put };
  };

  /** An input or a field of a row; `put` takes its value. Steps alike. */
  kit.input = (label, when, typed, put, v, f) => {
    const counts = !when || attempt(() => when(v, f)).value === true;
    const { value: got, says } = attempt(() => read(label, ...[typed].flat()));
    const { value, shown } = got || { value: null, shown: "" };
    put(label, counts ? value : null, counts ? "has no value" : "does not count here");
    return { id: label.id, value, says, shown, counts };
  };

  kit.step = (label, step, put, v, f) => {
    const { id, digits } = label;
    const unit = label.unit || PLAIN;
    const { value: got, says } = attempt(() => {
      const [value, branch] = taken(step, v, f);
      const number = typeof value === "number" ? finite(fromBase(unit, finite(value))) : null;
      return { value, branch, number };
    }, label.none);
    const { value, branch, number } = got || { value: null, branch: 0, number: null };
    const words = value === true ? "yes" : value === false ? "no" : value ?? "";
    const shown = number === null ? words : withUnit(unit, format(number, digits ?? undefined));
    put(label, value, "has no value", says);
    return { id, value, says, number, shown, branch };
  };

  const placeOf = (edge, v) => (typeof edge === "function" ? finite(edge(v)) : edge);

  /** The band's position: by its value, or by its edges. */
  function band({ key, is }, edges, v) {
    const value = v[key.split(" ")[0]];
    if (is.length) return is.indexOf(String(value));
    const at = edges.findIndex((edge) => below(value, placeOf(edge, v)));
    return at < 0 ? edges.length : at;
  }

  const sums = Object.create(null);
  const views = Object.create(null);

  /** @type {import("./sums").WorkSum} */
  const work = (id, labels, given) => {
    const { when = {}, solve, lists, steps, edges = {}, phases, drawing = {} } = sums[id];
    const { v, put } = (views[id] = views[id] || kit.names());
    const inputs = labels.inputs.map((label) => kit.input(label, when[label.id], given[label.id], put, v));
    const worked = [];
    // Steps that solve for an input have its name and come first.
    const unknown = ({ id }) => (solve ? labels.inputs.findIndex((input) => input.id === id) : -1);
    for (const label of labels.steps) {
      const at = unknown(label);
      if (at >= 0) worked.push(kit.solved(label, labels.inputs[at], inputs[at], solve, steps[label.id], put, v));
    }
    const rows = lists ? kit.lists(labels.lists, lists, given, v) : [];
    for (const label of labels.steps.slice(worked.length)) worked.push(kit.step(label, steps[label.id], put, v));
    return {
      inputs,
      lists: rows,
      steps: worked,
      verdicts: labels.verdicts.map((label) => attempt(() => band(label, edges[label.key], v))),
      timeline: phases ? attempt(() => kit.segments(phases, labels.phases, v)) : null,
      drawing: labels.drawing.map(({ name, of }) => ({ name, ...attempt(() => finite(of ? v[of] : drawing[name](v))) })),
    };
  };

  /** The edges of a verdict's bands as the last working had them. */
  const edges = (id, key) => sums[id].edges[key].map((edge) => attempt(() => placeOf(edge, views[id].v)).value);

  const bluecone = (globalThis.bluecone = globalThis.bluecone || {});
  const tables = Object.create(null);
  bluecone.sum = (id, uses, make) => {
    sums[id] = make(kit, ...uses.map((table) => tables[table]));
  };
  bluecone.sums = { work, edges, format, kit, tables, has: (id) => id in sums };
})();
