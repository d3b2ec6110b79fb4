/**
 * Draws the lane chart and the terminal again when the inputs of a sum change: the same drawings, sign for sign, as
 * `pages/lanes.rs` and `pages/terminal.rs` draw at press time. A test runs both side by side, so change both or neither.
 *
 * @typedef {{title: string, start: number, end: number, on: number[]}} Segment  seconds
 * @typedef {{tabWidth?: number, tabThickness?: number, conductor?: number, strip?: number, sleeve?: string}} Measures  metres
 */
(function () {
  "use strict";

  const WIDTH = 340;
  const SIDE = 10;
  const LANE = 46;
  const TITLE = 18;
  const BAR = 20;
  const AXIS = 26;
  const STEPS = [0.5, 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 28800, 86400, 604800, 2592000];
  const MOST_MARKS = 6;
  const SCALE = 12;
  const HEIGHT = 250;

  /** @param {number} number a coordinate with at most two decimals */
  const n = (number) => String(Math.floor(number * 100 + 0.5) / 100);

  /** @param {string} text */
  const escape = (text) =>
    text.replace(/[&<>"']/g, (sign) => ({ "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;" })[sign] || sign);

  /** @param {number} seconds */
  function clock(seconds) {
    const tenths = Math.round(seconds * 10) / 10;
    if (tenths < 120) return n(tenths) + " s";
    const whole = Math.round(seconds);
    const hours = Math.floor(whole / 3600);
    const minutes = Math.floor(whole / 60) % 60;
    const rest = whole % 60;
    return (hours > 0 ? n(hours) + " h " : "") + n(minutes) + " min" + (rest > 0 ? " " + n(rest) + " s" : "");
  }

  /** @param {number} second @param {number} end */
  function markLabel(second, end) {
    if (end < 120) return clock(second);
    const unit = end < 7200 ? 60 : 3600;
    const rest = Math.round(((second % unit) * 60) / unit);
    return n(Math.floor(second / unit)) + ":" + (rest < 10 ? "0" : "") + n(rest);
  }

  /** @param {Segment[]} segments @param {number} lane @returns {[number, number][]} */
  function stretches(segments, lane) {
    /** @type {[number, number][]} */
    const found = [];
    for (const segment of segments) {
      if (!segment.on.includes(lane) || segment.end <= segment.start) continue;
      const last = found[found.length - 1];
      if (last && last[1] === segment.start) last[1] = segment.end;
      else found.push([segment.start, segment.end]);
    }
    return found;
  }

  /** @param {number} end */
  function marks(end) {
    const step = STEPS.find((step) => end / step <= MOST_MARKS) || end;
    return Array.from({ length: Math.floor(end / step) + 1 }, (_, mark) => mark * step);
  }

  /** @param {string} title @param {string[]} lanes @param {Segment[]} segments @returns {string} */
  function laneChart(title, lanes, segments) {
    const end = segments.length ? segments[segments.length - 1].end : 0;
    if (end <= 0) return "";
    const at = (second) => SIDE + (second / end) * (WIDTH - 2 * SIDE);
    const height = lanes.length * LANE + AXIS;
    const label = escape(`${title}: ${clock(end)} in all. The phases stand in the list below.`);
    let out = `<svg class="lanes" viewBox="0 0 ${n(WIDTH)} ${n(height)}" role="img" aria-label="${label}">`;
    if (end >= 120) {
      const words = end < 7200 ? "min:s" : "h:min";
      out += `<text class="l-figure" x="${n(WIDTH - SIDE)}" y="${n(TITLE - 5)}" text-anchor="end">${words}</text>`;
    }
    for (const mark of marks(end)) out += `<path class="l-mark" d="M${n(at(mark))} ${n(TITLE)} V${n(height - AXIS + 4)}"/>`;
    lanes.forEach((title, lane) => {
      const top = lane * LANE;
      out += `<text class="l-title" x="${n(SIDE)}" y="${n(top + TITLE - 5)}">${escape(title)}</text>`;
      out += `<rect class="l-bed" x="${n(SIDE)}" y="${n(top + TITLE)}" width="${n(WIDTH - 2 * SIDE)}" height="${n(BAR)}"/>`;
      for (const [from, to] of stretches(segments, lane)) {
        const width = Math.max(at(to) - at(from), 1);
        out += `<rect class="l-on l-on-${lane % 4}" x="${n(at(from))}" y="${n(top + TITLE)}" width="${n(width)}" height="${n(BAR)}"/>`;
      }
    });
    for (const mark of marks(end)) {
      const x = at(mark);
      const anchor = x > WIDTH - 30 ? "end" : x < 30 ? "start" : "middle";
      out += `<text class="l-figure" x="${n(x)}" y="${n(height - 6)}" text-anchor="${anchor}">${markLabel(mark, end)}</text>`;
    }
    return out + "</svg>";
  }

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

  const bluecone = (globalThis.bluecone = globalThis.bluecone || {});
  bluecone.charts = { laneChart, terminal, clock };
})();
