/**
 * The result that stands before the working: steps, rows singled out by a truth, and the verdicts that warn. Loaded before
 * calculator.js, which calls it where a page has one. `Outcome` in `formula/result.rs` gives the same.
 */
(function () {
  "use strict";

  /** @param {ParentNode} root @param {string} name @returns {HTMLElement[]} */
  const all = (root, name) => Array.from(root.querySelectorAll(`[data-${name}]`));
  /** @param {ParentNode} root @param {string} name @returns {any} */
  const one = (root, name) => root.querySelector(`[data-${name}]`);

  /** @param {string} kind @param {string} text @param {...Node} more */
  function make(kind, text, ...more) {
    const element = document.createElement(kind);
    element.textContent = text;
    element.append(...more);
    return element;
  }

  /** Shows what was found, or the sentence why there is nothing; without either, nothing. @param {HTMLElement} place */
  const filler = (place) => {
    const [found, says] = [one(place, "found"), one(place, "says")];
    /** @param {(Node | string)[]} parts @param {string} why */
    return (parts, why) => {
      found.replaceChildren(...parts);
      says.textContent = why;
      found.hidden = !parts.length;
      says.hidden = !why;
      place.hidden = !parts.length && !why;
    };
  };

  /** A step. @param {HTMLElement} place */
  function figure(place) {
    const id = place.dataset.resultStep;
    const fill = filler(place);
    const listed = "tally" in place.dataset;
    /** @type {Text | null} */
    let text = null;
    let last = null;
    let at = -1;
    return (worked) => {
      if (at < 0) at = worked.steps.findIndex((step) => step.id === id);
      const step = worked.steps[at];
      // The same object shows the same.
      if (step === last) return;
      last = step;
      const { value, shown, says, idle } = step;
      // Mostly one text takes the place of another.
      if (value !== null && text?.parentNode && !listed) text.data = shown;
      else if (value === null) fill([], idle ? "" : says);
      else if (!listed) fill([(text = document.createTextNode(shown))], "");
      else fill(shown.split("; ").map((text) => make("li", "", make("b", text))), "");
    };
  }

  /** Rows. @param {HTMLElement} place */
  function rows(place) {
    const { resultRows: list, only, holds, noRow = "" } = place.dataset;
    const fill = filler(place);
    const shows = all(place, "show").map((show) => ({ id: show.dataset.show, title: show.textContent, leads: "leads" in show.dataset }));
    /** What each row came to, as last drawn. @type {object[]} */
    let last = [];
    const line = (title, results, lacks) => {
      const item = make("li", "", make("b", title), ...results.map((text) => make("span", text)));
      item.classList.toggle("lacks", lacks);
      return item;
    };
    /** The row's line, or nothing if it does not belong here. */
    const lineOf = ({ title, steps }) => {
      const result = (id) => steps.find((step) => step.id === id);
      const truth = only ? result(only) : null;
      if (truth && truth.value === null && !truth.idle) return [line(title, [truth.says], true)];
      if (truth && String(truth.value) !== holds) return [];
      const found = shows.flatMap(({ id, title, leads }) => {
        const { value, shown, says, idle } = result(id);
        if (value !== null) return [leads ? `${title}: ${shown}` : shown];
        return idle ? [] : [`${title}: ${says}`];
      });
      return [line(title, found, false)];
    };
    return (worked) => {
      const now = worked.lists.find(({ id }) => id === list).rows;
      if (now.length === last.length && now.every((row, at) => row === last[at])) return;
      last = now;
      const lines = now.flatMap(lineOf);
      fill(lines, lines.length ? "" : noRow);
    };
  }

  /**
   * @param {HTMLElement} sheet @param {{place: HTMLElement, bands: HTMLElement[]}[]} verdicts @param {HTMLElement | null} means where
   * verdicts stand that do not warn
   * @returns shows what came out, and tells which verdicts do not warn
   */
  globalThis.bluecone.sumResult = (sheet, verdicts, means) => {
    const place = one(sheet, "result");
    const warnings = one(place, "warnings");
    const parts = [...all(place, "result-step").map(figure), ...all(place, "result-rows").map(rows)];

    /** By verdict and band. */
    const warns = verdicts.map(({ bands }) => bands.map((band) => "grave" in band.dataset));
    /** Verdicts that stand at the head of the result. */
    let first = verdicts.map(({ place }) => place.parentElement === warnings);
    let rest = verdicts.filter((_, at) => !first[at]);

    return (worked) => {
      for (const part of parts) part(worked);
      const now = worked.verdicts.map(({ value }, at) => value !== null && warns[at][value]);
      // Moved only when a warning has come or gone.
      if (now.some((warning, at) => warning !== first[at])) {
        verdicts.forEach(({ place }, at) => (now[at] ? warnings : means).append(place));
        first = now;
        rest = verdicts.filter((_, at) => !first[at]);
      }
      return rest;
    };
  };
})();
