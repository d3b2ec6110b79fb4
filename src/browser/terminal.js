/**
 * Draws the terminal again when the inputs of a sum change: the same drawing, sign for sign, as `pages/terminal.rs` draws at
 * press time. A test runs both side by side, so change both or neither.
 *
 * @typedef {{tabWidth?: number, tabThickness?: number, conductor?: number, strip?: number, sleeve?: string}} Measures  metres
 */
(function () {
  "use strict";

  const WIDTH = 340;
  const HEIGHT = 312;
  // The middles of the two rows of parts; below each row the names of its parts, and below these the measures.
  const UPPER = 66;
  const LOWER = 206;
  const LINE = 15;
  const UPPER_NAMES = 144;
  const LOWER_NAMES = 264;

  // The most room that a part has, the bar, and the millimetres that it can stand for: the least that makes room for all.
  const TAB_ROOM = 120;
  const COPPER_ROOM = 40;
  const STRIP_ROOM = 150;
  const BAR = 60;
  const BARS = [5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000, 20000];
  /** Longer parts, in metres, are not drawn. */
  const LONGEST = 10;
  /** Signs of a sleeve's name that fit beside the strip's. */
  const MOST_SIGNS = 14;

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
    return `Drawing to scale: ${parts.join(", ") || "nothing to draw"}.`;
  }

  /** @param {Measures} measures */
  function barOf({ tabWidth, tabThickness, conductor, strip }) {
    const fits = (metres, room, bar) => metres === undefined || metres * 1000 * (BAR / bar) <= room;
    const allFit = (bar) =>
      fits(tabWidth, TAB_ROOM, bar) && fits(tabThickness, TAB_ROOM, bar) && fits(conductor, COPPER_ROOM, bar) && fits(strip, STRIP_ROOM, bar);
    return BARS.find(allFit) ?? BARS[BARS.length - 1];
  }

  /** What a part is and, below it, how long. @param {string} part @param {number} metres @param {number} x @param {number} y */
  const name = (part, metres, x, y) =>
    `<text class="t-figure" x="${n(x)}" y="${n(y)}">${part}</text>` +
    `<text class="t-figure" x="${n(x)}" y="${n(y + LINE)}">${millimetres(metres)} mm</text>`;

  /** @param {Measures} given @returns {string} */
  function terminal(given) {
    const drawable = (metres) => (metres >= 0 && metres <= LONGEST ? metres : undefined);
    const { tabWidth, tabThickness, conductor, strip } = given;
    /** @type {Measures} */
    const measures = {
      tabWidth: drawable(tabWidth),
      tabThickness: drawable(tabThickness),
      conductor: drawable(conductor),
      strip: drawable(strip),
      sleeve: given.sleeve,
    };
    let out = `<svg class="terminal" viewBox="0 0 ${n(WIDTH)} ${n(HEIGHT)}" role="img" aria-label="${escape(words(measures))}">`;
    const bar = barOf(measures);
    const scaled = (metres) => metres * 1000 * (BAR / bar);
    if (measures.tabWidth !== undefined) {
      const width = scaled(measures.tabWidth);
      const top = UPPER - width / 2;
      const corner = Math.min(width / 4, 8);
      out += `<path class="t-metal" d="M20 ${n(top)} H100 L112 ${n(top + corner)} V${n(top + width - corner)} L100 ${n(top + width)} H20 Z"/>`;
      out += name("tab", measures.tabWidth, 20, UPPER_NAMES);
    }
    if (measures.tabThickness !== undefined && measures.tabWidth !== undefined) {
      const thick = scaled(measures.tabThickness);
      out += `<rect class="t-metal" x="128" y="${n(UPPER - thick / 2)}" width="80" height="${n(thick)}"/>`;
      out += name("edge", measures.tabThickness, 128, UPPER_NAMES);
    }
    if (measures.conductor !== undefined) {
      const across = scaled(measures.conductor);
      out += `<circle class="t-copper" cx="${n(236 + across / 2)}" cy="${n(UPPER)}" r="${n(across / 2)}"/>`;
      out += name("copper", measures.conductor, 236, UPPER_NAMES);
      if (measures.strip !== undefined) out += strippedEnd(measures, across, scaled(measures.strip), measures.strip);
    }
    out += `<path class="t-bar" d="M20 ${n(HEIGHT - 8)} v-8 m0 4 h${n(BAR)} m0 -4 v8"/>`;
    out += `<text class="t-figure" x="${n(28 + BAR)}" y="${n(HEIGHT - 8)}">${millimetres(bar / 1000)} mm, all parts to one scale</text>`;
    return out + "</svg>";
  }

  /** @param {Measures} measures @param {number} across @param {number} long @param {number} metres */
  function strippedEnd({ sleeve }, across, long, metres) {
    let out = `<rect class="t-cover" x="20" y="${n(LOWER - across)}" width="60" height="${n(across * 2)}"/>`;
    out += `<rect class="t-copper" x="80" y="${n(LOWER - across / 2)}" width="${n(long)}" height="${n(across)}"/>`;
    out += name("strip", metres, 80, LOWER_NAMES);
    if (sleeve === undefined) return out;
    const key = sleeve.replace(/[^a-z]/g, "");
    out += `<rect class="t-sleeve t-sleeve-${key}" x="250" y="${n(LOWER - 16)}" width="70" height="32" rx="6"/>`;
    const line = (text, y) => `<text class="t-figure" x="320" y="${n(y)}" text-anchor="end">${escape(text)}</text>`;
    return out + line(short(sleeve), LOWER_NAMES) + line("sleeve", LOWER_NAMES + LINE);
  }

  /** The name, or its beginning where it is too long for its place. @param {string} sleeve */
  function short(sleeve) {
    const signs = Array.from(sleeve);
    return signs.length <= MOST_SIGNS ? sleeve : `${signs.slice(0, MOST_SIGNS - 1).join("")}…`;
  }

  const bluecone = globalThis.bluecone;
  bluecone.terminal = terminal;
})();
