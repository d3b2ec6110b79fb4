// The pieces of a walk's screens. Texts go in as text; only what the press itself drew from prose goes in as markup.
// A classic script; it gives one name, `blueconeWalkPage`.
"use strict";

var blueconeWalkPage = (function () {
  const SVG = "http://www.w3.org/2000/svg";

  /**
   * An element with a class and text.
   * @template {keyof HTMLElementTagNameMap} K
   * @param {K} name @param {string} [kind] @param {string | Node | (string | Node)[]} [inside]
   * @returns {HTMLElementTagNameMap[K]}
   */
  function make(name, kind, inside) {
    const element = document.createElement(name);
    if (kind) {
      element.className = kind;
    }
    if (inside !== undefined) {
      element.append(...(Array.isArray(inside) ? inside : [inside]));
    }
    return element;
  }

  /** What the press drew from prose. @param {string} markup */
  function drawn(markup) {
    const holder = document.createElement("template");
    holder.innerHTML = markup;
    return holder.content;
  }

  /** @param {WalkLink} to @param {string} [kind] */
  function link(to, kind) {
    const element = make("a", kind || "walk-link", to.title);
    element.href = to.href;
    return element;
  }

  /** @param {string} kind @param {string | Node | (string | Node)[]} inside @param {() => void} act */
  function button(kind, inside, act) {
    const element = make("button", kind, inside);
    element.type = "button";
    element.addEventListener("click", act);
    return element;
  }

  /** A heading with an id, for jumps. @param {string} id @param {string} text */
  function heading(id, text) {
    const element = make("h3", "walk-part", text);
    element.id = id;
    element.tabIndex = -1;
    return element;
  }

  /** @param {[string, string][]} points */
  function drawing(...points) {
    const svg = document.createElementNS(SVG, "svg");
    svg.setAttribute("aria-hidden", "true");
    svg.setAttribute("focusable", "false");
    for (const [name, attributes] of points) {
      const shape = document.createElementNS(SVG, name);
      for (const pair of attributes.split("; ")) {
        const [key, value] = pair.split("=");
        shape.setAttribute(key, value);
      }
      svg.append(shape);
    }
    return svg;
  }

  /**
   * A hazard box: signal word, what it is about and its one sentence are always in sight; the whole of it opens with a tap.
   * @param {WalkHazard} hazard
   */
  function hazardBox(hazard) {
    const box = make("div", "hazard walk-hazard hazard-" + hazard.signal);
    const signal = make("span", "signal");
    if (hazard.alert) {
      const alert = drawing(
        ["path", "class=alert-field; d=M12 1 23 21H1z"],
        ["path", "class=alert-mark; d=M10.6 7.5h2.8l-.6 7h-1.6z"],
        ["circle", "class=alert-mark; cx=12; cy=17.3; r=1.5"],
      );
      alert.setAttribute("class", "alert");
      alert.setAttribute("viewBox", "0 0 24 22");
      signal.append(alert);
    }
    signal.append(hazard.word);
    const title = make("span", "hazard-title", link(hazard, "hazard-link"));
    box.append(make("h4", "", [signal, " ", title]));
    const controls = make("ul", "controls", hazard.controls.map((control) => make("li", "", drawn(control))));
    const more = make("details", "", [make("summary", "", ["What to do ", make("span", "", String(hazard.controls.length))]), drawn(hazard.hazard), controls]);
    const words = make("div", "hazard-words", [make("p", "walk-hazard-sum", hazard.summary), more]);
    box.append(words);
    return box;
  }

  /**
   * The hazards whose boxes stand on the page, a line for each signal word, gravest first: who jumps to the walk has passed
   * the boxes by.
   * @param {HTMLElement} article
   */
  function hazardLines(article) {
    const list = make("ul", "plan-hazards walk-first");
    /** @type {HTMLElement | null} */
    let line = null;
    let word = "";
    for (const box of article.querySelectorAll(".hazards .hazard")) {
      const signal = /** @type {HTMLElement} */ (box.querySelector(".signal"));
      const title = /** @type {HTMLAnchorElement} */ (box.querySelector(".hazard-title a"));
      if (!signal || !title) {
        continue;
      }
      if (!line || word !== signal.textContent) {
        word = signal.textContent || "";
        const kind = [...box.classList].find((one) => one.startsWith("hazard-")) || "";
        line = make("li", "", make("span", "plan-signal" + (box.querySelector(".alert") ? " plan-alert" : "") + " " + kind.replace("hazard-", "signal-"), word.trim()));
        list.append(line);
      }
      const to = make("a", "", title.textContent || "");
      to.href = title.href;
      line.append(" ", to);
    }
    return list;
  }

  /**
   * What is possible, as bars with figures.
   * @param {WalkData} data @param {WalkOdds[]} odds
   */
  function bars(data, odds) {
    const rows = odds.map(({ suspect, chance }) => {
      const bar = drawing(["rect", "class=bar-track; width=100; height=10"], ["rect", "class=bar-fill; height=10; width=" + Math.round(chance * 1000) / 10]);
      bar.setAttribute("class", "bar");
      bar.setAttribute("viewBox", "0 0 100 10");
      bar.setAttribute("preserveAspectRatio", "none");
      const head = make("span", "suspect-head", [make("b", "", data.suspects[suspect].title), " ", make("span", "suspect-chance", blueconeWalkNote.percent(chance))]);
      const row = make("a", "", [head, bar]);
      row.href = data.suspects[suspect].href;
      return make("li", "", row);
    });
    return make("ol", "suspects walk-odds", rows);
  }

  /**
   * The state that a step needs, and how to get there.
   * @param {WalkData} data @param {WalkStep} step
   */
  function stateBox(data, step) {
    const to = data.checks[step.check].state;
    const state = data.states[to];
    const box = make("div", "walk-state state-" + state.name);
    const name = make("b", "", state.short);
    if (step.from === to) {
      box.append(make("p", "", ["The appliance stays ", name, ": " + state.detail + "."]));
      return box;
    }
    box.append(make("p", "", ["Bring the appliance to: ", name, ": " + state.detail + "."]));
    const way = data.ways.find(([from, target]) => from === step.from && target === to);
    const how = way ? " " + way[2] + "." : "";
    box.append(make("p", "", "It is now " + data.states[step.from].short.toLowerCase() + "; allow " + minutes(step.change) + " to get there." + how));
    return box;
  }

  /** @param {number} value */
  function minutes(value) {
    const shown = value >= 10 ? Math.round(value) : Math.round(value * 10) / 10;
    return shown + "\u00a0min";
  }

  /**
   * Why a step comes next.
   * @param {WalkData} data @param {WalkStep} step
   */
  function why(data, step) {
    const aim = data.checks[step.toward];
    const part = data.checks[step.check];
    const said = [];
    if (step.toward !== step.check) {
      said.push((part.guard ? "It makes the work safe for: " : "It must come before: ") + aim.title + ".");
    }
    said.push(
      step.reason === "planned"
        ? "It is the next step of the computed order, which is the safe one with the fewest minutes to be expected."
        : step.reason === "asked"
          ? "You asked for it."
          : "You are off the computed order, so the choice is made anew: of all checks that can be done now it tells the most for its minutes.",
    );
    const told = step.ends >= 0.005 ? "it ends the search with a chance of " + blueconeWalkNote.percent(step.ends) : "it narrows the search";
    const whole = step.bits < 0.005 ? "" : (step.toward === step.check ? "This check: " : aim.title + ": ") + told + ", and it tells as much as " + step.bits.toFixed(2) + " of an even yes-or-no question, in " + minutes(step.wayMinutes) + ".";
    if (whole) {
      said.push(whole);
    }
    if (step.reason === "planned") {
      said.push("About " + minutes(step.left) + " from here to the end.");
    }
    return make("p", "walk-why", said.join(" "));
  }

  /** What stands on every screen; the handbook's own caution is at the foot of the page. */
  function caution() {
    const own = make("a", "", "Standing caution");
    own.href = "#to--caution";
    return make("p", "walk-caution", ["The appliance's instructions and rating plate, the local code and the licensed person on site come before anything said here. If you smell gas or a carbon monoxide alarm sounds, leave first and call from outside. ", own]);
  }

  return { make, drawn, link, button, heading, hazardBox, hazardLines, bars, stateBox, minutes, why, caution };
})();
