/**
 * Picks from tables, for calculators that have some: loaded after sums.js, before the tables and the calculator's own script.
 * A table's script calls `bluecone.table(id, order, columns)`. In a calculator's script `t1.amps` gives a cell of the column
 * `amps`: `t1.amps(8)` where the first column is 8, `t1.amps({ size: 8, use: "cord" })` where these columns are that,
 * `t1.amps(r => …)` in the first row for which it holds; by the column in which the rows rise, `t1.amps.next(31)` in that row or
 * the next one up, `t1.amps.between(31)` in proportion between two rows.
 */
(function () {
  "use strict";

  const { sums } = globalThis.bluecone;
  const { finite, alike, same, lack } = sums.kit;

  /** An empty cell has no value; an empty sentence stands for the step's own. */
  const empty = () => lack("");

  /** A row in which reading an empty cell throws. */
  function guarded(row) {
    const guard = {};
    for (const [name, cell] of Object.entries(row)) Object.defineProperty(guard, name, cell === null ? { get: empty } : { value: cell });
    return guard;
  }

  /** Rows with an empty cell where the truth needs a figure are passed over. */
  const holds = (truth) => (row) => {
    try {
      return truth(row);
    } catch (error) {
      if (error.says === "") return false;
      throw error;
    }
  };

  /** @type {import("./sums").AddTable} */
  globalThis.bluecone.table = (id, order, columns) => {
    const names = Object.keys(columns);
    const rows = [];
    for (const name of names) {
      const { cells = columns[name], scale = null } = /** @type {any} */ (columns[name]);
      cells.forEach((cell, at) => {
        rows[at] = rows[at] || {};
        rows[at][name] = scale && cell !== null ? ((cell + scale[0]) * scale[1]) / scale[2] : cell;
      });
    }
    const guards = rows.map(guarded);
    const rising = rows.filter((row) => order && row[order] !== null);
    const reach = (wanted) => rising.findIndex((row) => wanted < row[order] || alike(row[order], wanted));
    const column = (name) => {
      const figure = (row) => row?.[name] ?? empty();
      const cell = (wanted) => {
        if (typeof wanted === "function") return figure(rows[guards.findIndex(holds(wanted))]);
        const keys = typeof wanted === "object" ? wanted : { [names[0]]: wanted };
        Object.values(keys).forEach(finite);
        return figure(rows.find((row) => Object.keys(keys).every((key) => row[key] !== null && same(row[key], keys[key]))));
      };
      cell.next = (wanted) => figure(rising[reach(finite(wanted))]);
      cell.between = (wanted) => {
        const at = reach(finite(wanted));
        const row = rising[at];
        if (!row || alike(row[order], wanted)) return figure(row);
        const [low, from] = [figure(rising[at - 1]), rising[at - 1][order]];
        return low + ((figure(row) - low) * (wanted - from)) / (row[order] - from);
      };
      return cell;
    };
    sums.tables[id] = Object.fromEntries(names.map((name) => [name, column(name)]));
  };
})();
