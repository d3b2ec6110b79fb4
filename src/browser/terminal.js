/**
 * Draws the terminal again when the inputs of a sum change: the same drawing, sign for sign, as `pages/terminal.rs` draws at
 * press time. A test runs both side by side, so change both or neither.
 *
 * @typedef {{tabWidth?: number, tabThickness?: number, conductor?: number, strip?: number, sleeve?: string}} Measures  metres
 */
(function () {
  "use strict";

  const WIDTH = 340;
  const HEIGHT = 250;
  const SCALE = 12;

  /** @param {number} number a coordinate with at most two decimals */
  const n = (number) => String(Math.floor(number * 100 + 0.5) / 100);

  /** @param {string} text */
  const escape = (text) =>
    text.replace(/[&<>"']/g, (sign) => ({ "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;" })[sign] || sign);

  /** @param {number} metres */
  const millimetres = (metres) => escape(globalThis.bluecone.sums.format(metres * 1000));

  /** @param {Measures} measures */
  function words(measures) {
    const parts = [];
    const length = (name, metres) => metres !== undefined && parts.push(`${name} ${millimetres(metres)} millimetres`);
    length("tab width", measures.tabWidth);
    length("tab thickness", measures.tabThickness);
    length("conductor diameter", measures.conductor);
    length("strip length", measures.strip);
    if (measures.sleeve !== undefined) parts.push(`sleeve ${measures.sleeve}`);
    return `Drawing to scale: ${parts.join(", ")}.`;
  }

  /** @param {Measures} measures @returns {string} */
  function terminal(measures) {
    let out = `<svg class="terminal" viewBox="0 0 ${n(WIDTH)} ${n(HEIGHT)}" role="img" aria-label="${escape(words(measures))}">`;
    if (measures.tabWidth !== undefined) {
      const width = measures.tabWidth * 1000 * SCALE;
      const top = 60 - width / 2;
      out += `<path class="t-metal" d="M20 ${n(top)} H100 L112 ${n(top + 8)} V${n(top + width - 8)} L100 ${n(top + width)} H20 Z"/>`;
      out += `<text class="t-figure" x="20" y="124">tab ${millimetres(measures.tabWidth)} mm</text>`;
    }
    if (measures.tabThickness !== undefined && measures.tabWidth !== undefined) {
      const thick = measures.tabThickness * 1000 * SCALE;
      out += `<rect class="t-metal" x="122" y="${n(60 - thick / 2)}" width="80" height="${n(thick)}"/>`;
      out += `<text class="t-figure" x="122" y="124">edge ${millimetres(measures.tabThickness)} mm</text>`;
    }
    if (measures.conductor !== undefined) {
      const across = measures.conductor * 1000 * SCALE;
      out += `<circle class="t-copper" cx="300" cy="60" r="${n(across / 2)}"/>`;
      out += `<text class="t-figure" x="334" y="124" text-anchor="end">copper ${millimetres(measures.conductor)} mm</text>`;
      out += strip(measures, across);
    }
    out += `<path class="t-bar" d="M20 ${n(HEIGHT - 8)} v-8 m0 4 h${n(5 * SCALE)} m0 -4 v8"/>`;
    out += `<text class="t-figure" x="${n(28 + 5 * SCALE)}" y="${n(HEIGHT - 8)}">5 mm, all parts to one scale</text>`;
    return out + "</svg>";
  }

  /** @param {Measures} measures @param {number} across */
  function strip(measures, across) {
    if (measures.strip === undefined) return "";
    const long = measures.strip * 1000 * SCALE;
    let out = `<rect class="t-cover" x="20" y="${n(176 - across)}" width="60" height="${n(across * 2)}"/>`;
    out += `<rect class="t-copper" x="80" y="${n(176 - across / 2)}" width="${n(long)}" height="${n(across)}"/>`;
    out += `<text class="t-figure" x="80" y="222">strip ${millimetres(measures.strip)} mm</text>`;
    if (measures.sleeve === undefined) return out;
    const x = Math.min(80 + long + 20, 250);
    const key = measures.sleeve.replace(/[^a-z]/g, "");
    out += `<rect class="t-sleeve t-sleeve-${key}" x="${n(x)}" y="160" width="70" height="32" rx="6"/>`;
    return out + `<text class="t-figure" x="${n(x)}" y="222">${escape(measures.sleeve)} sleeve</text>`;
  }

  const bluecone = globalThis.bluecone;
  bluecone.terminal = terminal;
})();
