/**
 * Makes a calculator's page live: reads the fields, works the sum, and writes the result into the elements that the page
 * was drawn with. The arithmetic is in `sums.js` and the calculator's own script; titles, units and sentences are read from
 * the page; the drawings are in `lanes.js` and `terminal.js`.
 */
(function () {
  "use strict";

  const { sums, lanes, terminal } = globalThis.bluecone;

  /** @param {ParentNode} root @param {string} name the part of a `data-` attribute @returns {HTMLElement[]} */
  const all = (root, name) => Array.from(root.querySelectorAll(`[data-${name}]`));

  /** @param {HTMLElement} element @returns {import("./sums").Unit} */
  const unit = (element) => ({
    shown: element.dataset.shown ?? (element.textContent || ""),
    code: element.dataset.code ?? (/** @type {HTMLOptionElement} */ (element).value || ""),
    scale: (element.dataset.scale || "").split(" ").map(Number),
  });

  /** What the page holds for the sum. @param {HTMLElement} sheet @returns {import("./sums").Labels} */
  const labels = (sheet) => ({
    inputs: all(sheet, "input").map((field) => ({
      id: field.dataset.input || "",
      title: field.dataset.title || "",
      units: all(field, "scale").map(unit),
      from: Number(field.dataset.from),
      to: Number(field.dataset.to),
      whole: "whole" in field.dataset,
      choices: Array.from(field.querySelectorAll("[data-entry] option"), (option) => [
        /** @type {HTMLOptionElement} */ (option).value,
        option.textContent || "",
      ]),
    })),
    steps: all(sheet, "step").map((step) => ({
      id: step.dataset.step || "",
      title: step.querySelector("h3")?.textContent || "",
      unit: "scale" in step.dataset ? unit(step) : null,
      digits: "digits" in step.dataset ? Number(step.dataset.digits) : null,
      none: step.dataset.none ?? null,
    })),
    verdicts: all(sheet, "verdict").map((verdict) => ({
      key: verdict.dataset.verdict || "",
      is: all(verdict, "is").map((band) => band.dataset.is || ""),
    })),
    drawing: all(sheet, "part").map((part) => ({ name: part.dataset.part || "", of: part.dataset.of || "" })),
    phases: all(sheet, "phase").map((phase) => ({
      title: phase.dataset.phase || "",
      on: (phase.dataset.on || "").split(" ").filter(Boolean).map(Number),
    })),
  });

  /** @param {HTMLElement} sheet */
  function start(sheet) {
    const id = sheet.dataset.sum || "";
    if (!sums.has(id)) return;
    const form = /** @type {HTMLFormElement} */ (sheet.querySelector("form"));
    const written = labels(sheet);
    const fields = all(sheet, "input");
    const steps = all(sheet, "step");
    const verdicts = all(sheet, "verdict");
    const chart = sheet.querySelector("[data-chart]");
    const drawing = sheet.querySelector("[data-drawing]");
    const spoken = sheet.querySelector("[data-spoken]");
    let speak = 0;

    /** What stands in the fields: the text, and the unit's code where there is a choice of units. */
    function given() {
      /** @type {Record<string, string | [string, string]>} */
      const texts = {};
      for (const field of fields) {
        const entry = /** @type {HTMLInputElement | HTMLSelectElement} */ (field.querySelector("[data-entry]"));
        const unit = /** @type {HTMLSelectElement | null} */ (field.querySelector("[data-unit]"));
        texts[field.dataset.input || ""] = unit ? [entry.value, unit.value] : entry.value;
      }
      return texts;
    }

    function work() {
      const worked = sums.work(id, written, given());
      /** @type {Record<string, string>} */
      const shown = {};
      worked.inputs.forEach((input, at) => {
        showInput(fields[at], input);
        shown[input.id] = input.shown;
      });
      worked.steps.forEach((step, at) => {
        showStep(steps[at], step, shown);
        shown[step.id] = step.shown;
      });
      worked.verdicts.forEach((verdict, at) => {
        showVerdict(verdicts[at], verdict, shown[written.verdicts[at].key.split(" ")[0]]);
      });
      if (chart && worked.timeline) showChart(/** @type {HTMLElement} */ (chart), worked.timeline);
      if (drawing) drawing.innerHTML = terminal(measures(worked.drawing));
      // Said once the typing pauses, so that a screen reader is not interrupted at every key.
      clearTimeout(speak);
      speak = setTimeout(() => {
        if (spoken) spoken.textContent = summary(worked);
      }, 700);
    }

    /** The first wrong field, or the verdicts, as one sentence for a screen reader. */
    function summary(worked) {
      const wrong = worked.inputs.findIndex((input) => input.counts && input.says);
      if (wrong >= 0) return `${fields[wrong].dataset.title}: ${worked.inputs[wrong].says}`;
      return verdicts
        .map((verdict) => verdict.querySelector("[data-band]:not([hidden])"))
        .filter((band) => band !== null)
        .map((band) => band.textContent?.replace(/\s+/g, " ").trim())
        .join(" ");
    }

    form.addEventListener("input", work);
    form.addEventListener("submit", (event) => event.preventDefault());
    form.addEventListener("reset", () => setTimeout(work, 0));
    work();
  }

  /** Whether a step or a verdict has no part in the sum, because an input that it needs does not count. @param {string} says */
  const idle = (says) => says.endsWith("which does not count here.");

  /** @param {HTMLElement} field */
  function showInput(field, input) {
    field.hidden = !input.counts;
    const wrong = input.counts ? input.says : "";
    const says = field.querySelector("[data-says]");
    if (says && says.textContent !== wrong) says.textContent = wrong;
    const entry = field.querySelector("[data-entry]");
    if (wrong) entry?.setAttribute("aria-invalid", "true");
    else entry?.removeAttribute("aria-invalid");
  }

  /** @param {HTMLElement} place @param {Record<string, string>} shown the values of inputs and earlier steps */
  function showStep(place, step, shown) {
    const set = (name, text) => {
      const part = /** @type {HTMLElement | null} */ (place.querySelector(`[data-${name}]`));
      if (!part) return;
      part.textContent = text;
      part.hidden = text === "";
    };
    set("value", step.shown);
    all(place, "line").forEach((line, at) => {
      line.hidden = step.value === null || at !== step.branch;
      if (line.hidden) return;
      for (const name of all(line, "of")) name.textContent = shown[name.dataset.of || ""];
    });
    set("says", step.says);
    place.classList.toggle("step-none", step.value === null);
    place.hidden = idle(step.says);
  }

  /** @param {HTMLElement} place @param {{value: number | null, says: string}} verdict @param {string} shown what is judged */
  function showVerdict(place, verdict, shown) {
    place.hidden = idle(verdict.says);
    const value = place.querySelector("[data-value]");
    if (value) value.textContent = shown;
    all(place, "band").forEach((band, at) => {
      band.hidden = at !== verdict.value;
    });
    const none = /** @type {HTMLElement | null} */ (place.querySelector("[data-none]"));
    if (none) {
      none.hidden = verdict.value !== null;
      none.textContent = verdict.says;
    }
  }

  /** @param {HTMLElement} place @param {{value: any[] | null, says: string}} timeline */
  function showChart(place, timeline) {
    const segments = timeline.value || [];
    const titles = all(place, "lane").map((lane) => lane.dataset.lane || "");
    const picture = place.querySelector("[data-picture]");
    if (picture) picture.innerHTML = lanes.chart(place.dataset.chart || "", titles, segments);
    const says = /** @type {HTMLElement | null} */ (place.querySelector("[data-says]"));
    if (says) {
      says.textContent = timeline.says;
      says.hidden = timeline.says === "";
    }
    const list = place.querySelector("[data-phases]");
    list?.replaceChildren(
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

  document.querySelectorAll("[data-sum]").forEach((sheet) => start(/** @type {HTMLElement} */ (sheet)));
})();
