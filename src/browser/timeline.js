/** Phases laid end to end, for calculators with a timeline: loaded after sums.js. */
(function () {
  "use strict";

  const MOST_PHASES = 500;
  const { kit } = globalThis.bluecone.sums;
  const { finite, lack } = kit;

  const room = (taken) => taken < MOST_PHASES || lack(`The timeline has more than ${MOST_PHASES} phases, too many to draw.`);

  /** How many labels phases have, those inside repetitions counted. */
  const count = (phases) => phases.reduce((sum, phase) => sum + (phase.repeat ? count(phase.phases) : 1), 0);

  /** @type {import("./sums").LaySegments} */
  kit.segments = (phases, labels, v) => {
    const line = [];
    let now = 0;
    let rounds = 0;
    // `first`: the position of these phases' first label.
    const lay = (phases, first, last) => {
      let label = first;
      for (const phase of phases) {
        if (phase.repeat) {
          const times = finite(phase.repeat(v));
          if (times < 0 || !Number.isInteger(times)) lack("The number of repeats must be a whole number, zero or more.");
          for (let round = 1; round <= times; round++) {
            room(rounds++);
            lay(phase.phases, label, round === times);
          }
          label += count(phase.phases);
          continue;
        }
        if (!(phase.between && last)) {
          const lasts = finite((phase.between || phase)(v));
          if (lasts < 0) lack("A phase would last less than no time.");
          const end = finite(now + lasts);
          room(line.length);
          line.push({ ...labels[label], start: now, end });
          now = end;
        }
        label++;
      }
    };
    lay(phases, 0, false);
    return line;
  };
})();
