/** Works one unknown out of the other inputs, for calculators that can: loaded after sums.js. */
(function () {
  "use strict";

  const { kit } = globalThis.bluecone.sums;
  const { attempt, below, finite, lack, toBase } = kit;

  /** Both sides of a solved formula may differ by this part of the larger: more than rounding on the way leaves behind. */
  const SOLVED = 1e-6;
  const alike = ([a, b]) => Math.abs(a - b) <= SOLVED * Math.max(Math.abs(a), Math.abs(b));

  /** @type {import("./sums").Solved} The step that solves for an input; it does not count where the input is given. */
  kit.solved = (label, input, worked, { left, right }, step, own) => {
    const { v } = own;
    const none = (says, own, idle) => kit.anew(label, () => lack(says, idle), own, v);
    if (worked.counts) return none(`It needs “${label.title}”, which does not count here.`, { put() {} }, true);
    let found = kit.anew(label, step, own, v);
    const main = input.units[0];
    const [from, to] = [toBase(main, input.from), toBase(main, input.to)];
    // Beyond an end by no more than rounding on the way leaves behind.
    const end = found.value === null ? null : Math.min(Math.max(found.value, from), to);
    if (end !== found.value && Math.abs(found.value - end) <= 1e-9 * (to - from)) found = kit.anew(label, () => end, own, v);
    if (found.value !== null) {
      const sides = attempt(() => [left, right].map((side) => finite(side(v)))).value;
      const outside = below(found.value, from) || below(to, found.value);
      const { limits } = input.units.find(({ shown }) => shown === label.unit?.shown) || main;
      if (!sides || !alike(sides)) found = none(`No value of “${label.title}” fits the others.`, own);
      else if (outside) found = none(`It comes to ${found.shown}, and this sum takes ${limits}.`.replace(/\.\.$/, "."), own);
    }
    // The working of other steps shows it in the input's place.
    worked.shown = found.shown;
    return found;
  };
})();
