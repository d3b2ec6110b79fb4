// Asks questions of one or more topics, one at a time. Needs `quiz-judge.js` and one `quiz/<topic>.js` for each topic named by the page:
// <section data-quiz="bands sums" data-items="10">…the printed questions, in an element with data-quiz-printed…</section>
// All text goes in as text, never as markup. Everything works by keyboard: arrows choose, Enter checks and goes on.
"use strict";

(function () {
  const judge = blueconeJudge;
  const root = document.documentElement.dataset.root || "";
  const place = (document.documentElement.dataset.book || "handbook") + ":quiz";
  let made = 0;

  /** @returns {QuizRecord} */
  function load() {
    try {
      return judge.readRecord(localStorage.getItem(place));
    } catch (_) {
      // Storage may be refused; the quiz then remembers nothing, and works.
      return judge.readRecord(null);
    }
  }

  const record = load();

  function save() {
    try {
      localStorage.setItem(place, JSON.stringify(record));
    } catch (_) {
      // See load().
    }
  }

  /**
   * An element with a class and text.
   * @template {keyof HTMLElementTagNameMap} K
   * @param {K} name
   * @param {string} [kind]
   * @param {string} [text]
   * @returns {HTMLElementTagNameMap[K]}
   */
  function make(name, kind, text) {
    const element = document.createElement(name);
    if (kind) {
      element.className = kind;
    }
    if (text) {
      element.textContent = text;
    }
    return element;
  }

  /**
   * @param {string} text
   * @param {() => void} [act] without it the button sends its form
   */
  function button(text, act) {
    const element = make("button", "quiz-button", text);
    element.type = act ? "button" : "submit";
    if (act) {
      element.addEventListener("click", act);
    }
    return element;
  }

  /**
   * The field for an answer, and how to read it.
   * @typedef {{ field: HTMLElement, read: () => { answer: number | string[] } | { problem: string }, close: () => void }} Ask
   */

  /** @param {QuizChoice} variant @returns {Ask} */
  function askChoice(variant) {
    const field = make("div", "quiz-options");
    const name = "quiz-choice-" + (made += 1);
    const order = judge.shuffled(variant.options.map((_, at) => at), Math.random);
    /** @type {HTMLInputElement[]} */
    const radios = order.map((at) => {
      const label = make("label", "quiz-option");
      const radio = make("input");
      radio.type = "radio";
      radio.name = name;
      radio.value = String(at);
      label.append(radio, make("span", "", variant.options[at]));
      field.append(label);
      return radio;
    });
    return {
      field,
      read() {
        const chosen = radios.find((radio) => radio.checked);
        return chosen ? { answer: Number(chosen.value) } : { problem: "Choose an answer first." };
      },
      close() {
        radios.forEach((radio) => {
          radio.disabled = true;
          if (Number(radio.value) === variant.right) {
            const label = /** @type {HTMLElement} */ (radio.parentElement);
            label.classList.add("quiz-option-right");
            label.append(make("strong", "quiz-mark", "\u2713 right answer"));
          }
        });
      },
    };
  }

  /** @param {QuizOrder} variant @param {(text: string) => void} say @returns {Ask} */
  function askOrder(variant, say) {
    const field = make("ol", "quiz-order");
    const steps = judge.disordered(variant.steps, Math.random);
    let open = true;

    /** @param {number} from @param {number} by */
    function move(from, by) {
      const to = from + by;
      [steps[from], steps[to]] = [steps[to], steps[from]];
      draw();
      // The focus stays with the step that moved, on the same arrow as long as it can go on.
      const arrows = field.children[to].querySelectorAll("button");
      const same = arrows[by < 0 ? 0 : 1];
      (same.disabled ? arrows[by < 0 ? 1 : 0] : same).focus();
      say("Now number " + (to + 1) + " of " + steps.length + ".");
    }

    function draw() {
      field.replaceChildren(
        ...steps.map((step, at) => {
          const row = make("li", "quiz-step");
          row.append(make("span", "quiz-step-text", step));
          for (const [by, sign, words] of /** @type {[number, string, string][]} */ ([[-1, "\u2191 Up", "Move up: "], [1, "\u2193 Down", "Move down: "]])) {
            const arrow = button(sign, () => move(at, by));
            arrow.setAttribute("aria-label", words + step);
            arrow.disabled = !open || at + by < 0 || at + by >= steps.length;
            row.append(arrow);
          }
          return row;
        }),
      );
    }

    draw();
    return {
      field,
      read: () => ({ answer: steps.slice() }),
      close() {
        open = false;
        draw();
      },
    };
  }

  /** @param {QuizNumber} variant @returns {Ask} */
  function askNumber(variant) {
    const field = make("label", "quiz-number");
    const input = make("input");
    input.type = "text";
    input.inputMode = "decimal";
    input.autocomplete = "off";
    field.append(make("span", "", "Your answer"), input, make("span", "quiz-unit", variant.unit));
    return {
      field,
      read() {
        const read = judge.readNumber(input.value, variant.unit);
        return "problem" in read ? read : { answer: read.value };
      },
      close() {
        input.readOnly = true;
      },
    };
  }

  /** @param {HTMLElement} host */
  function begin(host) {
    const topics = (host.dataset.quiz || "").split(/\s+/).filter((topic) => typeof blueconeQuiz !== "undefined" && blueconeQuiz[topic]);
    const items = topics.flatMap((topic) => blueconeQuiz[topic].items);
    if (items.length === 0) {
      return;
    }
    const key = topics.join(" ");
    const count = Math.min(Number(host.dataset.items) || 10, items.length);
    const stage = make("div", "quiz");
    host.querySelectorAll("[data-quiz-printed]").forEach((printed) => {
      /** @type {HTMLElement} */ (printed).hidden = true;
    });
    host.prepend(stage);

    /** @param {string} title */
    function heading(title) {
      const element = make("h2", "quiz-heading", title);
      element.tabIndex = -1;
      return element;
    }

    function welcome() {
      const best = record.best[key];
      const seen = items.filter((item) => record.seen[item.id]).length;
      const told = make("p", "", items.length + " questions in all, " + seen + " of them seen. Each round asks " + count + ".");
      const start = button("Start the quiz", () => round(judge.drawn(items, count, record, Math.random), true));
      stage.replaceChildren(told, ...(best ? [make("p", "", "Best so far: " + best.right + " of " + best.of + ".")] : []), start);
    }

    /**
     * @param {QuizItem[]} queue
     * @param {boolean} counts whether the result may become the best; a round of wrong ones only is for learning
     */
    function round(queue, counts) {
      /** @type {QuizItem[]} */
      const wrong = [];
      ask(0);

      /** @param {number} at */
      function ask(at) {
        const item = queue[at];
        const variant = item.asked[Math.floor(Math.random() * item.asked.length)];
        const title = heading("Question " + (at + 1) + " of " + queue.length);
        const form = make("form", "quiz-form");
        const set = make("fieldset", "quiz-set");
        const live = make("div", "quiz-feedback");
        live.setAttribute("aria-live", "polite");
        /** @param {string} text */
        const say = (text) => live.replaceChildren(make("p", "", text));
        const asked = variant.kind === "choice" ? askChoice(variant) : variant.kind === "order" ? askOrder(variant, say) : askNumber(variant);
        const check = button("Check answer");
        let answered = false;
        set.append(make("legend", "quiz-question", variant.question), asked.field);
        form.append(set, check, live);
        form.noValidate = true;
        form.addEventListener("submit", (event) => {
          event.preventDefault();
          if (answered) {
            return;
          }
          const read = asked.read();
          if ("problem" in read) {
            say(read.problem);
            return;
          }
          const right = judge.isRight(variant, read.answer);
          if (!right) {
            wrong.push(item);
          }
          record.seen[item.id] = { times: ((record.seen[item.id] || {}).times || 0) + 1, right };
          save();
          asked.close();
          answered = true;
          check.remove();
          const verdict = make("p", right ? "quiz-right" : "quiz-wrong");
          verdict.append(make("strong", "", right ? "\u2713 Right." : "\u2717 Not right."));
          if (!right) {
            verdict.append(" The right answer: " + judge.rightAnswer(variant));
          }
          const link = make("a", "quiz-entry", "Read more: " + item.entry.title);
          link.href = root + item.entry.path;
          const more = make("p");
          more.append(link);
          live.replaceChildren(verdict, make("p", "quiz-why", variant.why), more);
          const last = at + 1 === queue.length;
          const next = button(last ? "See the result" : "Next question", () => (last ? end() : ask(at + 1)));
          form.append(next);
          next.focus();
        });
        stage.replaceChildren(title, form);
        title.focus();
      }

      function end() {
        const right = queue.length - wrong.length;
        const best = counts && judge.keepBest(record, key, right, queue.length);
        save();
        const title = heading("Result: " + right + " of " + queue.length + " right");
        const told = make("p", "", right === queue.length ? "All right." : "Read the entries behind the wrong ones, then try those again.");
        const kept = record.best[key];
        const line = make("p", "", best && right > 0 ? "This is your best so far." : kept ? "Best so far: " + kept.right + " of " + kept.of + "." : "");
        const buttons = make("div", "quiz-buttons");
        if (wrong.length > 0) {
          buttons.append(button("The wrong ones again", () => round(judge.shuffled(wrong, Math.random), false)));
        }
        buttons.append(button("New questions", () => round(judge.drawn(items, count, record, Math.random), true)));
        stage.replaceChildren(title, told, line, buttons);
        title.focus();
      }
    }

    welcome();
  }

  document.querySelectorAll("[data-quiz]").forEach((host) => begin(/** @type {HTMLElement} */ (host)));
})();
