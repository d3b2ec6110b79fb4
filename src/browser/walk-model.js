// Where a walk through a symptom's checks stands, and what comes next: the sums, without a page. The same sums in the same
// order as in `diagnosis/walk`, so that page and terminal agree; a test holds them together.
// A classic script; it gives one name, `blueconeWalk`.
"use strict";

var blueconeWalk = (function () {
  /** Two likelihoods closer than this part of each other are the same. */
  const SAME = 1e-12;
  /** The same for information per minute, wide enough for two machines' logarithms. */
  const SAME_RATE = 1e-9;

  /** @param {number} a @param {number} b */
  const same = (a, b) => Math.abs(a - b) <= SAME * Math.max(Math.abs(a), Math.abs(b));

  /**
   * Reads an event such as `igniter-look=sound` or `later:igniter-look`.
   * @param {WalkData} data
   * @param {string} text
   * @returns {WalkEvent | null} `null` if it is none of this symptom
   */
  function readEvent(data, text) {
    const [, kind, id, outcome] = /^(?:(later|odd|again|not|maybe):)?([a-z0-9-]+)(?:=([a-z0-9-]+))?$/.exec(text) || [];
    if (!id || (kind ? outcome !== undefined : outcome === undefined)) {
      return null;
    }
    if (kind === "not" || kind === "maybe") {
      const suspect = data.suspects.findIndex((one) => one.id === id);
      return suspect < 0 ? null : { kind, suspect, check: -1, outcome: -1 };
    }
    const check = data.checks.findIndex((one) => one.id === id);
    if (check < 0) {
      return null;
    }
    if (kind) {
      return { kind: /** @type {"later"} */ (kind), check, outcome: -1, suspect: -1 };
    }
    const place = data.checks[check].outcomes.findIndex((one) => one.id === outcome);
    return place < 0 ? null : { kind: "found", check, outcome: place, suspect: -1 };
  }

  /**
   * What must come right before a check; readings in `without` are not waited for.
   * @param {WalkData} data @param {number} check @param {(check: number) => boolean} without
   */
  function comesAfter(data, check, without) {
    const list = data.checks[check].after.slice();
    data.checks.forEach((other, place) => {
      if (other.erased.includes(data.checks[check].state) && !other.never && !without(place) && !list.includes(place)) {
        list.push(place);
      }
    });
    return list;
  }

  /**
   * All that comes before a check, directly or through others.
   * @param {number[][]} after @param {number} check
   */
  function allBefore(after, check) {
    /** @type {Set<number>} */
    const found = new Set();
    const open = after[check].slice();
    for (let next = open.pop(); next !== undefined; next = open.pop()) {
      if (!found.has(next)) {
        found.add(next);
        open.push(...after[next]);
      }
    }
    return found;
  }

  /**
   * The guards that must hold when a check is done.
   * @param {WalkData} data
   * @returns {number[][]}
   */
  function guardsToHold(data) {
    const stated = data.checks.map((check) => check.after);
    return data.checks.map((check, place) =>
      [...allBefore(stated, place)].filter((other) => data.checks[other].guard && data.checks[other].state === check.state).sort((a, b) => a - b),
    );
  }

  /** @param {WalkData} data @returns {WalkStanding} */
  function begin(data) {
    return {
      weights: [],
      whole: 0,
      done: new Set(),
      fresh: new Set(),
      state: data.start,
      aside: new Map(),
      lost: new Set(data.checks.flatMap((check, place) => (check.erased.includes(data.start) ? [place] : []))),
      denied: [],
      answers: [],
      wanted: -1,
      node: 0,
      minutes: 0,
      noted: [],
      after: [],
      before: [],
      holds: guardsToHold(data),
    };
  }

  /** @param {WalkData} data @param {WalkStanding} at @param {number} check */
  function may(data, at, check) {
    const model = data.checks[check];
    if (!model.guard && at.done.has(check)) {
      return "answered";
    }
    if (at.lost.has(check)) {
      return "lost";
    }
    const after = comesAfter(data, check, (other) => at.aside.has(other) || at.lost.has(other));
    const stays = model.state === at.state;
    const ready = !model.never && after.every((other) => at.done.has(other)) && at.holds[check].every((guard) => stays && at.fresh.has(guard));
    return ready ? "" : "not yet";
  }

  /** @param {WalkData} data @param {WalkStanding} at @param {number} check */
  function carryOut(data, at, check) {
    const model = data.checks[check];
    at.minutes += data.moves[at.state][model.state] + model.minutes;
    if (model.state !== at.state) {
      at.fresh.clear();
      at.state = model.state;
      data.checks.forEach((other, place) => {
        if (other.erased.includes(at.state)) {
          at.lost.add(place);
        }
      });
    }
  }

  /** @param {WalkStanding} at @param {number} check */
  function putDown(at, check) {
    if (at.wanted === check) {
      at.wanted = -1;
    }
  }

  /**
   * Keeps the event for the note, and drops those about the same before it; a guard counts each time.
   * @param {WalkData} data @param {WalkStanding} at @param {number} place @param {WalkEvent} event
   */
  function note(data, at, place, event) {
    const guard = event.kind === "found" && data.checks[event.check].guard;
    const about = event.suspect >= 0 ? "suspect " + event.suspect : "check " + event.check;
    at.noted = at.noted.filter((one) => one.about !== about);
    if (event.kind !== "again" && event.kind !== "maybe") {
      at.noted.push({ about: guard ? "" : about, event: place });
    }
  }

  /**
   * @param {WalkData} data @param {WalkStanding} at @param {number} place of the event
   * @param {WalkEvent} event
   * @returns {string} why it cannot have happened; empty if it can
   */
  function take(data, at, place, event) {
    const check = event.check;
    note(data, at, place, event);
    if (event.kind === "not" || event.kind === "maybe") {
      at.denied = at.denied.filter((denied) => denied.suspect !== event.suspect);
      if (event.kind === "not") {
        at.denied.push({ suspect: event.suspect, event: place });
      }
      at.node = -1;
      return "";
    }
    if (event.kind === "again") {
      at.aside.delete(check);
      at.answers = at.answers.filter((answer) => answer.check !== check);
      at.done.delete(check);
      at.fresh.delete(check);
      at.wanted = check;
      at.node = -1;
      return "";
    }
    if (event.kind === "later") {
      if (!data.checks[check].guard && at.done.has(check)) {
        return "answered";
      }
    } else {
      const refused = may(data, at, check);
      if (refused) {
        return refused;
      }
      carryOut(data, at, check);
    }
    putDown(at, check);
    if (event.kind !== "found") {
      at.aside.set(check, event.kind === "odd");
      at.fresh.delete(check);
      at.node = -1;
      return "";
    }
    at.aside.delete(check);
    found(data, at, check, event.outcome, place);
    return "";
  }

  /** @param {WalkData} data @param {WalkStanding} at @param {number} check @param {number} outcome @param {number} place */
  function found(data, at, check, outcome, place) {
    const step = data.policy[at.node];
    if (!data.checks[check].guard) {
      at.done.add(check);
      at.answers.push({ check, outcome, event: place });
    } else if (outcome === 0) {
      at.done.add(check);
      at.fresh.add(check);
    } else {
      // Not safe yet: the step is asked again.
      at.fresh.delete(check);
      return;
    }
    if (step && step.check === check) {
      at.node = typeof step.next === "number" ? step.next : step.next[outcome];
    } else if (!(step && at.holds[step.check].includes(check))) {
      at.node = -1;
    }
  }

  /**
   * Bayes' rule over these answers and denials only.
   * @param {WalkData} data @param {{ check: number, outcome: number }[]} answers @param {{ suspect: number }[]} denied
   */
  function weighed(data, answers, denied) {
    const weights = data.suspects.map((suspect) => suspect.chance);
    for (const { check, outcome } of answers) {
      const likely = data.checks[check].outcomes[outcome].likely;
      weights.forEach((_, suspect) => (weights[suspect] *= likely[suspect]));
    }
    denied.forEach(({ suspect }) => (weights[suspect] = 0));
    return { weights, whole: sum(weights) };
  }

  /** @param {number[]} weights */
  const sum = (weights) => weights.reduce((whole, weight) => (weight > 0 ? whole + weight : whole), 0);

  /** What the standing would be if a check showed this as well. @param {WalkData} data @param {WalkStanding} at @param {number} check @param {number} outcome @returns {WalkStanding} */
  function and(data, at, check, outcome) {
    const likely = data.checks[check].outcomes[outcome].likely;
    const weights = at.weights.map((weight, suspect) => weight * likely[suspect]);
    return { ...at, weights, whole: sum(weights), done: new Set(at.done).add(check) };
  }

  /** The likeliest suspect and its chance; of equals the first. @param {WalkStanding} at */
  function leader(at) {
    let best = 0;
    at.weights.forEach((weight, suspect) => (best = weight > at.weights[best] ? suspect : best));
    return { suspect: best, chance: at.weights[best] / at.whole };
  }

  /** What is possible, likeliest first. @param {WalkStanding} at */
  function oddsOf(at) {
    const odds = at.weights.map((weight, suspect) => ({ suspect, chance: weight / at.whole })).filter((one) => at.weights[one.suspect] > 0);
    return odds.sort((a, b) => b.chance - a.chance || a.suspect - b.suspect);
  }

  /** Uncertainty about the fault, in bits. @param {WalkStanding} at */
  function entropy(at) {
    let bits = 0;
    for (const weight of at.weights) {
      if (weight > 0) {
        bits -= (weight / at.whole) * Math.log2(weight / at.whole);
      }
    }
    return bits;
  }

  /** Checks that part what is possible and have no answer. @param {WalkData} data @param {WalkStanding} at */
  function parting(data, at) {
    const first = at.weights.findIndex((weight) => weight > 0);
    /** @param {WalkCheck} check */
    const parts = (check) =>
      check.outcomes.some(({ likely }) => at.weights.some((weight, suspect) => weight > 0 && !same(likely[first], likely[suspect])));
    return data.checks.flatMap((check, place) => (first >= 0 && !check.never && !at.done.has(place) && parts(check) ? [place] : []));
  }

  /** Whether a check can be done as things stand, what must come before it included. @param {WalkData} data @param {WalkStanding} at @param {number} check */
  function canBeDone(data, at, check) {
    const needed = [check, ...[...at.before[check]].filter((other) => !at.done.has(other))];
    return !data.checks[check].never && !needed.some((other) => at.lost.has(other)) && ![...needed, ...at.holds[check]].some((other) => at.aside.has(other));
  }

  /** @param {WalkData} data @param {WalkStanding} at */
  const useful = (data, at) => parting(data, at).filter((check) => canBeDone(data, at, check));

  /** @param {WalkData} data @param {WalkStanding} at */
  const over = (data, at) => leader(at).chance >= data.certainty - SAME || useful(data, at).length === 0;

  /** Checks that were put off and keep others, or themselves, from parting what is possible. @param {WalkData} data @param {WalkStanding} at */
  function holdingBack(data, at) {
    const wanted = parting(data, at).filter((check) => !at.lost.has(check));
    const all = new Set(wanted.flatMap((check) => [check, ...at.before[check], ...at.holds[check]]));
    return [...all].filter((check) => at.aside.has(check) && !at.lost.has(check)).sort((a, b) => a - b);
  }

  /** Expected information of a check, in bits. @param {WalkData} data @param {WalkStanding} at @param {number} check */
  function bitsOf(data, at, check) {
    let bits = entropy(at);
    data.checks[check].outcomes.forEach((_, outcome) => {
      const then = and(data, at, check, outcome);
      if (then.whole > 0) {
        bits -= (then.whole / at.whole) * entropy(then);
      }
    });
    return Math.max(bits, 0);
  }

  /** Chance that the search is over after a check. @param {WalkData} data @param {WalkStanding} at @param {number} check */
  function endsOf(data, at, check) {
    let ends = 0;
    data.checks[check].outcomes.forEach((_, outcome) => {
      const then = and(data, at, check, outcome);
      if (then.whole > 0 && over(data, then)) {
        ends += then.whole / at.whole;
      }
    });
    return ends;
  }

  /**
   * How to come to a check through all that must come before it: what is done first, and the minutes.
   * @param {WalkData} data @param {WalkStanding} at @param {number} check
   * @returns {{ first: number, minutes: number } | null} `null` if it can never be done
   */
  function wayTo(data, at, check) {
    const done = new Set(at.done);
    done.delete(check);
    let fresh = new Set(at.fresh);
    let state = at.state;
    let minutes = 0;
    let first = -1;
    for (;;) {
      const missing = [check, ...at.before[check]].filter((other) => !done.has(other)).sort((a, b) => a - b);
      const next = missing.find((other) => at.after[other].every((earlier) => done.has(earlier)));
      if (next === undefined) {
        return null;
      }
      const model = data.checks[next];
      if (model.state !== state) {
        fresh = new Set();
      }
      const again = at.holds[next].filter((guard) => !fresh.has(guard));
      const guard = again.find((one) => !at.holds[one].some((other) => again.includes(other)));
      minutes += data.moves[state][model.state];
      minutes += again.reduce((all, one) => all + data.checks[one].minutes, 0);
      minutes += model.minutes;
      first = first < 0 ? (guard === undefined ? next : guard) : first;
      if (next === check) {
        return { first, minutes };
      }
      again.forEach((one) => fresh.add(one));
      if (model.guard) {
        fresh.add(next);
      }
      done.add(next);
      state = model.state;
    }
  }

  /** The check that is expected to tell the most for its minutes; of equals the one in the safer state, then the cheaper, then the first. @param {WalkData} data @param {WalkStanding} at */
  function mostForItsMinutes(data, at) {
    const checks = data.checks;
    const order = useful(data, at).sort((a, b) => checks[a].state - checks[b].state || checks[a].minutes - checks[b].minutes || a - b);
    let best = -1;
    let most = 0;
    for (const check of order) {
      const way = wayTo(data, at, check);
      const rate = way ? bitsOf(data, at, check) / way.minutes : 0;
      if (way && (best < 0 || rate > most * (1 + SAME_RATE))) {
        most = rate;
        best = check;
      }
    }
    return best;
  }

  /**
   * @param {WalkData} data @param {WalkStanding} at @param {number} check @param {number} toward
   * @param {"planned" | "chosen" | "asked"} reason @param {number} left minutes to be expected from here, if planned
   * @returns {WalkStep | null}
   */
  function stepTo(data, at, check, toward, reason, left) {
    const way = wayTo(data, at, check);
    const whole = wayTo(data, at, toward);
    if (!way || !whole) {
      return null;
    }
    const change = data.moves[at.state][data.checks[way.first].state];
    const aim = way.first === check ? toward : check;
    return {
      kind: "do",
      check: way.first,
      toward: aim,
      from: at.state,
      change,
      minutes: change + data.checks[way.first].minutes,
      wayMinutes: whole.minutes,
      bits: bitsOf(data, at, aim),
      ends: endsOf(data, at, aim),
      reason,
      left,
    };
  }

  /** @param {WalkData} data @param {WalkStanding} at @returns {WalkNext} */
  function next(data, at) {
    if (!(at.whole > 0)) {
      return { kind: "contradiction", events: conflict(data, at) };
    }
    const asked = at.wanted >= 0 && canBeDone(data, at, at.wanted) ? stepTo(data, at, at.wanted, at.wanted, "asked", 0) : null;
    if (asked) {
      return asked;
    }
    const planned = data.policy[at.node];
    if (planned) {
      // The check for whose sake the policy asks: the first from here on whose findings lead different ways.
      let aim = planned;
      while (typeof aim.next === "number" && data.policy[aim.next]) {
        aim = data.policy[aim.next];
      }
      const step = stepTo(data, at, planned.check, aim.check, "planned", planned.left);
      if (step) {
        return step;
      }
    }
    const first = leader(at);
    if (first.chance >= data.certainty - SAME) {
      return { kind: "named", suspect: first.suspect, chance: first.chance, others: oddsOf(at).filter((one) => one.suspect !== first.suspect) };
    }
    const best = mostForItsMinutes(data, at);
    const step = best >= 0 ? stepTo(data, at, best, best, "chosen", 0) : null;
    return step || { kind: "open", odds: oddsOf(at), ifDone: holdingBack(data, at) };
  }

  /**
   * Events that leave no suspect together, none of which could be left out; of several such sets the one with the later ones.
   * @param {WalkData} data @param {WalkStanding} at
   */
  function conflict(data, at) {
    let kept = [...at.answers, ...at.denied].sort((a, b) => a.event - b.event);
    for (const one of kept.slice()) {
      const rest = kept.filter((other) => other !== one);
      const answers = at.answers.filter((other) => rest.includes(other));
      const denied = at.denied.filter((other) => rest.includes(other));
      if (!(weighed(data, answers, denied).whole > 0)) {
        kept = rest;
      }
    }
    return kept.map((one) => one.event);
  }

  /**
   * Where a history leads.
   * @param {WalkData} data
   * @param {string[]} history events in the order in which they happened
   * @returns {WalkLook | { wrong: number, why: string }} the first event that cannot have happened, or where the walk stands
   */
  function look(data, history) {
    const at = begin(data);
    for (let place = 0; place < history.length; place += 1) {
      const event = readEvent(data, history[place]);
      const why = event ? take(data, at, place, event) : "unknown";
      if (why) {
        return { wrong: place, why };
      }
    }
    Object.assign(at, weighed(data, at.answers, at.denied));
    at.after = data.checks.map((_, check) => comesAfter(data, check, (other) => at.aside.has(other) || at.lost.has(other)));
    at.before = data.checks.map((_, check) => allBefore(at.after, check));
    const then = next(data, at);
    const aside = [...at.aside].sort((a, b) => a[0] - b[0]).map(([check, odd]) => ({ check, odd, open: !at.lost.has(check) }));
    return {
      odds: oddsOf(at),
      state: at.state,
      minutes: at.minutes,
      planned: then.kind === "do" && then.reason === "planned",
      aside,
      lost: [...at.lost],
      answers: at.answers,
      noted: at.noted.map((one) => one.event),
      next: then,
    };
  }

  return { look, readEvent };
})();
