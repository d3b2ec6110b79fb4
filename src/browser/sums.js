// Works the calculators in the page as the press does, to the same digits and sentences. A test runs both: change both or
// neither. Types: sums.d.ts.
(function () {
  "use strict";

  /** Throws the plain sentence that says why; `idle`: since it has no part in the sum. */
  const lack = (says, idle = false) => {
    throw { says, idle };
  };

  function attempt(work, none) {
    try {
      return { value: work(), says: "", idle: false };
    } catch (error) {
      if ("idle" in error) return { value: null, ...error, says: error.says || none };
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

  const kit = {
    div: (a, b) => (b === 0 ? lack("It divides by zero.") : a / b),
    minus: (a, b) => (Math.abs(a - b) < 1e-12 * Math.abs(b) ? 0 : a - b),
    eq: checked(same),
    ne: checked((a, b) => !same(a, b)),
    lt: checked(below),
    gt: checked((a, b) => below(b, a)),
    le: checked((a, b) => !below(b, a)),
    ge: checked((a, b) => !below(a, b)),
    min: checked((...all) => all.reduce((a, b) => (b < a ? b : a))),
    max: checked((...all) => all.reduce(larger)),
    abs: checked(Math.abs),
    sqrt: checked((a) => (a < 0 ? lack("It takes the square root of a negative number.") : Math.sqrt(a))),
    up: round(Math.ceil),
    down: round(Math.floor),
    idle: () => lack("It does not count here.", true),

    checked, attempt, finite, alike, below, same, lack,
  };

  // Numbers as shown: to twelve figures first, then half away from zero.

  function cut([digits, point], keep) {
    if (keep < 0) return ["", point];
    let head = digits.slice(0, keep);
    if (digits[keep] >= "5") head = String(Number(head) + 1);
    return [head.replace(/0+$/, ""), head.length > keep ? point + 1 : point];
  }

  /** @type {import("./sums").Format} */
  const format = (number, decimals, significant = 3) => {
    if (!Number.isFinite(number)) return "∞";
    const [mantissa, exponent] = Math.abs(number).toExponential().split("e");
    const twelve = cut([mantissa.replace(".", ""), Number(exponent) + 1], 12);
    const [digits, place] = cut(twelve, decimals === undefined ? significant : twelve[1] + decimals);
    const point = digits ? place : 0;
    let text = digits.slice(0, Math.max(point, 0));
    if (point > 15 || (decimals === undefined && point < -5)) {
      const raised = Array.from(String(point - 1), (sign) => "⁰¹²³⁴⁵⁶⁷⁸⁹"[sign] || "⁻").join("");
      text = digits.replace(/^.(?=.)/, "$&.") + "\u00a0×\u00a010" + raised;
    } else {
      const after = decimals ?? Math.max(digits.length - point, 0);
      text = text.padEnd(point, "0") || "0";
      if (point > 4) text = text.replace(/\B(?=(...)+$)/g, "\u202f");
      if (after > 0) text += "." + ("0".repeat(Math.max(-point, 0)) + digits.slice(Math.max(point, 0))).padEnd(after, "0").slice(0, after);
    }
    return number < 0 && digits ? "−" + text : text;
  };

  const toBase = ({ scale }, number) => ((number + scale[0]) * scale[1]) / scale[2];
  const fromBase = ({ scale }, base) => (base * scale[2]) / scale[1] - scale[0];
  const withUnit = ({ shown }, text) => (shown ? text + "\u00a0" + shown : text);
  Object.assign(kit, { toBase, fromBase });

  const PLAIN = { shown: "", code: "1", scale: [0, 1, 1] };

  function readNumber(typed) {
    const text = typed.trim().replace(/[\u202f\u2009]/g, "").replace(/−/g, "-");
    if (!text) lack("Enter a number.");
    const found = /^[-+]?(?!0\s*x[\da-f])(\d+\.?\d*|\.\d+)(e[-+]?\d+)?/i.exec(text);
    const rest = found ? text.slice(found[0].length).trim() : "";
    if (found ? rest.startsWith(",") : /^[-+]?,\d/.test(text)) lack("Write numbers without commas: a point for decimals, as in 0.5.");
    const gaps = /^[-+]?\d{1,3}(\s+\d{3}(?!\d|\.\[))+(\.\d+)?/.exec(text);
    if (gaps) lack(`Write the number without spaces: ${gaps[0].replace(/\s/g, "")}.`);
    if (/^\d*\/\s*\d/.test(rest)) lack("Write fractions with a point, as in 0.5 or 1.75.");
    if (!found || /^(?!\d+[./]\D)[\d.]/.test(rest)) return lack(`“${text}” is not a number.`);
    const number = finite(Number(found[0]));
    if (Math.abs(number) < 2 ** -1022 && /[1-9]/.test(found[1])) lack("The number is too small to be told from zero.");
    return [number, rest];
  }

  kit.readNumber = readNumber;

  /** @type {import("./sums").Read} */
  const read = (input, typed, chosen) => {
    const { choices, units } = input;
    const [main] = units;
    if (choices.length) {
      const word = typed.trim();
      const choice = choices.find(([id]) => id === word);
      return choice ? { value: word, shown: choice[1] } : lack(`“${word}” is not one of the choices: ${choices.map(([id]) => id).join(", ")}.`);
    }
    const [number, rest] = readNumber(typed);
    const unit = units.find((unit) => (rest ? unit.shown === rest || unit.code === rest : unit.code === chosen)) || (rest ? null : main);
    const use = () => (main.shown ? `is not a unit for this; use ${units.map(({ shown }) => shown || "none").join(" or ")}` : "does not belong here; write the number alone");
    if (!unit) return lack(`“${rest}” ${use()}.`);
    const value = finite(toBase(unit, number));
    if (below(value, toBase(main, input.from)) || below(toBase(main, input.to), value)) {
      lack(`Enter a value from ${unit.limits}.`.replace(/\.\.$/, "."));
    }
    if (input.whole && !Number.isInteger(number)) lack("Enter a whole number.");
    return { value, shown: withUnit(unit, format(number, undefined, 9)) };
  };

  /** A step's value and the branch that gave it. `f`: the names beside it. */
  function taken(step, f, v) {
    if (typeof step === "function") return [step(f, v), 0];
    const name = typeof step[0] === "string" ? step[0] : "";
    const names = name in f ? f : v;
    let at = name ? 1 : 0;
    while (at < step.length - 1 && !(name ? names[name] === step[at] : step[at](f, v))) at += 2;
    const value = step[Math.min(at + 1, step.length - 1)];
    return [typeof value === "function" ? value(f, v) : value, at >> 1];
  }

  // Only what hangs on what changed is worked again: a value knows its readers.
  let reader = null;

  /** What came out last, unless `key` or what it read has changed. */
  function keep(memo, key, work) {
    if (memo.key !== key) {
      reader = memo;
      memo.key = key;
      memo.got = work();
      reader = null;
    }
    return memo.got;
  }

  /** Values by name: reading one that is missing throws its sentence. */
  kit.names = () => {
    const [v, values, memos] = [Object.create(null), Object.create(null), new Map()];
    const get = (node) => {
      if (reader) node.readers.add(reader);
      const { value, title, idle, says } = node;
      return value ?? lack((idle && says) || `It needs “${title}”, which ${idle ? "does not count here" : "has no value"}.`, idle);
    };
    const put = ({ id, title }, value, idle = false, says = "") => {
      let node = values[id];
      if (!node) {
        values[id] = node = { title, readers: [] };
        Object.defineProperty(v, id, { get: () => get(node) });
      }
      if (node.value !== value || node.idle !== idle || node.says !== says) {
        for (const memo of node.readers) memo.key = null;
        Object.assign(node, { value, idle, says, readers: new Set() });
      }
    };
    const memo = (label) => memos.get(label) || memos.set(label, {}).get(label);
    return { v, put, memo };
  };

  /** An input or a field of a row; `own` takes its value. */
  kit.input = (label, when, typed, { put, memo }, f, v) => {
    const input = keep(memo(label), String(typed), () => {
      const counts = !when || attempt(() => when(f, v)).value === true;
      const { value: got, says } = attempt(() => read(label, ...[typed].flat()));
      return { id: label.id, value: null, says, shown: "", ...got, counts };
    });
    put(label, input.counts ? input.value : null, !input.counts);
    return input;
  };

  /** A step, anew. */
  kit.anew = (label, step, { put }, f, v) => {
    const { id, digits } = label;
    const unit = label.unit || PLAIN;
    const { value: got, says, idle } = attempt(() => {
      const [value, branch] = taken(step, f, v);
      return [value, branch, typeof value === "number" ? finite(fromBase(unit, finite(value))) : null];
    }, label.none);
    const [value, branch, number] = got || [null, 0, null];
    const words = value === true ? "yes" : value === false ? "no" : `${value ?? ""}`.replace(/(\d+ × |^)([^;]+)/g, (_, n, id) => n + (label.titles[id] ?? id));
    const shown = number === null ? words : withUnit(unit, format(number, digits ?? undefined));
    put(label, value, idle, says);
    return { id, value, says, idle, number, shown, branch };
  };
  kit.step = (label, step, own, f, v) => keep(own.memo(label), "", () => kit.anew(label, step, own, f, v));

  const placeOf = (edge, v) => (typeof edge === "function" ? finite(edge(v)) : edge);

  /** The band's position, by value or by edges. */
  function band({ key, is }, edges, v) {
    const value = v[key.split(" ")[0]];
    if (is.length) return is.indexOf(String(value));
    const at = edges.findIndex((edge) => below(value, placeOf(edge, v)));
    return at < 0 ? edges.length : at;
  }

  const sums = Object.create(null);
  const views = Object.create(null);

  /** @type {import("./sums").WorkSum} What has not changed is the same object. */
  const work = (id, labels, given) => {
    const { when = {}, solve, lists, steps, edges = {}, phases, drawing = {} } = sums[id];
    const own = (views[id] = views[id] || kit.names());
    const { v, memo } = own;
    const inputs = labels.inputs.map((label) => kit.input(label, when[label.id], given[label.id], own, v));
    const worked = [];
    // Steps that solve for an input have its name and come first.
    for (const label of solve ? labels.steps : []) {
      const at = labels.inputs.findIndex(({ id }) => id === label.id);
      if (at >= 0) worked.push(kit.solved(label, labels.inputs[at], inputs[at], solve, steps[label.id], own));
    }
    const rows = lists ? kit.lists(labels.lists, lists, given, own, inputs) : [];
    for (const label of labels.steps.slice(worked.length)) worked.push(kit.step(label, steps[label.id], own, v));
    const kept = (label, work) => keep(memo(label), "", () => attempt(work));
    return {
      inputs,
      lists: rows,
      steps: worked,
      verdicts: labels.verdicts.map((label) => kept(label, () => band(label, edges[label.key], v))),
      timeline: phases ? kept(labels.phases, () => kit.segments(phases, labels.phases, v)) : null,
      drawing: labels.drawing.map((label) => ({ name: label.name, ...kept(label, () => finite(label.of ? v[label.of] : drawing[label.name](v))) })),
    };
  };

  /** A verdict's edges, as last worked. */
  const edges = (id, key) => {
    return sums[id].edges[key].map((edge) => attempt(() => placeOf(edge, views[id].v)).value);
  };

  const bluecone = (globalThis.bluecone = globalThis.bluecone || {});
  const tables = Object.create(null);
  bluecone.sum = (id, uses, make) => {
    sums[id] = make(kit, ...uses.map((table) => tables[table]));
  };
  bluecone.sums = { work, edges, format, kit, tables, has: (id) => id in sums };
})();
