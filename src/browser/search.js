// @ts-check
// The search form: results while typing, as a list of links that the arrow keys walk.
//
// Expects `<form role="search" data-search>` with an `<input type="search">`, and a `<div data-results>` in the form's parent or anywhere.
// The form may carry `data-az`, the site-relative address of the A–Z, offered when the index cannot be read. A checkbox
// `data-search-slash` anywhere switches the `/` key on and off. The way to the site's top is `<html data-root>`: '' or '../'; the
// handbook's own id is `<html data-book>`.
// Data comes in by script elements, because pages opened from a folder may load nothing else.
'use strict';

(() => {
  if (typeof document === 'undefined') return;
  const { plan, needed, ahead, prepare, search, nearest, marks, excerpt, openIndex, addressOf, rangeOf, fill, titleOf, othersOf, kindOf, textOf, recentSearches } = blueconeSearch;

  const ROOT = document.documentElement.dataset.root ?? '';
  const BOOK = document.documentElement.dataset.book ?? '';
  /** How many results are shown at first, and more each time. */
  const PAGE = 20;
  const NEAREST = 3;
  /** Screen readers are told the count after this many milliseconds of quiet, not at every letter. */
  const QUIET = 400;
  /** Files that are brought before they are needed, after a letter. */
  const AHEAD = 2;
  const SLASH_KEY = 'bluecone-search-slash';

  /** @param {string} path @returns {Promise<void>} when it has come or failed */
  function load(path) {
    return new Promise((done) => {
      const script = document.createElement('script');
      script.src = ROOT + path;
      script.onload = script.onerror = () => {
        script.remove();
        done();
      };
      document.head.append(script);
    });
  }

  /** @type {Promise<SearchIndex | null> | null} */
  let opening = null;

  /** The index; loaded once, tried again after a failure. */
  function ready() {
    opening ??= load('search/words.js').then(() => {
      const index = openIndex();
      if (index === null) opening = null;
      return index;
    });
    return opening;
  }

  /** @type {Map<string, Promise<boolean>>} */
  const coming = new Map();

  /** Brings a part of the index in. False if it is missing or damaged; not tried again before the page is. @param {Part} range */
  function bring(range) {
    if (range.data !== null) return Promise.resolve(true);
    let wait = coming.get(range.name);
    if (wait === undefined) {
      wait = load('search/' + range.name + '.js').then(() => fill(range));
      coming.set(range.name, wait);
    }
    return wait.then((came) => came && !range.failed);
  }

  /** Does something when the browser has nothing else to do. @param {() => void} work */
  const later = (work) => (window.requestIdleCallback === undefined ? window.setTimeout(work, 100) : window.requestIdleCallback(work));

  /** @type {{ connection?: { saveData?: boolean } }} */
  const device = navigator;

  /** Brings in what the next letters are likely to need, unless the reader saves data. @param {SearchIndex} index @param {Plan} wanted */
  function lookAhead(index, wanted) {
    if (device.connection?.saveData === true) return;
    for (const range of ahead(index, wanted, AHEAD)) void bring(range).then((came) => came && later(() => prepare(index, range)));
  }

  /**
   * @template {keyof HTMLElementTagNameMap} T
   * @param {T} name @param {string} className @param {(Node | string)[]} inside
   * @returns {HTMLElementTagNameMap[T]}
   */
  function element(name, className, ...inside) {
    const made = document.createElement(name);
    if (className !== '') made.className = className;
    made.append(...inside);
    return made;
  }

  /** @param {string} className @param {string} text @param {() => void} pressed */
  function button(className, text, pressed) {
    const made = element('button', className, text);
    made.type = 'button';
    made.addEventListener('click', pressed);
    return made;
  }

  /** A text with stretches of it marked. @param {string} text @param {{ from: number, to: number }[]} stretches */
  function marked(text, stretches) {
    const pieces = [];
    let at = 0;
    for (const { from, to } of stretches) {
      pieces.push(text.slice(at, from), element('mark', '', text.slice(from, to)));
      at = to;
    }
    return [...pieces, text.slice(at)];
  }

  /** @param {string} text @param {number} most */
  const short = (text, most) => (text.length > most ? text.slice(0, most) + '…' : text);

  /** @param {HTMLFormElement} form */
  function enhance(form) {
    const field = form.querySelector('input[type="search"]');
    const place = form.parentElement?.querySelector('[data-results]') ?? document.querySelector('[data-results]');
    if (!(field instanceof HTMLInputElement) || !(place instanceof HTMLElement)) return;
    const input = field;
    const recent = recentSearches(BOOK);
    const status = element('p', 'search-status');
    status.setAttribute('role', 'status');
    const body = element('div', 'search-body');
    place.replaceChildren(status, body);
    input.autocomplete = 'off';
    input.spellcheck = false;
    form.hidden = false;

    let turn = 0;
    let quiet = 0;
    /** The kind whose results alone are shown, by its number, or -1. */
    let kind = -1;

    /** @param {string} text */
    function tell(text) {
      window.clearTimeout(quiet);
      quiet = window.setTimeout(() => (status.textContent = text), QUIET);
    }

    /** What the arrow keys walk: results, or what is offered instead of them. */
    const stops = () => /** @type {HTMLElement[]} */ ([...body.querySelectorAll('a.search-link, button.search-nearest')]);

    /** @param {string} query */
    function ask(query) {
      input.value = query;
      input.focus();
      void answer();
    }

    /** Shows the answer to what the field holds. True if it was still wanted when it was there. */
    async function answer() {
      const mine = ++turn;
      const query = input.value;
      if (query.trim() === '') {
        kind = -1;
        showRecent();
        return true;
      }
      const index = await ready();
      if (mine !== turn) return false;
      if (index === null) {
        showBroken();
        return true;
      }
      const wanted = plan(index, query);
      const came = await Promise.all([...needed(index, wanted)].map(bring));
      if (mine !== turn) return false;
      show(index, wanted, query, came.includes(false));
      later(() => mine === turn && lookAhead(index, wanted));
      return true;
    }

    function showBroken() {
      const sentence = element('p', 'search-note',
        'The search index is missing or damaged, so search does not work here. Everything else does. ');
      if (form.dataset.az !== undefined) {
        const link = element('a', '', 'Use the A–Z instead.');
        link.href = ROOT + form.dataset.az;
        sentence.append(link);
      }
      body.replaceChildren(sentence);
      tell('Search does not work: its index is missing or damaged.');
    }

    /** What was looked for before, while nothing is typed and the field is in use. */
    function showRecent() {
      tell('');
      const searches = document.activeElement === input ? recent.list() : [];
      if (searches.length === 0) {
        body.replaceChildren();
        return;
      }
      const clear = button('search-clear', 'Clear recent searches', () => {
        recent.clear();
        input.focus();
        showRecent();
      });
      body.replaceChildren(element('p', 'search-near-label', 'Recent searches'),
        element('p', 'search-near', ...searches.map((query) => button('search-nearest', query, () => ask(query)))), clear);
    }

    /** @param {SearchIndex} index @param {Plan} wanted @param {string} query @param {boolean} missing */
    function show(index, wanted, query, missing) {
      let found = search(index, wanted, PAGE, kind);
      if (found.total === 0 && kind >= 0) {
        kind = -1;
        found = search(index, wanted, PAGE);
      }
      const damaged = missing || [...needed(index, wanted)].some((range) => range.failed);
      const parts = [];
      if (damaged) {
        parts.push(element('p', 'search-note', 'Part of the search index is missing or damaged; some results may not be shown.'));
      }
      if (found.ranked.length === 0) {
        body.replaceChildren(...parts, ...nothing(index, wanted, query));
        tell(damaged ? 'Nothing found, but part of the search index is missing or damaged.' : 'Nothing found.');
        return;
      }
      const all = wanted.words.length;
      if (found.ranked.every((one) => one.matched < all) && wanted.start === null) parts.push(...some(index, wanted));
      if (found.kinds.filter((count) => count > 0).length > 1) parts.push(chips(index, wanted, query, found));
      const list = element('ol', 'search-list');
      list.setAttribute('aria-label', 'Search results');
      let shown = 0;
      const page = () => {
        const next = (shown === 0 ? found : search(index, wanted, shown + PAGE, kind)).ranked.slice(shown);
        shown += next.length;
        const items = next.map((one) => item(index, wanted, query, one.document));
        list.append(...items);
        more.hidden = wanted.start !== null || shown >= found.total;
        return items;
      };
      const more = button('search-more', 'Show more', () => page()[0]?.querySelector('a')?.focus());
      page();
      const most = wanted.start !== null && shown < found.total ? ['The best ' + shown + ' are shown. Type another letter for the others.'] : [];
      body.replaceChildren(...parts, list, more, ...most.map((text) => element('p', 'search-note', text)));
      tell((found.total === 1 ? '1 result' : found.total + ' results') + (damaged ? '; part of the search index is missing' : ''));
    }

    /** The kinds among the results; pressing one shows it alone. @param {SearchIndex} index @param {Plan} wanted @param {string} query @param {Ranking} found */
    function chips(index, wanted, query, found) {
      const row = element('div', 'search-chips');
      row.setAttribute('role', 'group');
      row.setAttribute('aria-label', 'Show only');
      /** @param {string} text @param {number} count @param {number} only */
      const chip = (text, count, only) => {
        const made = button('search-chip', text + ' ', () => {
          kind = only;
          show(index, wanted, query, false);
          /** @type {HTMLElement | null} */ (body.querySelector('.search-chip[aria-pressed="true"]'))?.focus();
        });
        made.append(element('span', 'search-count', String(count)));
        made.setAttribute('aria-pressed', String(only === kind));
        if (only >= 0) made.dataset.kind = index.kinds[only];
        row.append(made);
      };
      chip('all', found.kinds.reduce((sum, count) => sum + count, 0), -1);
      found.kinds.forEach((count, at) => {
        if (count > 0) chip(index.kinds[at] === '' ? 'other' : index.kinds[at], count, at);
      });
      return row;
    }

    /** @param {SearchIndex} index @param {Plan} wanted @param {string} query @param {number} document */
    function item(index, wanted, query, document) {
      const kindWord = index.kinds[kindOf(index, document)];
      const title = titleOf(index, document);
      const inTitle = marks(index, wanted, title);
      const link = element('a', 'search-link', element('span', 'search-title', ...marked(title, inTitle)));
      link.href = ROOT + addressOf(index, document);
      link.addEventListener('click', () => recent.add(query));
      if (kindWord !== '') link.prepend(element('span', 'search-kind', kindWord), ' ');
      // The other name that has more of what was typed than the title says why this is here.
      let name = '';
      let most = inTitle;
      for (const other of othersOf(index, document)) {
        const inOther = marks(index, wanted, other);
        if (inOther.length > most.length) [name, most] = [other, inOther];
      }
      if (name !== '') link.append(' ', element('span', 'search-also', 'also: ', ...marked(name, most)));
      const summary = element('p', 'search-summary');
      const listed = element('li', 'search-item', link, summary);
      listed.dataset.kind = kindWord;
      const write = () => {
        const { text, marks: stretches } = excerpt(index, wanted, textOf(index, document) ?? ['']);
        summary.replaceChildren(...marked(text, stretches));
      };
      const range = rangeOf(index.texts, document);
      if (range !== undefined && range.data === null) void bring(range).then(write);
      else write();
      return listed;
    }

    /** What each word was looked for as, in words. @param {Plan} wanted */
    function tried(wanted) {
      const typed = wanted.words.map(({ word }) => word);
      return element('p', 'search-tried', 'Tried all of the words and any of them, as typed, with other endings, with one or two letters wrong or '
        + 'swapped, written as one word and as two: ' + short(typed.join(', '), 120) + '.');
    }

    /** No document has all the words. @param {SearchIndex} index @param {Plan} wanted */
    function some(index, wanted) {
      const unknown = wanted.words.filter(({ expansions }, at) => expansions.length === 0
        && wanted.segments.every(({ from, to, alternatives }) => at < from || at >= to || alternatives.length === 0));
      const said = unknown.length > 0 ? 'Nothing is like “' + unknown.map(({ word }) => short(word, 40)).join('”, “') + '”. These have the other words.'
        : 'No entry has all of these words. These have some of them.';
      return [element('p', 'search-some', said), ...(unknown.length > 0 ? near(index, wanted, unknown) : [])];
    }

    /** What was tried, and the nearest words. @param {SearchIndex} index @param {Plan} wanted @param {string} query */
    function nothing(index, wanted, query) {
      if (wanted.words.length === 0) return [element('p', 'search-none', 'Type a word or a figure, such as flame or 24 V.')];
      return [element('p', 'search-none', 'No entry has “' + short(query.trim(), 60) + '”, nor words like it.'), tried(wanted), ...near(index, wanted, wanted.words)];
    }

    /** Known words near unknown ones, as buttons that put them in their place. @param {SearchIndex} index @param {Plan} wanted @param {Word[]} unknown */
    function near(index, wanted, unknown) {
      const row = element('p', 'search-near');
      const words = wanted.words.map(({ word }) => word);
      nearest(index, { ...wanted, words: unknown }, NEAREST).forEach((found, at) => {
        for (const word of found) {
          row.append(button('search-nearest', word, () => ask(words.map((other) => (other === unknown[at].word ? word : other)).join(' '))), ' ');
        }
      });
      return row.childElementCount > 0 ? [element('p', 'search-near-label', 'Nearest words:'), row] : [];
    }

    /** Arrow keys walk from the field through the results and back. @param {KeyboardEvent} event */
    function walk(event) {
      if (event.altKey || event.ctrlKey || event.metaKey || event.shiftKey || event.isComposing) return;
      const all = stops();
      const at = all.findIndex((stop) => stop === document.activeElement);
      const inField = document.activeElement === input;
      if (event.key === 'Escape') {
        if (input.value === '' && body.childElementCount === 0) return;
        if (input.value === '') body.replaceChildren();
        else ask('');
      } else if (event.key === 'ArrowDown' && (inField || at >= 0) && all.length > 0) {
        all[Math.min(at + 1, all.length - 1)].focus();
      } else if (event.key === 'ArrowUp' && at >= 0) {
        (at === 0 ? input : all[at - 1]).focus();
      } else if ((event.key === 'Home' || event.key === 'End') && at >= 0) {
        all[event.key === 'Home' ? 0 : all.length - 1].focus();
      } else {
        return;
      }
      event.preventDefault();
    }

    form.addEventListener('keydown', walk);
    place.addEventListener('keydown', walk);
    input.addEventListener('focus', () => {
      void ready();
      if (input.value.trim() === '') showRecent();
    });
    input.addEventListener('input', () => void answer());
    form.addEventListener('submit', (event) => {
      event.preventDefault();
      void answer().then((current) => {
        if (current) /** @type {HTMLElement | null} */ (body.querySelector('a.search-link'))?.click();
      });
    });
    // Recent searches are in the way once the reader goes on to the page.
    document.addEventListener('focusin', ({ target }) => {
      if (input.value === '' && target instanceof Node && !form.contains(target) && !place.contains(target)) body.replaceChildren();
    });
    document.addEventListener('click', ({ target }) => {
      if (input.value === '' && target instanceof Node && target.isConnected && !form.contains(target) && !place.contains(target)) body.replaceChildren();
    });
    // The browser may have kept what was typed before going back.
    if (input.value !== '') void answer();
  }

  const forms = [...document.querySelectorAll('form[data-search]')].filter((form) => form instanceof HTMLFormElement);
  forms.forEach((form) => enhance(/** @type {HTMLFormElement} */ (form)));

  /** Storage may be refused; the key is then on. */
  let slash = true;
  try {
    slash = localStorage.getItem(SLASH_KEY) !== 'off';
  } catch { /* on */ }
  for (const box of document.querySelectorAll('input[data-search-slash]')) {
    if (!(box instanceof HTMLInputElement)) continue;
    box.checked = slash;
    box.addEventListener('change', () => {
      slash = box.checked;
      try {
        localStorage.setItem(SLASH_KEY, slash ? 'on' : 'off');
      } catch { /* for this page only */ }
    });
  }
  document.addEventListener('keydown', (event) => {
    if (!slash || event.key !== '/' || event.altKey || event.ctrlKey || event.metaKey || event.isComposing) return;
    const target = event.target;
    if (target instanceof HTMLElement && (target.isContentEditable || /^(INPUT|TEXTAREA|SELECT)$/.test(target.tagName))) return;
    const input = forms[0]?.querySelector('input[type="search"]');
    if (!(input instanceof HTMLInputElement)) return;
    event.preventDefault();
    input.focus();
    input.select();
  });
})();
