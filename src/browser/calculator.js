/**
 * Makes a calculator's page live: reads the fields, works the sum, and writes the result into the elements that the page
 * was drawn with. The arithmetic is in `sums.js` and the calculator's own script; titles, units and sentences are read from
 * the page; the drawings are in `lanes.js` and `terminal.js`; the address and what is remembered, in `sum-link.js`.
 */
(function () {
  "use strict";

  const { sums, lanes, terminal, link, sumRows, sumMade, sumResult } = globalThis.bluecone;

  /** @param {ParentNode} root @param {string} name the part of a `data-` attribute @returns {HTMLElement[]} */
  const all = (root, name) => Array.from(root.querySelectorAll(`[data-${name}]`));

  /** @param {ParentNode} root @param {string} name @returns {HTMLElement | null} */
  const one = (root, name) => root.querySelector(`[data-${name}]`);

  /** What was written last: looking it up costs less than asking the page. @type {WeakMap<HTMLElement, string>} */
  const said = new WeakMap();

  /** Writes only what is new: a browser lays out the page again for each change. @param {HTMLElement | null} element @param {string} text */
  function say(element, text) {
    if (!element || said.get(element) === text) return;
    said.set(element, text);
    if (element.textContent !== text) element.textContent = text;
  }

  /** @param {HTMLElement | null} element @param {boolean} hidden */
  function hide(element, hidden) {
    if (element && element.hidden !== hidden) element.hidden = hidden;
  }

  /** @param {string | undefined} text @returns {import("./sums").Scale} */
  const scale = (text) => (text || "").split(" ").map(Number);

  /** @param {HTMLElement} element an option, or the words of the only unit @returns {import("./sums").Unit} */
  const unit = (element) => ({
    shown: element.textContent || "",
    code: element.dataset.code ?? /** @type {HTMLOptionElement} */ (element).value,
    scale: scale(element.dataset.scale),
    limits: element.dataset.limits || "",
  });

  /** @param {HTMLElement} field @returns {import("./sums").InputLabel} */
  const inputLabel = (field) => ({
    id: field.dataset.input || field.dataset.cell || "",
    title: field.dataset.title || "",
    units: all(field, "scale").map(unit),
    from: Number(field.dataset.from),
    to: Number(field.dataset.to),
    whole: "whole" in field.dataset,
    choices: Array.from(field.querySelectorAll("[data-entry] option"), (option) => [
      /** @type {HTMLOptionElement} */ (option).value,
      option.textContent || "",
    ]),
  });

  /** What the choices are called that a step hands on, by id; it names their inputs, or fields of rows. @param {HTMLElement} step */
  const titles = (step) => {
    const found = Object.create(null);
    const sheet = /** @type {HTMLElement} */ (step.closest("[data-sum]"));
    for (const name of (step.dataset.titles || "").split(" ").filter(Boolean)) {
      const blanks = all(sheet, "list").map((list) => /** @type {any} */ (one(list, "blank")).content);
      const field = [sheet, ...blanks].map((part) => part.querySelector(`[data-input="${name}"], [data-cell="${name}"]`)).find(Boolean);
      for (const [id, title] of field ? inputLabel(field).choices : []) found[id] = title;
    }
    return found;
  };

  /** @param {HTMLElement} step @returns {import("./sums").StepLabel} */
  const stepLabel = (step) => ({
    id: step.dataset.step || step.dataset.rowStep || "",
    title: step.dataset.title || step.querySelector("h3")?.textContent || "",
    unit: step.dataset.scale ? { shown: step.dataset.shown || "", code: "", scale: scale(step.dataset.scale), limits: "" } : null,
    digits: "digits" in step.dataset ? Number(step.dataset.digits) : null,
    none: step.dataset.none ?? null,
    titles: titles(step),
  });

  /** The label in metric units, if the step has some. @param {import("./sums").StepLabel} label @param {DOMStringMap} of @returns {import("./sums").StepLabel} */
  const metric = (label, { metric, metricShown = "" }) =>
    metric ? { ...label, unit: { shown: metricShown, code: "", scale: scale(metric), limits: "" }, digits: null } : label;

  /** Verdicts in their own order: those that warn stand elsewhere. @param {HTMLElement} sheet */
  const verdictsOf = (sheet) => all(sheet, "verdict").sort((a, b) => Number(a.dataset.at) - Number(b.dataset.at));

  /** What the page holds for the sum. @param {HTMLElement} sheet @returns {import("./sums").Labels} */
  const labels = (sheet) => ({
    inputs: all(sheet, "input").map(inputLabel),
    lists: all(sheet, "list").map((list) => {
      const { list: id = "", title = "", one: row = "", called = "", least, most } = list.dataset;
      const blank = /** @type {HTMLTemplateElement} */ (one(list, "blank"));
      const table = sheet.querySelector(`[data-table="${id}"]`);
      const steps = table ? all(table, "row-step").map(stepLabel) : [];
      return { id, title, row, called, least: Number(least), most: Number(most), inputs: all(blank.content, "cell").map(inputLabel), steps };
    }),
    steps: all(sheet, "step").map(stepLabel),
    verdicts: verdictsOf(sheet).map((verdict) => ({
      key: verdict.dataset.verdict || "",
      is: all(verdict, "is").map((band) => band.dataset.is || ""),
    })),
    phases: all(sheet, "phase").map((phase) => ({
      title: phase.dataset.phase || "",
      on: (phase.dataset.on || "").split(" ").filter(Boolean).map(Number),
    })),
    drawing: all(sheet, "part").map((part) => ({ name: part.dataset.part || "", of: part.dataset.of || "" })),
  });

  /** @param {HTMLElement} sheet */
  function start(sheet) {
    const id = sheet.dataset.sum || "";
    if (!sums.has(id)) return;
    const form = /** @type {HTMLFormElement} */ (sheet.querySelector("form"));
    const written = labels(sheet);
    const fields = all(sheet, "input").map(fieldOf);
    const steps = all(sheet, "step").map(stepOf);
    const verdicts = verdictsOf(sheet).map(verdictOf);
    const [means, chart, drawing, spoken, wrongs, note, copied] = ["verdicts", "chart", "drawing", "spoken", "wrong", "note", "copied"].map((name) => one(sheet, name));
    const us = { steps: written.steps, lists: written.lists };
    const si = {
      steps: us.steps.map((label, at) => metric(label, steps[at].place.dataset)),
      lists: us.lists.map((list) => {
        const parts = all(sheet, "row-step").filter((part) => part.closest(`[data-table="${list.id}"]`));
        return { ...list, steps: list.steps.map((label, at) => metric(label, parts[at].dataset)) };
      }),
    };
    /** The system that the reader asked for, if any. */
    let system = "";
    /** Fields stand in the units that the page shows; those that it was drawn with stay until the reader asks for a system. */
    function suit(fields, labels) {
      const wanted = written.steps === si.steps ? "si" : system;
      if (wanted) fields.forEach((field, at) => convert(field, labels[at], wanted));
    }
    const suitRow = (cells, id) => suit(cells, written.lists.find((list) => list.id === id)?.inputs);
    const lists = sumRows ? sumRows(sheet, fieldOf, showInput, () => work(true), suitRow) : [];
    const result = sumResult?.(sheet, verdicts, means);
    const plot = one(sheet, "plot") ? globalThis.bluecone.plot.start(sheet, id) : null;
    const everyField = () => [...fields, ...lists.flatMap((list) => list.fields())];
    let [later, frame] = [0, 0];
    /** What a frame still has to draw. @type {() => void} */
    let draw = () => {};
    /** Whether the address does not have yet what the reader changed. */
    let unkept = false;
    /** What was wrong when a screen reader was last told. @type {string[]} */
    let told = [];

    function keep() {
      if (unkept) link.show(link.write(everyField()));
      unkept = false;
    }

    function given() {
      /** @type {import("./sums").Given} */
      const texts = {};
      for (const { id, entry, unit } of fields) texts[id] = unit ? [entry.value, unit.value] : entry.value;
      for (const list of lists) texts[list.id] = list.given();
      return texts;
    }

    /**
     * Results, verdicts and sentences are written at once; numbers in the working, tables and drawings with the next frame.
     * @param {boolean} touched whether the reader changed something, which the address then keeps
     */
    function work(touched) {
      const texts = given();
      const worked = sums.work(id, written, texts);
      if (touched) {
        unkept = true;
        say(copied, "");
      }
      fields.forEach((field, at) => showRange(field, written.inputs[at]));
      /** @type {Record<string, string>} */
      const shown = {};
      const wrong = [];
      worked.inputs.forEach((input, at) => {
        showInput(fields[at], input);
        shown[input.id] = input.shown;
        if (input.counts && input.says) wrong.push(`“${fields[at].title}”: ${input.says}`);
      });
      worked.lists.forEach((list, at) => {
        lists[at].show(list, (cell, place) => showRange(cell, written.lists[at].inputs[place]));
        wrong.push(...lists[at].wrong(list));
      });
      worked.steps.forEach((step, at) => {
        showStep(steps[at], step);
        // A step that solves for an input has its name, and nothing to say where the input is given.
        if (step.value !== null || !(step.id in shown)) shown[step.id] = step.shown;
      });
      worked.verdicts.forEach((verdict, at) => {
        showVerdict(verdicts[at], verdict, shown[written.verdicts[at].key.split(" ")[0]]);
      });
      const inSi = written.steps === si.steps;
      // Before the plot works the sum at other places.
      const made = worked.steps.map(({ value, branch }, at) =>
        value === null ? [] : (steps[at].lines[branch]?.made || []).map(({ us, si }) => sumMade(id, inSi ? si : us)),
      );
      const rest = result ? result(worked) : verdicts;
      hide(means, rest.every(({ place }) => place.hidden));
      say(wrongs, wrong.length ? `${wrong.join(" ")} What needs it has no result.` : "");
      hide(wrongs, !wrong.length);
      draw = () => {
        cancelAnimationFrame(frame);
        [frame, draw] = [0, () => {}];
        worked.steps.forEach((step, at) => showLines(steps[at], step, shown, made[at]));
        worked.lists.forEach((list, at) => lists[at].draw(list));
        if (chart && worked.timeline) showChart(chart, worked.timeline);
        if (drawing) showDrawing(drawing, terminal(measures(worked.drawing)));
        plot?.(written, texts);
        // Once the typing pauses, so that a screen reader is not interrupted at every key, nor the address rewritten.
        clearTimeout(later);
        later = setTimeout(() => {
          say(spoken, wrong.find((words) => !told.includes(words)) || wrong[0] || summary(worked));
          told = wrong;
          keep();
        }, 700);
      };
      if (!frame) frame = requestAnimationFrame(() => draw());
    }

    /** What came out, as one sentence for a screen reader: the verdicts, or the last step. */
    function summary(worked) {
      const bands = verdicts
        .filter((verdict) => !verdict.place.hidden)
        .map((verdict) => verdict.bands.find((band) => !band.hidden))
        .map((band) => band?.querySelector("p")?.textContent?.replace(/\s+/g, " ").trim())
        .filter(Boolean);
      if (bands.length) return bands.join(" ");
      const at = worked.steps.map((step) => step.value !== null).lastIndexOf(true);
      return at < 0 ? "" : `${written.steps[at].title}: ${worked.steps[at].shown}.`;
    }

    /** Shows steps in the units of a system; fields keep their quantity. @param {string} wanted @param {boolean} fieldsToo */
    function switchTo(wanted, fieldsToo) {
      Object.assign(written, wanted === "si" ? si : us);
      if (fieldsToo) {
        system = wanted;
        suit(fields, written.inputs);
        for (const list of lists) list.suit();
      }
      for (const radio of form.querySelectorAll("[name=system]")) {
        const button = /** @type {HTMLInputElement} */ (radio);
        button.checked = button.value === wanted;
      }
    }

    /** @param {string} fragment */
    function open(fragment) {
      const pairs = new URLSearchParams(fragment.replace(/^#sum\?/, ""));
      const wrong = lists.filter((list) => !list.open(pairs)).map((list) => list.title);
      const left = link.read(everyField(), fragment, wrong);
      for (const list of lists) list.settle();
      say(note, left || "");
      unkept = false;
      hide(note, !left);
      const system = link.system();
      switchTo(system || "us", system !== null && left === null);
      work(false);
    }

    form.addEventListener("input", (event) => {
      const button = /** @type {HTMLInputElement} */ (event.target);
      if (button.name === "system") {
        link.keepSystem(button.value);
        switchTo(button.value, true);
      }
      work(true);
    });
    form.addEventListener("change", (event) => {
      const field = everyField().find(({ entry }) => entry === event.target);
      if (field && intoList(field)) work(true);
      // Whoever leaves a field may leave the page.
      keep();
    });
    form.addEventListener("submit", (event) => event.preventDefault());
    // The browser puts the starting values back after this event.
    form.addEventListener("reset", () =>
      setTimeout(() => {
        open("");
        link.show("");
      }, 0),
    );
    window.addEventListener("beforeprint", () => {
      draw();
      plot?.flush();
    });
    window.addEventListener("hashchange", ({ oldURL }) => {
      const back = !location.hash && oldURL.includes("#sum?");
      if (back || location.hash.startsWith("#sum?")) open(location.hash);
    });
    tools(sheet, () => location.href.split("#")[0] + link.write(everyField()));
    open(location.hash);
  }

  /** @param {HTMLElement} sheet @param {() => string} address */
  function tools(sheet, address) {
    const copied = one(sheet, "copied");
    const button = (name, press) => {
      const found = one(sheet, name);
      found?.addEventListener("click", () => press(found));
      hide(found, false);
    };
    button("copy", async () => {
      const text = address();
      say(copied, (await link.copy(text)) ? "The link is copied. It opens this sum with these values." : `Copy this link: ${text}`);
    });
    button("print", () => window.print());
    button("unfold", (found) => {
      const folds = Array.from(sheet.querySelectorAll(".step-fold"));
      const open = folds.some((fold) => !(/** @type {HTMLDetailsElement} */ (fold).open));
      for (const fold of folds) /** @type {HTMLDetailsElement} */ (fold).open = open;
      say(found, open ? "Close all steps" : "Open all steps");
    });
    hide(one(sheet, "system"), false);
  }

  /** Elements are looked up once, not at every key. @param {HTMLElement} place */
  const fieldOf = (place) => ({
    place,
    id: place.dataset.input || "",
    title: place.dataset.title || "",
    entry: /** @type {HTMLInputElement | HTMLSelectElement} */ (one(place, "entry")),
    unit: /** @type {HTMLSelectElement | null} */ (one(place, "unit")),
    says: one(place, "says"),
    range: one(place, "range"),
    /** The unit that the range is told in. */
    told: 0,
    /** What the last switch of units made of what was typed. @type {{ here: number, there: number, from: string, to: string } | null} */
    converted: null,
    chosen: chosenOf(place),
  });

  /** Tells the range in the unit that is chosen. @param {ReturnType<fieldOf>} field @param {import("./sums").InputLabel} label */
  function showRange(field, { units, whole }) {
    const { range, unit: list, told } = field;
    if (!list || !range || list.selectedIndex === told) return;
    field.told = list.selectedIndex;
    range.textContent = `${whole ? "Whole number from" : "From"} ${units[field.told].limits}.`.replace(/\.\.$/, ".");
  }

  /** The widths of lists of choices, as they change and as folded ones are opened; and a pen that measures words. */
  const rooms = new WeakMap();
  const watch = new ResizeObserver((seen) => {
    for (const { target, contentRect } of seen) {
      rooms.set(target, contentRect.width);
      const line = target.closest(".sum-field")?.querySelector("[data-chosen]");
      repeat(/** @type {HTMLSelectElement} */ (target), /** @type {HTMLElement} */ (line));
    }
  });
  const pen = document.createElement("canvas").getContext("2d");
  /** What the browser's arrow takes of a list's width, in pixels. */
  const ARROW = 24;

  /** The line below a list of choices, if the field has one. @param {HTMLElement} place */
  function chosenOf(place) {
    const line = one(place, "chosen");
    if (line) watch.observe(/** @type {HTMLElement} */ (one(place, "entry")));
    return line;
  }

  /** A closed list cuts words that do not fit into it, so they are repeated below. @param {HTMLSelectElement} list @param {HTMLElement} line */
  function repeat(list, line) {
    const words = list.selectedOptions[0]?.text || "";
    const { fontWeight, fontSize, fontFamily } = getComputedStyle(list);
    if (pen) pen.font = `${fontWeight} ${fontSize} ${fontFamily}`;
    const wide = pen ? pen.measureText(words).width : 0;
    say(line, `Chosen: ${words}`);
    hide(line, wide <= (rooms.get(list) || Infinity) - ARROW);
  }

  /** What goes over rows inside a formula, and how it is shown in either system. @param {HTMLElement} place */
  function madeOf(place) {
    const { made: key = "", figures } = place.dataset;
    const us = { ...stepLabel(place), key, figures: Number(figures) };
    return { place, us, si: metric(us, place.dataset) };
  }

  /** @param {HTMLElement} place */
  const stepOf = (place) => ({
    place,
    value: one(place, "value"),
    says: one(place, "says"),
    lines: all(place, "line").map((line) => ({
      line,
      names: all(line, "of").map((name) => ({ name, of: name.dataset.of || "" })),
      made: all(line, "made").map(madeOf),
    })),
  });

  /** @param {HTMLElement} place */
  const verdictOf = (place) => ({ place, value: one(place, "value"), bands: all(place, "band"), none: one(place, "none") });

  /** A number that can stand alone in a field. */
  const NUMBER = /^[-+−]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?$/i;

  /**
   * Once the field is left, a unit that was typed behind the number goes into the list beside it, which else says another one.
   * @returns {boolean} whether there was one
   */
  function intoList({ entry, unit: list }) {
    const typed = entry.value.trim();
    if (NUMBER.test(typed)) return false;
    for (const { textContent, value } of list?.options || []) {
      // A code such as `1` would be taken for digits.
      for (const name of [textContent, value].filter((name) => /^(1\/[a-z]|\D)/i.test(name))) {
        const number = typed.slice(0, -name.length).trim();
        if (!typed.endsWith(name) || !NUMBER.test(number)) continue;
        [entry.value, list.value] = [number, value];
        return true;
      }
    }
    return false;
  }

  /** The same quantity in a unit of the system, if the field offers one. @param {ReturnType<fieldOf>} field @param {import("./sums").InputLabel} label */
  function convert(field, label, system) {
    const { entry, unit: list } = field;
    const { units } = label;
    if (!list) return;
    const customary = Array.from(list.options, (option) => "customary" in option.dataset);
    const here = list.selectedIndex;
    const there = customary.indexOf(system === "us");
    if (there < 0 || !customary.includes(true) || customary[here] === (system === "us")) return;
    list.selectedIndex = there;
    const { attempt, readNumber, toBase, fromBase, below } = sums.kit;
    const old = field.converted;
    field.converted = null;
    if (old && old.there === here && old.here === there && old.to === entry.value) {
      // Back to what was typed, without what rounding would leave.
      entry.value = old.from;
      return;
    }
    const from = entry.value;
    const read = attempt(() => readNumber(from)).value;
    // What cannot be read is refused in any unit, and what names its own unit needs no other.
    if (!read || read[1]) return;
    const exact = fromBase(units[there], toBase(units[here], read[0]));
    const short = Number(exact.toPrecision(7));
    const base = toBase(units[there], short);
    const outside = below(base, toBase(units[0], label.from)) || below(toBase(units[0], label.to), base);
    entry.value = String(outside ? Number(exact.toPrecision(13)) : short);
    field.converted = { here, there, from, to: entry.value };
  }

  /** What shows each part, as last given: the same object shows the same. @type {WeakMap<object, object>} */
  const shows = new WeakMap();

  /** @param {object} parts @param {object} worked */
  function news(parts, worked) {
    const news = shows.get(parts) !== worked;
    if (news) shows.set(parts, worked);
    return news;
  }

  /** @param {ReturnType<fieldOf>} field */
  function showInput(field, input) {
    if (!news(field, input)) return;
    const { place, entry, says, chosen } = field;
    const list = /** @type {HTMLSelectElement} */ (entry);
    if (chosen && chosen.textContent !== `Chosen: ${list.selectedOptions[0]?.text}`) repeat(list, chosen);
    const wrong = input.counts ? input.says : "";
    hide(place, !input.counts);
    say(says, wrong);
    if (!wrong) entry.removeAttribute("aria-invalid");
    else if (!entry.hasAttribute("aria-invalid")) entry.setAttribute("aria-invalid", "true");
  }

  /** @param {ReturnType<stepOf>} parts */
  function showStep(parts, step) {
    if (!news(parts, step)) return;
    const { place, value, says } = parts;
    say(value, step.shown);
    hide(value, !step.shown);
    say(says, step.says);
    hide(says, !step.says);
    if (place.classList.contains("step-none") !== (step.value === null)) place.classList.toggle("step-none");
    hide(place, step.idle);
  }

  /**
   * @param {ReturnType<stepOf>} parts @param {Record<string, string>} shown the values of inputs and earlier steps
   * @param {string[]} texts what goes over rows in the branch that is taken
   */
  function showLines({ lines }, step, shown, texts) {
    lines.forEach(({ line, names, made }, at) => {
      const here = step.value !== null && at === step.branch;
      hide(line, !here);
      if (!here) return;
      for (const { name, of } of names) say(name, shown[of]);
      made.forEach(({ place }, at) => say(place, texts[at]));
    });
  }

  /** @param {ReturnType<verdictOf>} parts @param {import("./sums").Attempt<number>} verdict @param {string} shown what is judged */
  function showVerdict(parts, verdict, shown) {
    const { place, value, bands, none } = parts;
    say(value, shown);
    if (!news(parts, verdict)) return;
    hide(place, verdict.idle);
    bands.forEach((band, at) => hide(band, at !== verdict.value));
    hide(none, verdict.value !== null);
    say(none, verdict.says);
  }

  /** Drawings by their place, as last drawn. @type {Map<Element, string>} */
  const drawn = new Map();

  /** @param {Element} place @param {string} svg @returns {boolean} whether it is a new one */
  function showDrawing(place, svg) {
    if (drawn.get(place) === svg) return false;
    drawn.set(place, svg);
    place.innerHTML = svg;
    return true;
  }

  /** @param {HTMLElement} place @param {{value: any[] | null, says: string}} timeline */
  function showChart(place, timeline) {
    if (!news(place, timeline)) return;
    const segments = timeline.value || [];
    const titles = all(place, "lane").map((lane) => lane.dataset.lane || "");
    const picture = one(place, "picture");
    const says = one(place, "says");
    say(says, timeline.says);
    hide(says, timeline.says === "");
    if (!picture || !showDrawing(picture, lanes.chart(place.dataset.chart || "", titles, segments))) return;
    one(place, "phases")?.replaceChildren(
      ...segments.map((segment) => {
        const row = document.createElement("tr");
        const on = segment.on.map((lane) => titles[lane]).join(", ");
        [segment.title, lanes.clock(segment.start), lanes.clock(segment.end), on].forEach((text, at) => {
          const cell = document.createElement(at === 0 ? "th" : "td");
          if (at === 0) cell.setAttribute("scope", "row");
          cell.textContent = text;
          row.append(cell);
        });
        return row;
      }),
    );
  }

  /** @param {{name: string, value: any}[]} parts */
  function measures(parts) {
    const value = (name) => parts.find((part) => part.name === name)?.value ?? undefined;
    return {
      tabWidth: value("tab-width"),
      tabThickness: value("tab-thickness"),
      conductor: value("conductor-diameter"),
      strip: value("strip"),
      sleeve: value("sleeve"),
    };
  }

  globalThis.bluecone.calculator = { labels };
  document.querySelectorAll("[data-sum]").forEach((sheet) => start(/** @type {HTMLElement} */ (sheet)));
})();
