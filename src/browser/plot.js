/**
 * Works and draws the plot of a sum again when its inputs change: the same points as `formula/plot.rs`, and the same drawing,
 * sign for sign, as `pages/plot.rs` draws at press time. A test runs both side by side: change both or neither. Loaded before
 * calculator.js on the pages that have a plot.
 *
 * @typedef {{x: number[], y: (number | null)[], edges: (number | null)[][], here: [number, number] | null, now: string}} Curve
 * @typedef {{title: string, of: string[], over: string[]}} PlotLabels name, title and unit as shown of what goes up and across
 */
(function () {
  "use strict";

  const { sums } = globalThis.bluecone;
  const { kit, format } = sums;
  const STRETCHES = 64;
  const WIDTH = 340;
  const LEFT = 52;
  const RIGHT = 12;
  const TOP = 24;
  const FIELD = 180;
  const FIGURES = 22;
  const LEGEND = 26;
  const NAME = 80;
  const SEVERITIES = { good: "Good", watch: "Watch", act: "Act", stop: "Stop" };
  const MARKS = [5, 6];
  const LISTED = 9;

  /** @param {number} number a coordinate with at most two decimals */
  const n = (number) => String(Math.floor(number * 100 + 0.5) / 100);

  /** @param {string} text */
  const escape = (text) =>
    text.replace(/[&<>"']/g, (sign) => ({ "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;" })[sign] || sign);

  /**
   * The points; or the sentence why there are none.
   * @param {string} id @param {any} labels @param {any} given @param {{of: string, over: string, from: number, to: number, verdict: string}} plot
   * @returns {Curve | string}
   */
  function curve(id, labels, given, { of, over, from, to, verdict }) {
    const across = labels.inputs.findIndex((input) => input.id === over);
    const up = labels.steps.findIndex((step) => step.id === of);
    const input = labels.inputs[across];
    const unit = labels.steps[up].unit || { scale: [0, 1, 1] };
    const run = sums.work(id, labels, given);
    const [own, step] = [run.inputs[across], run.steps[up]];
    if (!own.counts) return `It needs “${input.title}”, which does not count here.`;
    const here = own.value !== null && step.number !== null ? [kit.fromBase(input.units[0], own.value), step.number] : null;
    if (here) [from, to] = [here[0] < from ? here[0] : from, here[0] > to ? here[0] : to];
    const missing = own.value === null ? `It needs “${input.title}”, which has no value.` : step.says;
    /** @type {Curve} */
    const found = { x: [], y: [], edges: [], here, now: here ? `The mark: ${own.shown} gives ${step.shown}.`.replace(/\.\./g, ".") : missing };
    for (let at = 0; at <= STRETCHES; at++) {
      let x = from + ((to - from) * at) / STRETCHES;
      if (input.whole) x = Math.floor(x + 0.5);
      if (found.x[found.x.length - 1] === x) continue;
      const there = sums.work(id, labels, { ...given, [over]: [String(x), input.units[0].code] });
      found.x.push(x);
      found.y.push(there.steps[up].number);
      if (!verdict) continue;
      // The first band whose upper edge is above the value counts, so an edge never lies below one before it.
      let highest = -Infinity;
      sums.edges(id, verdict).forEach((base, edge) => {
        const place = base === null ? NaN : kit.fromBase(unit, base);
        if (place > highest && place < Infinity) highest = place;
        (found.edges[edge] = found.edges[edge] || []).push(Number.isFinite(place) ? highest : null);
      });
    }
    return found;
  }

  const withUnit = ([, title, unit]) => (unit ? `${title}, ${unit}` : title);

  /** @param {PlotLabels} labels @param {Curve | string} curve */
  const words = ({ of, over }, curve) =>
    `Up: ${withUnit(of)}. Across: ${withUnit(over)}.`.replace(/\.\./g, ".") + " " + (typeof curve === "string" ? curve : curve.now);

  /** 1, 2 or 5 times a power of ten, not below `least`. @param {number} least */
  function stepOf(least) {
    let power = 1;
    while (power * 10 <= least) power *= 10;
    while (power > least) power /= 10;
    return [power, 2 * power, 5 * power].find((step) => step >= least) || 10 * power;
  }

  /** @param {number} low @param {number} high @param {number} most @param {boolean} whole */
  function axis(low, high, most, whole) {
    const step = stepOf((high - low) / most);
    if (whole) [low, high] = [Math.floor(low / step) * step, Math.ceil(high / step) * step];
    const [first, last] = [Math.ceil(low / step - 1e-6), Math.floor(high / step + 1e-6)];
    const marks = Array.from({ length: Math.max(last - first + 1, 0) }, (_, at) => (first + at) * step);
    return { low, high, marks };
  }

  /** @param {Curve} curve @returns {[number, number] | null} */
  function reach({ y, edges, here }) {
    const values = [...y, here && here[1]].filter((value) => value !== null);
    if (!values.length) return null;
    const ends = ([low, high], value) => [value < low ? value : low, value > high ? value : high];
    const [low, high] = values.reduce(ends, [values[0], values[0]]);
    if (low === high) {
      const room = low === 0 ? 1 : Math.abs(low) * 0.1;
      return [low - room, high + room];
    }
    const near = (high - low) / 4;
    return edges.flat().filter((edge) => edge !== null && edge > low - near && edge < high + near).reduce(ends, [low, high]);
  }

  /** @param {([number, number] | null)[]} points */
  function path(points) {
    let line = "";
    let drawn = false;
    for (const point of points) {
      if (point) line += `${drawn ? "L" : "M"}${n(point[0])} ${n(point[1])}`;
      drawn = point !== null;
    }
    return line;
  }

  /** Without the points in the middle of level stretches. @param {[number, number][]} points */
  const straight = (points) =>
    points.filter((point, at) => !(at > 0 && at + 1 < points.length && points[at - 1][1] === point[1] && points[at + 1][1] === point[1]));

  function shapes(curve, band, bands, x, y) {
    const edge = (edge, at, end) => (edge === null ? end : curve.edges[edge]?.[at] == null ? null : y(curve.edges[edge][at]));
    const [below, above] = [band > 0 ? band - 1 : null, band + 1 < bands ? band : null];
    const found = [];
    let [over, under] = [[], []];
    for (let at = 0; at <= curve.x.length; at++) {
      const [low, high] = at < curve.x.length ? [edge(below, at, TOP + FIELD), edge(above, at, TOP)] : [null, null];
      if (low !== null && high !== null) {
        const place = x(curve.x[at]);
        over.push([place, high > low ? low : high]);
        under.push([place, low]);
        continue;
      }
      if (over.length > 1 && over.some((point, at) => point[1] !== under[at][1])) {
        found.push(path([...straight(over), ...straight(under.reverse())]) + "z");
      }
      [over, under] = [[], []];
    }
    return found;
  }

  /** @param {PlotLabels} labels @param {string[]} bands severities @param {Curve} curve @returns {string} */
  function svg(labels, bands, curve) {
    const ends = reach(curve);
    const [first, last] = [curve.x[0], curve.x[curve.x.length - 1]];
    if (!ends || !(last > first)) return "";
    const across = axis(first, last, MARKS[0], false);
    const up = axis(ends[0], ends[1], MARKS[1], true);
    const x = (value) => LEFT + ((value - first) / (last - first)) * (WIDTH - LEFT - RIGHT);
    const y = (value) => {
      let inside = value < up.low ? up.low : value;
      inside = inside > up.high ? up.high : inside;
      return TOP + ((up.high - inside) / (up.high - up.low)) * FIELD;
    };
    const severities = Object.keys(SEVERITIES).filter((name) => bands.includes(name));
    const height = TOP + FIELD + FIGURES + (severities.length ? LEGEND : 0);
    const label = escape(`${labels.title}. The points stand in the list below.`);
    let out = `<svg class="plot" viewBox="0 0 ${n(WIDTH)} ${n(height)}" role="img" aria-label="${label}">`;
    const pattern = (name, side, inner) =>
      `<pattern id="plot-${name}" class="g-pattern" width="${side}" height="${side}" patternUnits="userSpaceOnUse">${inner}</pattern>`;
    out += `<defs>${pattern("watch", 8, '<circle cx="2" cy="2" r="1.1"/><circle cx="6" cy="6" r="1.1"/>')}`;
    out += pattern("act", 6, '<path d="M-1 7 7 -1M-1 1 1 -1M5 7 7 5"/>');
    out += `${pattern("stop", 6, '<path d="M-1 7 7 -1M-1 1 1 -1M5 7 7 5M-1 -1 7 7M5 -1 7 1M-1 5 1 7"/>')}</defs>`;
    const shade = (severity, shape) => {
      out += `<path class="g-${severity}" d="${shape}"/>`;
      if (severity !== "good") out += `<path class="g-mark" fill="url(#plot-${severity})" d="${shape}"/>`;
    };
    bands.forEach((severity, band) => shapes(curve, band, bands.length, x, y).forEach((shape) => shade(severity, shape)));
    const [floor, right] = [TOP + FIELD, WIDTH - RIGHT];
    for (const mark of up.marks) {
      out += `<path class="l-mark" d="M${n(LEFT)} ${n(y(mark))}H${n(right)}"/>`;
      out += `<text class="l-figure" x="${n(LEFT - 5)}" y="${n(y(mark) + 4)}" text-anchor="end">${format(mark, undefined, 6)}</text>`;
    }
    for (const mark of across.marks) {
      const [anchor, place] = x(mark) > right - 14 ? ["end", right + 8] : ["middle", x(mark)];
      out += `<path class="l-mark" d="M${n(x(mark))} ${n(TOP)}V${n(floor)}"/>`;
      out += `<text class="l-figure" x="${n(place)}" y="${n(floor + 16)}" text-anchor="${anchor}">${format(mark, undefined, 6)}</text>`;
    }
    out += `<rect class="p-frame" x="${n(LEFT)}" y="${n(TOP)}" width="${n(right - LEFT)}" height="${n(FIELD)}"/>`;
    out += `<text class="l-figure" x="${n(LEFT - 5)}" y="${n(TOP - 10)}" text-anchor="end">${escape(labels.of[2])}</text>`;
    out += `<text class="l-figure" x="${n(6)}" y="${n(floor + 16)}">${escape(labels.over[2])}</text>`;
    const line = path(curve.x.map((at, point) => (curve.y[point] === null ? null : [x(at), y(curve.y[point])])));
    out += `<path class="p-halo" d="${line}"/><path class="p-curve" d="${line}"/>`;
    if (curve.here) {
      const [here, value] = [n(x(curve.here[0])), n(y(curve.here[1]))];
      out += `<path class="p-lead" d="M${n(LEFT)} ${value}H${here}V${n(floor)}"/>`;
      out += `<circle class="p-here" cx="${here}" cy="${value}" r="6"/>`;
    }
    severities.forEach((severity, at) => {
      const [left, top] = [8 + at * NAME, floor + FIGURES + 4];
      shade(severity, `M${n(left)} ${n(top)}h18v14h-18z`);
      out += `<rect class="p-frame" x="${n(left)}" y="${n(top)}" width="18" height="14"/>`;
      out += `<text class="l-figure" x="${n(left + 24)}" y="${n(top + 12)}">${SEVERITIES[severity]}</text>`;
    });
    return out + "</svg>";
  }

  /** A point's band. @param {Curve} curve @param {number} at @returns {number} */
  function bandAt({ y, edges }, at) {
    for (let band = 0; band < edges.length; band++) {
      if (edges[band][at] === null) return -1;
      if (kit.below(y[at], edges[band][at])) return band;
    }
    return edges.length;
  }

  /**
   * The plot of a page. Its points are worked when the typing pauses: some sixty sums are too much for every key.
   * @param {HTMLElement} sheet @param {string} id
   */
  function start(sheet, id) {
    const place = /** @type {HTMLElement} */ (sheet.querySelector("[data-plot]"));
    const part = (name) => /** @type {HTMLElement} */ (place.querySelector(`[data-${name}]`));
    const { plot: title = "", of = "", over = "", from, to, verdictKey: verdict = "", bands = "" } = place.dataset;
    const spec = { of, over, from: Number(from), to: Number(to), verdict };
    const severities = bands.split(" ").filter(Boolean);
    let [later, drawn] = [0, part("plot-picture").innerHTML.trim()];
    /** What is to be drawn once the typing pauses. @type {[any, any] | null} */
    let waits = null;

    function draw(labels, given) {
      const input = labels.inputs.find((input) => input.id === over);
      const step = labels.steps.find((step) => step.id === of);
      const named = { title, of: [of, step.title, step.unit?.shown || ""], over: [over, input.title, input.units[0]?.shown || ""] };
      const points = curve(id, labels, given, spec);
      const whole = typeof points === "string" ? null : points;
      const picture = whole ? svg(named, severities, whole) : "";
      if (picture !== drawn) part("plot-picture").innerHTML = drawn = picture;
      part("plot-words").textContent = words(named, points);
      const [across, up] = place.querySelectorAll("th[data-plot-head]");
      [across.textContent, up.textContent] = [withUnit(named.over), withUnit(named.of)];
      const shown = (unit, text) => (unit ? `${text}\u00a0${unit}` : text);
      const every = whole ? Math.max(Math.ceil(whole.x.length / LISTED), 1) : 1;
      const listed = whole ? whole.x.map((_, at) => at).filter((at) => at % every === 0) : [];
      part("plot-points").replaceChildren(
        ...listed.map((at) => {
          const row = document.createElement("tr");
          const y = whole.y[at] === null ? "" : shown(named.of[2], format(whole.y[at], step.digits ?? undefined));
          const texts = [shown(named.over[2], format(whole.x[at], undefined, 4)), y];
          if (severities.length) texts.push((y && SEVERITIES[severities[bandAt(whole, at)]]) || "");
          texts.forEach((text, column) => {
            const cell = document.createElement(column ? "td" : "th");
            if (!column) cell.setAttribute("scope", "row");
            cell.textContent = text;
            row.append(cell);
          });
          return row;
        }),
      );
    }

    /** Draws what still waits for the typing to pause. */
    const flush = () => {
      clearTimeout(later);
      if (waits) draw(...waits);
      waits = null;
    };
    const wait = (labels, given) => {
      clearTimeout(later);
      waits = [labels, given];
      later = setTimeout(flush, 150);
    };
    return Object.assign(wait, { flush });
  }

  globalThis.bluecone.plot = { start, curve, svg, words };
})();
