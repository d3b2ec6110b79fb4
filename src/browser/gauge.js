'use strict';
// A reading tried on a gauge: the needle goes to it, and the band that it falls in is named and marked.
// Without this script the gauge and the list of bands say the same.
// It gives one name, `blueconeGauge`, for gauges that come onto the page later.
var blueconeGauge = (function () {
  const SVG = 'http://www.w3.org/2000/svg';

  /** @param {string|undefined} text */
  const number = (text) => Number(text);

  /**
   * The band of a reading among the page's bands; a reading on a shared edge belongs to the upper one, and the last band
   * takes its own upper edge.
   * @param {SVGElement[]} bands in rising order
   * @param {number} reading
   */
  function bandOf(bands, reading) {
    const last = bands[bands.length - 1];
    if (reading >= number(last.dataset.from)) {
      return 'above' in last.dataset || reading <= number(last.dataset.to) ? last : undefined;
    }
    return bands.find((band) => reading >= number(band.dataset.from) && reading < number(band.dataset.to));
  }

  /**
   * Puts a field for a reading under a gauge.
   * @param {SVGSVGElement} gauge
   * @param {(reading: string, band: string) => void} [tell] is told what was typed, and the id of the band or nothing
   */
  function equip(gauge, tell) {
    const needle = gauge.querySelector('[data-needle]');
    const bands = /** @type {SVGElement[]} */ ([...gauge.querySelectorAll('[data-stretch]')]);
    if (!needle || bands.length === 0) return null;
    const form = document.createElement('div');
    form.className = 'try';
    const id = 'try--' + gauge.dataset.gauge;
    const label = document.createElement('label');
    label.htmlFor = id;
    label.textContent = 'Your reading' + (gauge.dataset.unit ? ', ' + gauge.dataset.unit : '');
    const input = document.createElement('input');
    input.id = id;
    input.inputMode = 'decimal';
    input.autocomplete = 'off';
    const answer = document.createElement('output');
    answer.htmlFor.add(id);
    form.append(label, input, answer);
    gauge.after(form);

    input.addEventListener('input', () => {
      // Thousands are written with a comma on these pages, so a comma is never a decimal sign here.
      const text = input.value.trim().replace(/,/g, '').replace('−', '-');
      const reading = Number(text);
      const known = text !== '' && Number.isFinite(reading);
      const band = known ? bandOf(bands, reading) : undefined;
      needle.replaceChildren();
      if (known) point(gauge, needle, reading);
      for (const other of document.querySelectorAll('[data-band]')) {
        other.classList.toggle('band-now', !!band && other.getAttribute('data-band') === band.dataset.stretch);
      }
      if (text === '') answer.textContent = '';
      else if (!known) answer.textContent = 'Not a number.';
      else if (!band) answer.textContent = 'Outside this gauge: check the meter, its range and the place.';
      else answer.textContent = band.dataset.words || '';
      if (tell) tell(known ? text : '', (band && band.dataset.stretch) || '');
    });
    return input;
  }

  /**
   * Draws the needle; a reading beyond the scale points at its end.
   * @param {SVGSVGElement} gauge @param {Element} needle @param {number} reading
   */
  function point(gauge, needle, reading) {
    const from = number(gauge.dataset.from), to = number(gauge.dataset.to);
    const left = number(gauge.dataset.left), right = number(gauge.dataset.right);
    const share = Math.min(1, Math.max(0, (reading - from) / (to - from)));
    const x = Math.round((left + share * (right - left)) * 10) / 10;
    const path = document.createElementNS(SVG, 'path');
    path.setAttribute('class', 'g-needle');
    path.setAttribute('d', `M${x} 30v64m-6 9 6-11 6 11z`);
    needle.append(path);
  }

  document.querySelectorAll('[data-gauge]').forEach((gauge) => equip(/** @type {SVGSVGElement} */ (gauge)));
  return { equip };
})();
