// The service note of a walk, as plain text: what was seen, measured and found; no names, no times. The terminal writes the
// same lines (`pages/walk/note.rs`); a test holds them together.
// A classic script; it gives one name, `blueconeWalkNote`.
"use strict";

var blueconeWalkNote = (function () {
  /**
   * A chance as whole percent; never rounded to a certainty that it is not.
   * @param {number} chance
   */
  function percent(chance) {
    const whole = Math.round(chance * 100);
    if (chance > 0 && whole < 1) {
      return "under 1\u00a0%";
    }
    return chance < 1 && whole > 99 ? "over 99\u00a0%" : whole + "\u00a0%";
  }

  /**
   * One line for an event.
   * @param {WalkData} data @param {string} text of the event @param {WalkReadings} readings
   */
  function line(data, text, readings) {
    const event = blueconeWalk.readEvent(data, text);
    if (!event) {
      return "";
    }
    if (event.suspect >= 0) {
      return data.suspects[event.suspect].title + ": ruled out by its proof.";
    }
    const check = data.checks[event.check];
    const reading = readings[check.id];
    const read = reading && event.kind !== "later" ? " Reading: " + reading.value + (reading.unit ? "\u00a0" + reading.unit : "") + " (" + reading.of + ")." : "";
    if (event.kind === "later") {
      return check.title + ": could not be done.";
    }
    if (event.kind === "odd") {
      return check.title + ": odd reading, set aside." + read;
    }
    return check.title + ": " + ended(check.outcomes[event.outcome].seen) + read;
  }

  /** A sentence with its full stop. @param {string} words */
  const ended = (words) => (/[.!?]$/.test(words) ? words : words + ".");

  /** @param {WalkData} data @param {WalkOdds[]} odds */
  const list = (data, odds) => odds.map((one) => data.suspects[one.suspect].title + " " + percent(one.chance)).join("; ");

  /**
   * The whole note.
   * @param {WalkData} data @param {string[]} history @param {WalkReadings} readings @param {WalkLook} look
   */
  function write(data, history, readings, look) {
    const lines = ["Service note", "Symptom: " + ended(data.symptom)];
    const noted = look.noted.map((place) => line(data, history[place], readings));
    lines.push(noted.length ? "Done, in this order:" : "Nothing done yet.", ...noted.map((text) => "- " + text));
    const next = look.next;
    if (next.kind === "named") {
      const fault = data.suspects[next.suspect];
      lines.push("Found: " + fault.title + ", " + percent(next.chance) + " by the handbook's figures.");
      if (next.others.length) {
        lines.push("Still possible: " + list(data, next.others) + ".");
      }
      if (fault.proof) {
        lines.push("Proof: " + ended(fault.proof.title));
      }
      lines.push("Mend: " + (fault.task ? ended(fault.task.title) : "see the fault's entry."));
      const closing = closingTests(data, history, next.suspect).map((link) => link.title);
      if (closing.length) {
        lines.push("Closing tests: " + closing.join("; ") + ".");
      }
    } else if (next.kind === "contradiction") {
      lines.push("These answers do not fit together; no fault is named.");
    } else {
      lines.push((next.kind === "open" ? "Not told apart: " : "Still possible: ") + list(data, look.odds) + ".");
    }
    lines.push("From: " + data.book + ", " + ended(data.edition) + " The appliance's instructions and rating plate decide.");
    return lines.join("\n") + "\n";
  }

  /**
   * What must end the work: the tests after the task, and those after the checks that were done, each once.
   * @param {WalkData} data @param {string[]} history @param {number} suspect or -1
   * @returns {WalkLink[]}
   */
  function closingTests(data, history, suspect) {
    const events = history.map((text) => blueconeWalk.readEvent(data, text));
    const done = events.flatMap((event) => (event && (event.kind === "found" || event.kind === "odd") ? data.checks[event.check].closing : []));
    const all = [...(suspect >= 0 ? data.suspects[suspect].closing : []), ...done];
    return all.filter((link, at) => all.findIndex((other) => other.href === link.href) === at);
  }

  return { percent, line, write, closingTests };
})();
