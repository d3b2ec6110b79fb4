/**
 * Draws the lane chart again when the inputs of a sum change: the same drawing, sign for sign, as `pages/lanes.rs` draws at
 * press time. A test runs both side by side, so change both or neither.
 *
 * @typedef {{title: string, start: number, end: number, on: number[]}} Segment  seconds
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

  const bluecone = globalThis.bluecone;
  bluecone.lanes = { chart: laneChart, clock };
})();
