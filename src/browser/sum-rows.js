/**
 * Rows on a calculator's page: adds and takes away, reads their fields, writes what came out. Loaded before calculator.js, which
 * calls it where a page has lists. Rows have no names of their own: taking one away moves the values of those below it up.
 */
(function () {
  "use strict";

  /** @param {ParentNode} root @param {string} name @returns {HTMLElement[]} */
  const all = (root, name) => Array.from(root.querySelectorAll(`[data-${name}]`));
  /** @param {ParentNode} root @param {string} name @returns {any} */
  const one = (root, name) => root.querySelector(`[data-${name}]`);

  /**
   * @param {HTMLElement} place @param {HTMLElement} sheet @param {any} fieldOf
   * @param {any} showInput @param {() => void} changed @param {(cells: any[], list: string) => void} suit puts cells into the page's units
   */
  function list(place, sheet, fieldOf, showInput, changed, suit) {
    const id = place.dataset.list || "";
    const holder = one(place, "rows");
    const blank = one(place, "blank").content.firstElementChild;
    const drawn = all(place, "line-row").map((row) => row.cloneNode(true));
    const table = sheet.querySelector(`[data-table="${id}"]`);
    const body = table && one(table, "results");
    const heads = table ? Array.from(table.querySelectorAll("thead th"), (head) => head.textContent).slice(1) : [];
    /** The rows as the table shows them. @type {object[]} */
    const listed = [];
    const least = Number(place.dataset.least);
    const most = Number(place.dataset.most);
    const shows = (place.dataset.shows || "").split(" ");
    /** What the address keeps of the number of rows. */
    const count = { value: String(drawn.length), defaultValue: String(drawn.length) };
    /** @type {{row: HTMLElement, cells: any[], worked?: any}[]} */
    let rows = [];

    /** Ids hold the row's number. @param {HTMLElement} row @param {number} at */
    function numbered(row, at) {
      const old = new RegExp(`(to--(?:in|help|says)-${id}-)\\d+`, "g");
      for (const element of row.querySelectorAll("[id], [for], [aria-describedby]")) {
        for (const name of ["id", "for", "aria-describedby"]) {
          const value = element.getAttribute(name);
          if (value) element.setAttribute(name, value.replace(old, `$1${at + 1}`));
        }
      }
      const cells = all(row, "cell").map((cell) => ({ ...fieldOf(cell), cell: cell.dataset.cell, id: `${id}.${at + 1}.${cell.dataset.cell}` }));
      one(row, "remove").addEventListener("click", () => remove(at));
      return { row, cells };
    }

    /** Every row's fields as calculator.js knows fields, and the number of rows. */
    const fields = () => [{ id, title: place.dataset.title || "", entry: count, unit: null }, ...rows.flatMap(({ cells }) => cells)];

    /** Makes it so many rows. @param {number} wanted */
    function resize(wanted) {
      while (rows.length > wanted) rows.pop()?.row.remove();
      while (rows.length < wanted) {
        const row = /** @type {HTMLElement} */ ((drawn[rows.length] || blank).cloneNode(true));
        rows.push(numbered(row, rows.length));
        holder.append(row);
      }
      count.value = String(rows.length);
      for (const { row } of rows) one(row, "remove").hidden = rows.length <= least;
      one(place, "add").hidden = rows.length >= most;
    }

    function add() {
      resize(rows.length + 1);
      const { row, cells } = rows[rows.length - 1];
      // A row that stood here at the start had values of its own; a new one is blank.
      all(blank, "cell").forEach((cell, at) => {
        const from = fieldOf(cell);
        const start = (entry) => ("options" in entry ? (entry.querySelector("option[selected]") || entry.options[0]).value : entry.getAttribute("value"));
        cells[at].entry.value = start(from.entry);
        if (from.unit) cells[at].unit.value = start(from.unit);
      });
      suit(cells, id);
      one(row, "fold").open = true;
      changed();
      cells[0].entry.focus();
    }

    /** @param {number} at */
    function remove(at) {
      for (let next = at + 1; next < rows.length; next++) {
        rows[next].cells.forEach(({ entry, unit }, cell) => {
          const above = rows[next - 1].cells[cell];
          above.entry.value = entry.value;
          if (unit) above.unit.value = unit.value;
        });
      }
      resize(rows.length - 1);
      changed();
      const near = rows[Math.min(at, rows.length - 1)];
      const button = near && one(near.row, "remove");
      const fold = near && one(near.row, "fold");
      (button && !button.hidden && fold.open ? button : fold ? fold.firstElementChild : one(place, "add")).focus();
    }

    one(place, "add").addEventListener("click", add);
    rows = all(place, "line-row").map(numbered);
    resize(rows.length);

    return {
      id,
      title: place.dataset.title || "",
      fields,
      /** Puts every row's fields into the page's units. */
      suit: () => rows.forEach(({ cells }) => suit(cells, id)),
      /** What is typed, row by row. */
      given: () =>
        rows.map(({ cells }) => Object.fromEntries(cells.map(({ cell, entry, unit }) => [cell, unit ? [entry.value, unit.value] : entry.value]))),
      /** The rows that an address asks for, or those that the page was drawn with; false if it asks for none that can be. @param {URLSearchParams} pairs */
      open(pairs) {
        const given = pairs.get(id);
        const asked = /^\d+$/.test(given || "") ? Number(given) : NaN;
        const fits = asked >= least && asked <= most;
        resize(fits ? asked : drawn.length);
        return fits || given === null;
      },
      /** The number of rows after the address was read. */
      settle: () => (count.value = String(rows.length)),
      show(worked, showRange) {
        const says = one(place, "list-says");
        if (says.textContent !== worked.says) says.textContent = worked.says;
        worked.rows.forEach((line, at) => {
          const { row, cells, worked } = rows[at];
          cells.forEach(showRange);
          // The same object shows the same.
          if (line === worked) return;
          const { title, inputs, steps } = (rows[at].worked = line);
          for (const name of all(row, "row-title")) if (name.textContent !== title) name.textContent = title;
          const results = steps.filter(({ id, value }) => value !== null && shows.includes(id)).map((step) => step.shown);
          one(row, "row-shows").textContent = results.join(" · ");
          inputs.forEach((input, cell) => showInput(cells[cell], input));
          // What is wrong is seen.
          if (inputs.some((input) => input.counts && input.says)) one(row, "fold").open = true;
        });
      },
      /** The table of what came out, row by row. */
      draw(worked) {
        if (!body) return;
        while (body.children.length > worked.rows.length) body.lastElementChild.remove();
        worked.rows.forEach((row, at) => {
          if (listed[at] === row && at < body.children.length) return;
          listed[at] = row;
          const line = document.createElement("tr");
          const cell = (kind, text) => line.appendChild(Object.assign(document.createElement(kind), { textContent: text }));
          cell("th", row.title).setAttribute("scope", "row");
          row.steps.forEach((step, at) => {
            const { value, says, idle } = step;
            const lacks = value === null && !idle;
            const result = cell("td", lacks ? says : idle ? "–" : step.shown);
            result.classList.toggle("lacks", lacks);
            result.classList.toggle("idle", idle);
            result.dataset.label = heads[at];
          });
          if (at < body.children.length) body.children[at].replaceWith(line);
          else body.append(line);
        });
      },
      /** What is wrong in it, for the line above the results. */
      wrong: (worked) => [
        ...(worked.says ? [`“${place.dataset.title}”: ${worked.says}`] : []),
        ...worked.rows.flatMap(({ title, inputs }, at) =>
          inputs.map((input, cell) => (input.counts && input.says ? `“${title}”, “${rows[at].cells[cell].title}”: ${input.says}` : "")).filter(Boolean),
        ),
      ],
    };
  }

  /**
   * What goes over rows inside a step's formula came to, as last worked and as the working shows it; `Made` in `formula/wording.rs`
   * shows the same, and a test holds the two together.
   * @param {string} id @param {import("./sums").Made} label
   */
  function made(id, { key, unit, digits, figures }) {
    const { edges, format, kit } = globalThis.bluecone.sums;
    const [base] = edges(id, key);
    if (base === null) return "–";
    const number = format(kit.fromBase(unit, base), digits ?? undefined, figures);
    return unit.shown ? `${number}\u00a0${unit.shown}` : number;
  }

  globalThis.bluecone.sumMade = made;
  globalThis.bluecone.sumRows = (sheet, ...page) => all(sheet, "list").map((place) => list(place, sheet, ...page));
})();
