// Walks through a symptom's checks, one question a screen. Needs the other `walk-*.js`, `gauge.js` and the symptom's numbers, and
// the page's element with data-walk="symptom". What is kept lies under the handbook's own id; a reader who refuses storage only
// loses the way back after a reload.
"use strict";

(function () {
  const { make, drawn, link, button, heading, hazardBox, hazardLines, bars, stateBox, minutes, why, caution } = blueconeWalkPage;
  const note = blueconeWalkNote;
  const root = document.documentElement.dataset.root || "";

  /** @param {HTMLElement} host @param {string} symptom @param {WalkData} data */
  function begin(host, symptom, data) {
    const place = (document.documentElement.dataset.book || "handbook") + ":walk:" + symptom;
    const article = /** @type {HTMLElement} */ (host.closest("article"));
    const status = make("div", "walk-said");
    status.setAttribute("role", "status");
    const stage = make("div", "walk-stage");
    host.append(make("h2", "", "Step by step"), status, stage);
    host.children[0].id = "walk";
    host.setAttribute("role", "region");
    host.setAttribute("aria-labelledby", "walk");
    host.hidden = false;
    const jump = article.querySelector(".jump ul");
    if (jump) {
      const to = make("a", "", "Step by step");
      to.href = "#walk";
      jump.prepend(make("li", "jump-first", to));
    }
    /** @type {WalkKept} */
    let kept = fresh();
    /** What was said of stored data that no longer fits. */
    let told = "";
    welcome(restore());

    /** @returns {WalkKept} */
    function fresh() {
      return { made: data.made, events: [], readings: Object.create(null), chosen: Object.create(null) };
    }

    function save() {
      try {
        if (kept.events.length) {
          localStorage.setItem(place, JSON.stringify(kept));
        } else {
          localStorage.removeItem(place);
        }
      } catch (_) {
        // Storage may be refused; the walk then lasts as long as the page.
      }
    }

    /** Takes a kept walk up, if there is one and it fits. */
    function restore() {
      try {
        const text = localStorage.getItem(place);
        if (text === null) {
          return false;
        }
        const read = readKept(text);
        if (read) {
          kept = read;
          return true;
        }
        localStorage.removeItem(place);
        told = "A walk that was kept here was made with another edition of this handbook, or was damaged. It no longer fits and was removed.";
      } catch (_) {
        // Refused: see save().
      }
      return false;
    }

    /** What was kept, if it is whole and fits this edition. @param {string} text @returns {WalkKept | null} */
    function readKept(text) {
      try {
        const read = JSON.parse(text);
        const sound = read.made === data.made && Array.isArray(read.events) && read.events.length > 0 && read.events.every((event) => typeof event === "string");
        if (!sound || "wrong" in blueconeWalk.look(data, read.events)) {
          return null;
        }
        const whole = { ...fresh(), events: read.events };
        for (const [check, reading] of Object.entries(read.readings || {})) {
          if (reading && [reading.value, reading.unit, reading.of].every((part) => typeof part === "string")) {
            whole.readings[check] = { value: reading.value, unit: reading.unit, of: reading.of };
          }
        }
        return whole;
      } catch (_) {
        return null;
      }
    }

    /** @param {boolean} resumes */
    function welcome(resumes) {
      article.classList.remove("walking");
      status.replaceChildren();
      /** @type {HTMLElement[]} */
      const parts = [make("p", "", "One question a screen. Each begins with its hazards and how to keep clear of them. Those of this symptom:")];
      const lines = hazardLines(article);
      if (lines.children.length) {
        const boxes = make("a", "walk-link", "How to keep clear of them");
        boxes.href = "#hazards";
        parts.push(lines, make("p", "", boxes));
      } else {
        parts[0].textContent = "One question a screen. Each begins with its hazards and how to keep clear of them.";
      }
      if (told) {
        parts.push(make("p", "walk-told", told));
        told = "";
      }
      if (resumes) {
        const count = kept.events.length;
        parts.push(make("p", "", "A walk is under way, with " + count + (count === 1 ? " answer." : " answers.") + " Go on only if it is the same appliance on the same call."));
        parts.push(button("walk-button", "Go on where it stopped", () => show("The walk goes on.")));
      }
      parts.push(
        button("walk-button" + (resumes ? " walk-lesser" : ""), resumes ? "Start afresh" : "Start", () => {
          kept = fresh();
          save();
          show("");
        }),
      );
      stage.replaceChildren(...parts);
    }

    /** One more event. @param {string} event @param {string} said */
    function add(event, said) {
      kept.events.push(event);
      save();
      show(said);
    }

    /** @param {string} said what the live region tells before the next question */
    function show(said) {
      const look = blueconeWalk.look(data, kept.events);
      if ("wrong" in look) {
        // Cannot come from these buttons; what is left of the history still stands.
        kept.events.length = look.wrong;
        save();
        show("The last answer did not fit and was taken back.");
        return;
      }
      article.classList.add("walking");
      status.replaceChildren(...(said ? [make("p", "", said)] : []));
      const title = make("h3", "walk-title");
      title.tabIndex = -1;
      const next = look.next;
      const parts = next.kind === "do" ? question(title, look, next) : next.kind === "named" ? named(title, look, next) : next.kind === "open" ? open(title, look, next) : contradiction(title, look, next);
      stage.replaceChildren(progress(look), title, ...parts, ...left(look), ways(), caution());
      title.focus();
      host.scrollIntoView();
    }

    /** @param {WalkLook} look */
    function progress(look) {
      const count = kept.events.length;
      const words = count === 0 ? "First question" : "After " + count + (count === 1 ? " answer" : " answers") + ", " + minutes(look.minutes) + " by the handbook's figures";
      return make("p", "walk-progress", words);
    }

    /** @param {HTMLElement} title @param {WalkLook} look @param {WalkStep} step */
    function question(title, look, step) {
      const check = data.checks[step.check];
      title.textContent = check.title;
      const jumps = make("ul", "walk-jumps");
      for (const [id, words] of [["walk-do", "Do"], ["walk-found", "Found"], ["walk-left", "Still possible"]]) {
        const to = make("a", "", words);
        to.href = "#" + id;
        jumps.append(make("li", "", to));
      }
      const nav = make("nav", "", jumps);
      nav.setAttribute("aria-label", "On this screen");
      const hazards = make("div", "walk-hazards");
      const doing = make("div", "walk-doing");
      const answers = make("div", "walk-answers");
      fill(step, hazards, doing, answers);
      const lesser = make("div", "walk-lessers", [
        button("walk-button walk-lesser", "Cannot do this now", () => add("later:" + check.id, check.title + " is put off. Nothing is ruled out by that.")),
        button("walk-button walk-lesser", "Odd reading", () => odd(step)),
      ]);
      return [
        nav,
        hazards,
        stateBox(data, step),
        heading("walk-do", "Do this"),
        doing,
        heading("walk-found", check.guard ? "What came of it?" : "What did you find?"),
        answers,
        lesser,
        heading("walk-left", "Still possible"),
        bars(data, look.odds),
        why(data, step),
      ];
    }

    /** Hazards, steps, gauge and answers of a check: at once if its script is there, or when it has come. @param {WalkStep} step @param {HTMLElement} hazards @param {HTMLElement} doing @param {HTMLElement} answers */
    function fill(step, hazards, doing, answers) {
      const check = data.checks[step.check];
      const body = bodyOf(check.id);
      if (body) {
        hazards.replaceChildren(...body.hazards.map(hazardBox));
        doing.replaceChildren(...whatToDo(check, body));
        gauges(check, body, doing, answers);
        return;
      }
      doing.replaceChildren(make("p", "", "The steps are being fetched."), make("p", "", link(check)));
      choices(check, null, null, answers);
      fetchBody(check.id, (came) => {
        if (!doing.isConnected) {
          return;
        }
        if (came) {
          fill(step, hazards, doing, answers);
        } else {
          doing.replaceChildren(make("p", "walk-told", "The steps and hazards could not be read from this folder. They stand on the check's own page; read them there first."), make("p", "", link(check)));
        }
      });
    }

    /** @param {WalkCheck} check @param {WalkBody} body */
    function whatToDo(check, body) {
      const facts = [minutes(check.minutes)];
      facts.push(body.touches.length ? "touches " + body.touches.join(", ").toLowerCase() : "touches nothing live, hot or gas-carrying");
      const parts = [make("p", "walk-facts", facts.join(" \u00b7 "))];
      if (body.tools.length) {
        parts.push(make("p", "walk-facts", "Tools: " + body.tools.join(" \u00b7 ") + "."));
      }
      parts.push(make("ol", "steps", body.steps.map((step) => make("li", "", make("div", "step-do", drawn(step))))));
      parts.push(make("p", "walk-more", ["The whole page: ", link(check)]));
      return parts;
    }

    /** @param {WalkCheck} check @param {WalkBody} body @param {HTMLElement} doing @param {HTMLElement} answers */
    function gauges(check, body, doing, answers) {
      const own = body.gauges[0];
      let chosen = body.gauges.find((gauge) => own && gauge.id === kept.chosen[own.id]) || own || null;
      const box = make("div", "gauge-box");
      if (own && body.gauges.length > 1) {
        const set = make("fieldset", "walk-kinds", make("legend", "", "Which one is it? Read the part or the plate."));
        for (const gauge of body.gauges) {
          const radio = make("input");
          radio.type = "radio";
          radio.name = "walk-kind";
          radio.checked = gauge === chosen;
          radio.addEventListener("change", () => {
            chosen = gauge;
            kept.chosen[own.id] = gauge.id;
            draw();
          });
          set.append(make("label", "walk-kind", [radio, make("span", "", gauge.title)]));
        }
        doing.append(set);
      }
      if (own) {
        doing.append(box);
      }
      if (body.sums.length) {
        doing.append(make("p", "walk-sums", ["A sum that helps: ", ...body.sums.flatMap((sum, at) => (at ? [", ", link(sum)] : [link(sum)]))]));
      }
      draw();

      function draw() {
        delete kept.readings[check.id];
        if (chosen) {
          const gauge = chosen;
          box.replaceChildren(make("p", "gauge-name", ["What the reading means: ", link(gauge)]), drawn(gauge.svg));
          const svg = /** @type {SVGSVGElement | null} */ (box.querySelector("[data-gauge]"));
          if (svg) {
            blueconeGauge.equip(svg, (reading) => {
              if (reading) {
                kept.readings[check.id] = { value: reading, unit: gauge.unit, of: gauge.title };
              } else {
                delete kept.readings[check.id];
              }
            });
          }
        }
        choices(check, body, chosen, answers);
      }
    }

    /** The answers as buttons. @param {WalkCheck} check @param {WalkBody | null} body @param {WalkGauge | null} gauge @param {HTMLElement} answers */
    function choices(check, body, gauge, answers) {
      const buttons = check.outcomes.map((outcome, at) => {
        const band = body && gauge ? gauge.bands.find((one) => one.id === body.bands[at]) : undefined;
        const inside = [];
        if (band && gauge) {
          inside.push(make("span", "band-head", [make("span", "disc disc-" + band.severity, String(gauge.bands.indexOf(band) + 1)), make("b", "walk-range", band.range), make("span", "severity severity-" + band.severity, band.severity_words)]));
        }
        inside.push(make("span", "walk-seen", band ? band.label : outcome.seen));
        const choice = button("walk-choice", inside, () => {
          const again = check.guard && at > 0;
          const said = again ? "Not safe to go on. " + plain(body && body.means[at]) : "Noted: " + outcome.seen + (/[.!?]$/.test(outcome.seen) ? " " : ". ") + plain(body && body.means[at]);
          add(check.id + "=" + outcome.id, said);
        });
        if (band) {
          choice.dataset.band = band.id;
        }
        return choice;
      });
      answers.replaceChildren(...buttons);
    }

    /** The words of what the press drew. @param {string | null} markup */
    const plain = (markup) => (markup ? (drawn(markup).textContent || "").trim() : "");

    /** What to do about an odd reading, before anything is set aside. @param {WalkStep} step */
    function odd(step) {
      const check = data.checks[step.check];
      const title = make("h3", "walk-title", "An odd reading");
      title.tabIndex = -1;
      const advice = [
        "Check the meter: does it show a known source, and zero ohms with its leads together? Are function, range and leads the ones that the check asks for, and is the battery good?",
        "Check the place and the moment: the right two points, and the right stage of the sequence.",
        "Do the check once more. If it then shows one of the findings, choose that.",
        "If it stays odd, set it aside. Nothing is ruled out by it, and the walk goes on without it. A reading that looks unsafe is not odd: stop, make it safe and ask.",
      ];
      status.replaceChildren();
      stage.replaceChildren(
        title,
        make("p", "", check.title),
        make("ol", "", advice.map((words) => make("li", "", words))),
        button("walk-button", "Back to the findings", () => show("")),
        button("walk-button walk-lesser", "Set it aside and go on", () => add("odd:" + check.id, "The reading at \u201c" + check.title + "\u201d is set aside. Nothing is ruled out by it.")),
        caution(),
      );
      title.focus();
      host.scrollIntoView();
    }

    /** @param {HTMLElement} title @param {WalkLook} look @param {{ suspect: number, chance: number, others: WalkOdds[] }} next */
    function named(title, look, next) {
      const fault = data.suspects[next.suspect];
      title.textContent = "Found: " + fault.title;
      const parts = [make("p", "", note.percent(next.chance) + " by the handbook's figures, if only one thing is wrong. " + (next.others.length ? "The others are unlikely, not impossible." : "Every other suspect is ruled out.")), bars(data, look.odds)];
      parts.push(heading("walk-proof", "Prove it before you replace anything"), ...proof(look, next.suspect));
      parts.push(heading("walk-mend", "Mend it"), make("p", "", link(fault.task || { title: "What the fault's page says: " + fault.title, href: fault.href })));
      const closing = note.closingTests(data, kept.events, next.suspect);
      if (closing.length) {
        parts.push(heading("walk-closing", "Closing tests"), make("p", "", "The work is not done until these are."), make("ul", "", closing.map((one) => make("li", "", link(one)))));
      }
      return [...parts, ...noteBox(look)];
    }

    /** The proof of a suspect, and what to do if it says no. @param {WalkLook} look @param {number} suspect */
    function proof(look, suspect) {
      const fault = data.suspects[suspect];
      /** @type {HTMLElement[]} */
      const parts = [];
      const at = data.checks.findIndex((check) => fault.proof && check.href === fault.proof.href);
      if (fault.proof) {
        const answer = look.answers.find((one) => one.check === at);
        const seen = answer ? " You did it: " + data.checks[at].outcomes[answer.outcome].seen.replace(/[.!?]$/, "") + "." : "";
        parts.push(make("p", "", [link(fault.proof), seen]));
        if (at >= 0 && !answer && !look.lost.includes(at)) {
          parts.push(button("walk-button walk-lesser", "Do this proof as the next step", () => add("again:" + data.checks[at].id, "")));
        }
      }
      parts.push(button("walk-button walk-lesser", "Its proof says no: not \u201c" + fault.title + "\u201d", () => add("not:" + fault.id, fault.title + " is ruled out by its proof.")));
      return parts;
    }

    /** @param {HTMLElement} title @param {WalkLook} look @param {{ odds: WalkOdds[], ifDone: number[] }} next */
    function open(title, look, next) {
      const several = next.odds.length > 1;
      title.textContent = next.ifDone.length ? "Nothing more can be told for now" : several ? "No check here parts these" : "Left: " + data.suspects[next.odds[0].suspect].title;
      const parts = [bars(data, look.odds)];
      if (next.ifDone.length) {
        parts.push(make("p", "", "What was put off or set aside would tell more. Do it when you can:"), ...next.ifDone.map(ask));
      }
      parts.push(heading("walk-proof", next.ifDone.length ? "Or prove each in turn, the likeliest first" : "Prove each in turn, the likeliest first"));
      for (const { suspect } of next.odds) {
        const fault = data.suspects[suspect];
        parts.push(make("div", "walk-suspect", [make("h4", "", fault.title), ...proof(look, suspect), make("p", "", ["Mend: ", link(fault.task || fault)])]));
      }
      const closing = note.closingTests(data, kept.events, -1);
      if (closing.length) {
        parts.push(heading("walk-closing", "Closing tests of what was done"), make("ul", "", closing.map((one) => make("li", "", link(one)))));
      }
      return [...parts, ...noteBox(look)];
    }

    /** @param {HTMLElement} title @param {WalkLook} look @param {{ events: number[] }} next */
    function contradiction(title, look, next) {
      const alone = next.events.length === 1;
      title.textContent = alone ? "This finding fits none of the suspects" : "These answers do not fit together";
      const parts = [
        make("p", "", alone ? "No fault of this symptom's list can show it. Look at it once more; if it stays, it is a finding of its own, or the symptom is another one." : "No single fault can be behind all of them. One of them is not right, or more than one thing is wrong, or the fault is none of this symptom's list."),
      ];
      for (const place of next.events) {
        const text = kept.events[place];
        const event = blueconeWalk.readEvent(data, text);
        if (!event) {
          continue;
        }
        const box = make("div", "walk-suspect", make("p", "walk-answer", note.line(data, text, kept.readings)));
        if (event.suspect >= 0) {
          box.append(button("walk-button", "It may be this after all", () => add("maybe:" + data.suspects[event.suspect].id, "It counts as possible again.")));
        } else {
          const check = data.checks[event.check];
          const lost = look.lost.includes(event.check);
          const elsewhere = check.outcomes[event.outcome].elsewhere || [];
          if (elsewhere.length) {
            box.append(make("p", "", ["It points to: ", ...elsewhere.flatMap((one, at) => (at ? [", ", link(one)] : [link(one)]))]));
          }
          box.append(button("walk-button", lost ? "Take this answer back" : "Do this check again", () => add("again:" + check.id, lost ? "The answer no longer counts. It cannot be read again, as the appliance's state has erased it." : "The answer no longer counts.")));
        }
        parts.push(box);
      }
      parts.push(make("p", "", "If every answer stands after a second look, stop here, leave the appliance safe, and ask the lead. More than one fault at a time is beyond this walk; the list of checks below the walk still serves."));
      return [...parts, ...noteBox(look)];
    }

    /** What was left without an answer. @param {WalkLook} look */
    function left(look) {
      const open = look.aside.filter((one) => one.open && !(look.next.kind === "open" && look.next.ifDone.includes(one.check)));
      return open.length ? [heading("walk-aside", "Left without an answer"), ...open.map((one) => ask(one.check))] : [];
    }

    /** @param {number} at */
    function ask(at) {
      const check = data.checks[at];
      return button("walk-button walk-lesser", "Do it now: " + check.title, () => add("again:" + check.id, ""));
    }

    function ways() {
      const row = make("div", "walk-ways");
      const back = button("walk-button walk-lesser", "Back", () => {
        kept.events.pop();
        save();
        show("One step back.");
      });
      back.disabled = kept.events.length === 0;
      const restart = button("walk-button walk-lesser", "Start again", () => {
        if (restart.dataset.sure || kept.events.length === 0) {
          kept = fresh();
          save();
          show("Started again.");
        } else {
          restart.dataset.sure = "yes";
          restart.textContent = "Really start again?";
          status.replaceChildren(make("p", "", "Press once more to start again. The answers so far are then gone."));
        }
      });
      row.append(back, restart, button("walk-button walk-lesser", "Leave the walk", () => {
        welcome(kept.events.length > 0);
        const first = stage.querySelector("button");
        if (first) {
          first.focus();
        }
      }));
      return row;
    }

    /** The service note, to copy. @param {WalkLook} look */
    function noteBox(look) {
      const area = make("textarea", "walk-note");
      area.readOnly = true;
      area.value = note.write(data, kept.events, kept.readings, look);
      area.rows = Math.min(area.value.split("\n").length + 1, 16);
      area.id = "walk-note-text";
      const label = make("label", "", "For the record of the call. Add who, when and which appliance by hand.");
      label.htmlFor = area.id;
      const copied = () => status.replaceChildren(make("p", "", "The note is copied."));
      const byHand = () => {
        area.focus();
        area.select();
        let done = false;
        try {
          done = document.execCommand("copy");
        } catch (_) {
          // The text is selected; it can be copied by hand.
        }
        done ? copied() : status.replaceChildren(make("p", "", "The note is selected. Copy it with the keyboard or a long press."));
      };
      const copy = button("walk-button", "Copy the note", () => {
        if (navigator.clipboard && window.isSecureContext) {
          navigator.clipboard.writeText(area.value).then(copied, byHand);
        } else {
          byHand();
        }
      });
      return [heading("walk-note", "Service note"), label, area, copy];
    }
  }

  /** @param {string} id @returns {WalkBody | undefined} */
  const bodyOf = (id) => (typeof blueconeWalkChecks === "undefined" ? undefined : blueconeWalkChecks[id]);

  /** @param {string} id @param {(came: boolean) => void} then */
  function fetchBody(id, then) {
    const script = document.createElement("script");
    script.src = root + "walk/checks/" + id + ".js";
    script.addEventListener("load", () => then(bodyOf(id) !== undefined));
    script.addEventListener("error", () => then(false));
    document.head.append(script);
  }

  document.querySelectorAll("[data-walk]").forEach((host) => {
    const id = /** @type {HTMLElement} */ (host).dataset.walk || "";
    if (typeof blueconeWalks !== "undefined" && blueconeWalks[id]) {
      begin(/** @type {HTMLElement} */ (host), id, blueconeWalks[id]);
    }
  });
})();
