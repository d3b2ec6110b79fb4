/**
 * Lists of rows, for calculators that have some: loaded after sums.js. In a calculator's script `v.loads` is a list, and
 * `sum(v.loads, f => f.draw, f => f.wet)` goes over those of its rows for which the last function holds.
 */
(function () {
  "use strict";

  const { kit } = globalThis.bluecone.sums;
  const { finite, lack } = kit;

  const over = (list, holds) => (holds ? function* () { for (const row of list.rows) if (holds(row.f)) yield row; } : () => list.rows)();

  /** The row whose value stands out, by `before`: whether the first comes before the second. */
  const extreme = (before) => (list, value, holds) => {
    let found = null;
    for (const { f } of over(list, holds)) {
      const number = finite(value(f));
      if (found === null || before(number, found)) found = number;
    }
    return found ?? lack(`“${list.title}” has no row for this.`);
  };

  Object.assign(kit, {
    sum(list, value, holds) {
      let total = 0;
      for (const { f } of over(list, holds)) total += finite(value(f));
      return total;
    },
    count: (list, holds) => [...over(list, holds)].length,
    least: extreme((a, b) => a < b),
    most: extreme((a, b) => a > b),
    tally(list, value, holds) {
      /** @type {Map<string, number>} */
      const times = new Map();
      for (const { f } of over(list, holds)) times.set(value(f), (times.get(value(f)) || 0) + 1);
      return [...times].map(([text, n]) => `${n} × ${text}`).join("; ") || "none";
    },
    failing(list, truth, holds) {
      for (const { f, title } of over(list, holds)) if (!truth(f)) return title;
      return lack(`None of “${list.title}” fails.`);
    },
  });

  /** What sums see of a row: what is missing is said with the row. */
  function needed(list, title, parts) {
    const f = {};
    parts.forEach((part, at) => {
      const label = list.inputs[at] || list.steps[at - list.inputs.length];
      const value = part.counts === false ? null : part.value;
      Object.defineProperty(f, label.id, { get: () => value ?? lack(`It needs “${label.title}” of “${title}”, which has no value.`) });
    });
    return { title, f };
  }

  const same = (some, others) => some.length === others.length && some.every((one, at) => one === others[at]);

  /** @type {import("./sums").WorkLists} Rows in which nothing changed stay the same objects, and so does a list of such rows. */
  kit.lists = (labels, lists, given, { v, put, memo }) =>
    labels.map((list) => {
      const { when, steps } = lists[list.id];
      const typed = given[list.id];
      const { least, most } = list;
      const wrong = typed.length < least || typed.length > most;
      const last = memo(list);
      last.names = last.names || [];
      const rows = typed.slice(0, most).map((row, at) => {
        const own = (last.names[at] = last.names[at] || { ...kit.names(), parts: [] });
        const { v: f } = own;
        const inputs = list.inputs.map((label) => kit.input(label, when[label.id], row[label.id], own, f, v));
        const worked = list.steps.map((label) => kit.step(label, steps[label.id], own, f, v));
        const parts = [...inputs, ...worked];
        if (!same(parts, own.parts)) {
          const called = inputs.find(({ id, counts, shown }) => id === list.called && counts && shown);
          const title = `${list.row} ${at + 1}${called ? ": " + called.shown : ""}`;
          Object.assign(own, { parts, row: { title, inputs, steps: worked }, seen: needed(list, title, parts) });
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
