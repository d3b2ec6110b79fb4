/**
 * What a calculator's page keeps outside itself: the sum's inputs in the address, so that a link reopens the sum, and the units
 * that the reader wants, on the device. Both are read with suspicion: links are old or made up, and storage may be refused.
 */
(function () {
  "use strict";

  /** The address's fragment begins so, then goes on like a form's: `#sum?volts=2.4 mV&method=test pins`. */
  const MARK = "#sum?";
  /** A hundred rows of ten fields have room. */
  const LONGEST = 40_000;
  const LONGEST_TEXT = 60;

  /** @typedef {{id: string, entry: HTMLInputElement | HTMLSelectElement, unit: HTMLSelectElement | null, title: string}} Field */

  /** @param {HTMLInputElement | HTMLSelectElement} entry what the page was drawn with */
  const start = (entry) =>
    "options" in entry ? (Array.from(entry.options).find((option) => option.defaultSelected) || entry.options[0]).value : entry.defaultValue;

  /** @param {HTMLSelectElement} list @param {string} value */
  const offers = (list, value) => Array.from(list.options).some((option) => option.value === value);

  /** The fragment for what stands in the fields; empty where all stand as drawn. @param {Field[]} fields */
  function write(fields) {
    const pairs = new URLSearchParams();
    for (const { id, entry, unit } of fields) {
      if (entry.value === start(entry) && (!unit || unit.value === start(unit))) continue;
      pairs.set(id, unit ? `${entry.value} ${unit.value}` : entry.value);
    }
    const text = pairs.toString();
    return text ? MARK + text : "";
  }

  /** Puts back what the page was drawn with. @param {Field[]} fields */
  function reset(fields) {
    for (const { entry, unit } of fields) {
      entry.value = start(entry);
      if (unit) unit.value = start(unit);
    }
  }

  /**
   * Puts a fragment's values into the fields; what it does not name goes back to its start.
   * @param {Field[]} fields @param {string} fragment @param {string[]} wrong titles of lists whose number of rows does not fit
   * @returns {string | null} a sentence on what was left out, empty if nothing; null if the fragment is not a sum's
   */
  function read(fields, fragment, wrong) {
    if (!fragment.startsWith(MARK)) {
      reset(fields);
      return null;
    }
    if (fragment.length > LONGEST) {
      reset(fields);
      return "The link is too long for a sum. The starting values are shown.";
    }
    const pairs = new URLSearchParams(fragment.slice(MARK.length));
    const left = wrong.map((title) => `the number of rows of “${title}”`);
    for (const { id, entry, unit, title } of fields) {
      reset([{ id, entry, unit, title }]);
      const given = pairs.get(id);
      if (given === null) continue;
      const space = unit ? given.lastIndexOf(" ") : -1;
      const code = space < 0 ? unit?.value || "" : given.slice(space + 1);
      const text = space < 0 ? given : given.slice(0, space);
      const unknown = "options" in entry ? !offers(entry, text) : text.length > LONGEST_TEXT || (unit && !offers(unit, code));
      if (unknown) {
        left.push(`“${title}”`);
        continue;
      }
      entry.value = text;
      if (unit) unit.value = code;
    }
    const unasked = [...pairs.keys()].filter((id) => !fields.some((field) => field.id === id)).length;
    if (unasked) left.push(unasked === 1 ? "one value that this sum does not ask for" : `${unasked} values that this sum does not ask for`);
    return left.length ? `The link does not quite fit this sum. Left out: ${left.join(", ")}. Check every field.` : "";
  }

  /** Shows the fragment in the address without a step in the history. @param {string} fragment */
  function show(fragment) {
    if (fragment === location.hash || (!fragment && !location.hash.startsWith(MARK))) return;
    try {
      history.replaceState(history.state, "", fragment || location.pathname + location.search);
    } catch {
      // Browsers refuse when asked too often; the button still gives the right link.
    }
  }

  /** @param {string} link @returns {Promise<boolean>} */
  async function copy(link) {
    try {
      await navigator.clipboard.writeText(link);
      return true;
    } catch {
      return false;
    }
  }

  const key = `bluecone-units-${document.documentElement.dataset.book || ""}`;

  /** What the reader chose once; null for the units that the page was drawn with. @returns {string | null} */
  function system() {
    try {
      const kept = localStorage.getItem(key);
      return kept === "si" || kept === "us" ? kept : null;
    } catch {
      return null;
    }
  }

  /** @param {string} system */
  function keepSystem(system) {
    try {
      localStorage.setItem(key, system);
    } catch {
      // Refused storage: the choice holds for this page.
    }
  }

  globalThis.bluecone.link = { write, read, show, copy, system, keepSystem };
})();
