/**
 * Lists of rows, for calculators that have some: loaded after sums.js. In a calculator's script `v.loads` is a list, and
 * `sum(v.loads, f => f.draw, f => f.wet)` goes over those of its rows for which the last function holds.
 */
(function () {
  "use strict";

  const { kit } = globalThis.bluecone.sums;
  const { finite, lack } = kit;

  /** Calls `use` with every row for which `holds`. */
  const each = (list, holds, use) => list.rows.forEach((row) => (!holds || holds(row.f)) && use(row));

  /** The row whose value stands out, by `before`: whether the first comes before the second. */
  const extreme = (before) => (list, value, holds) => {
    let found = null;
    each(list, holds, ({ f }) => {
      const number = finite(value(f));
      if (found === null || before(number, found)) found = number;
    });
    return found ?? lack(`“${list.title}” has no row for this.`);
  };

  Object.assign(kit, {
    sum(list, value, holds) {
      let total = 0;
      each(list, holds, ({ f }) => (total += finite(value(f))));
      return total;
    },
    count(list, holds) {
      let rows = 0;
      each(list, holds, () => rows++);
      return rows;
    },
    least: extreme((a, b) => a < b),
    most: extreme((a, b) => a > b),
    tally(list, value, holds) {
      /** @type {Map<string, number>} */
      const times = new Map();
      each(list, holds, ({ f }) => {
        const text = value(f);
        times.set(text, (times.get(text) || 0) + 1);
      });
      return [...times].map(([text, n]) => `${n} × ${text}`).join("; ") || "none";
    },
    failing: (list, truth, holds) =>
      (list.rows.find(({ f }) => (!holds || holds(f)) && !truth(f)) || lack(`None of “${list.title}” fails.`)).title,
  });

  /** What sums see of a row, as it stands when they read it: what is missing is said with the row. */
  function visible(list, own) {
    const f = {};
    [...list.inputs, ...list.steps].forEach(({ id, title }, at) => {
      const value = ({ counts = true, value }) => (counts ? value : null);
      const get = () => value(own.parts[at]) ?? lack(`It needs “${title}” of “${own.row.title}”, which has no value.`);
      Object.defineProperty(f, id, { get });
    });
    return f;
  }

  const same = (some, others) => some.length === others.length && some.every((one, at) => one === others[at]);

  /**
   * @type {import("./sums").WorkLists} Rows in which nothing changed stay the same objects, and so does a list of such rows. A row
   * reads its own fields and what is given beside the lists, and nothing else.
   */
  kit.lists = (labels, lists, given, { v, put, memo }, beside) =>
    labels.map((list) => {
      const { when, steps } = lists[list.id];
      const typed = given[list.id];
      const { least, most } = list;
      const wrong = typed.length < least || typed.length > most;
      const last = memo(list);
      last.names = last.names || [];
      const stands = last.beside && same(beside, last.beside);
      last.beside = beside;
      const rows = typed.slice(0, most).map((row, at) => {
        const own = (last.names[at] = last.names[at] || { ...kit.names(), parts: [], typed: [] });
        const texts = list.inputs.map(({ id }) => String(row[id]));
        if (stands && same(texts, own.typed)) return own;
        own.typed = texts;
        const { v: f } = own;
        const inputs = list.inputs.map((label) => kit.input(label, when[label.id], row[label.id], own, f, v));
        const worked = list.steps.map((label) => kit.step(label, steps[label.id], own, f, v));
        const parts = [...inputs, ...worked];
        if (!same(parts, own.parts)) {
          const called = inputs.find(({ id, counts, shown }) => id === list.called && counts && shown);
          const title = `${list.row} ${at + 1}${called ? ": " + called.shown : ""}`;
          own.f = own.f || visible(list, own);
          Object.assign(own, { parts, row: { title, inputs, steps: worked }, seen: { title, f: own.f } });
        }
        return own;
      });
      const seen = rows.map((own) => own.seen);
      if (!last.seen || !same(seen, last.seen.rows)) last.seen = { title: list.title, rows: seen };
      put(list, wrong ? null : last.seen);
      const says = wrong ? (least === most ? `Give ${least} rows.` : `Give from ${least} to ${most} rows.`) : "";
      return { id: list.id, rows: rows.map((own) => own.row), says };
    });
})();
