// @ts-check
// The search form: results while typing, as a list of links that the arrow keys walk.
//
// Expects `<form role="search" data-search>` with an `<input type="search">`, and a `<div data-results>` in the form's parent or anywhere.
// The form may carry `data-az`, the site-relative address of the A–Z, offered when the index cannot be read. A checkbox
// `data-search-slash` anywhere switches the `/` key on and off. The way to the site's top is `<html data-root>`: '' or '../'.
// Data comes in by script elements, because pages opened from a folder may load nothing else.
'use strict';

(() => {
  if (typeof document === 'undefined') return;
  const { plan, needed, rank, nearest, marks, openIndex, rangeOf, fill, summaryOf } = blueconeSearch;

  const ROOT = document.documentElement.dataset.root ?? '';
  /** How many results are shown at first, and more each time. */
  const PAGE = 20;
  const NEAREST = 3;
  /** Screen readers are told the count after this many milliseconds of quiet, not at every letter. */
  const QUIET = 400;
  const SLASH_KEY = 'bluecone-search-slash';

  /** @param {string} path @returns {Promise<boolean>} */
  function load(path) {
    return new Promise((done) => {
      const script = document.createElement('script');
      script.src = ROOT + path;
      /** @param {boolean} came */
      const finish = (came) => {
        script.remove();
        done(came);
      };
      script.onload = () => finish(true);
      script.onerror = () => finish(false);
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

  /** A text with the matched words marked. @param {SearchIndex} index @param {Plan} wanted @param {string} text */
  function marked(index, wanted, text) {
    const pieces = [];
    let at = 0;
    for (const { from, to } of marks(index, wanted, text)) {
      pieces.push(text.slice(at, from), element('mark', '', text.slice(from, to)));
      at = to;
    }
    return [...pieces, text.slice(at)];
  }

  /** @param {HTMLFormElement} form */
  function enhance(form) {
    const field = form.querySelector('input[type="search"]');
    const place = form.parentElement?.querySelector('[data-results]') ?? document.querySelector('[data-results]');
    if (!(field instanceof HTMLInputElement) || !(place instanceof HTMLElement)) return;
    const input = field;
    const status = element('p', 'search-status');
    status.setAttribute('role', 'status');
    const body = element('div', 'search-body');
    place.replaceChildren(status, body);
    input.autocomplete = 'off';
    input.spellcheck = false;
    form.hidden = false;

    let turn = 0;
    let quiet = 0;

    /** @param {string} text */
    function tell(text) {
      window.clearTimeout(quiet);
      quiet = window.setTimeout(() => (status.textContent = text), QUIET);
    }

    const links = () => /** @type {HTMLAnchorElement[]} */ ([...body.querySelectorAll('a.search-link')]);

    /** Shows the answer to what the field holds. True if it was still wanted when it was there. */
    async function answer() {
      const mine = ++turn;
      const query = input.value;
      if (query.trim() === '') {
        body.replaceChildren();
        tell('');
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
      const ranked = rank(index, wanted);
      // Reading a list may have found more damage than loading did.
      const damaged = came.includes(false) || [...needed(index, wanted)].some((range) => range.failed);
      show(index, wanted, query, ranked, damaged);
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

    /** @param {SearchIndex} index @param {Plan} wanted @param {string} query @param {Ranked[]} ranked @param {boolean} damaged */
    function show(index, wanted, query, ranked, damaged) {
      const parts = [];
      if (damaged) {
        parts.push(element('p', 'search-note', 'Part of the search index is missing or damaged; some results may not be shown.'));
      }
      if (ranked.length === 0) {
        parts.push(...nothing(index, wanted, query));
        body.replaceChildren(...parts);
        tell(damaged ? 'Nothing found, but part of the search index is missing or damaged.' : 'Nothing found.');
        return;
      }
      const list = element('ol', 'search-list');
      list.setAttribute('aria-label', 'Search results');
      const more = element('button', 'search-more', 'Show more');
      more.type = 'button';
      let shown = 0;
      const page = () => {
        const next = ranked.slice(shown, shown + PAGE);
        shown += next.length;
        const items = next.map((one) => item(index, wanted, one.document));
        list.append(...items);
        more.hidden = shown >= ranked.length;
        return items;
      };
      more.addEventListener('click', () => page()[0]?.querySelector('a')?.focus());
      page();
      body.replaceChildren(...parts, list, more);
      tell((ranked.length === 1 ? '1 result' : ranked.length + ' results') + (damaged ? '; part of the search index is missing' : ''));
    }

    /** @param {SearchIndex} index @param {Plan} wanted @param {number} document */
    function item(index, wanted, document) {
      const kind = index.kinds[index.kindOf[document]];
      const title = element('span', 'search-title', ...marked(index, wanted, index.titles[document]));
      const link = element('a', 'search-link', title);
      link.href = ROOT + index.addresses[document];
      if (kind !== '') link.prepend(element('span', 'search-kind', kind), ' ');
      const summary = element('p', 'search-summary');
      const listed = element('li', 'search-item', link, summary);
      listed.dataset.kind = kind;
      const write = () => summary.replaceChildren(...marked(index, wanted, summaryOf(index, document) ?? ''));
      const range = rangeOf(index.summaries, document);
      if (range !== undefined && range.data === null) bring(range).then(write);
      else write();
      return listed;
    }

    /** What was tried, and the nearest words. @param {SearchIndex} index @param {Plan} wanted @param {string} query */
    function nothing(index, wanted, query) {
      const tried = wanted.words.map(({ word }) => word);
      if (tried.length === 0) return [element('p', 'search-none', 'Type a word or a figure, such as flame or 24 V.')];
      const said = query.trim().length > 60 ? query.trim().slice(0, 60) + '…' : query.trim();
      const parts = [
        element('p', 'search-none', 'Nothing found for “' + said + '”. Tried the words as typed, their other forms and spellings one or two '
          + 'letters away: ' + tried.join(', ').slice(0, 120) + '.'),
      ];
      const near = element('p', 'search-near');
      nearest(index, wanted, NEAREST).forEach((words, at) => {
        for (const word of words) {
          const button = element('button', 'search-nearest', word);
          button.type = 'button';
          button.addEventListener('click', () => {
            input.value = tried.map((other, place) => (place === at ? word : other)).join(' ');
            input.focus();
            void answer();
          });
          near.append(button, ' ');
        }
      });
      if (near.childElementCount > 0) parts.push(element('p', 'search-near-label', 'Nearest words:'), near);
      return parts;
    }

    /** Arrow keys walk from the field through the links and back. @param {KeyboardEvent} event */
    function walk(event) {
      if (event.altKey || event.ctrlKey || event.metaKey || event.shiftKey || event.isComposing) return;
      const all = links();
      const at = all.findIndex((link) => link === document.activeElement);
      const inField = document.activeElement === input;
      if (event.key === 'Escape') {
        if (input.value === '' && all.length === 0) return;
        input.value = '';
        input.focus();
        void answer();
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
    input.addEventListener('focus', () => void ready());
    input.addEventListener('input', () => void answer());
    form.addEventListener('submit', (event) => {
      event.preventDefault();
      void answer().then((current) => {
        if (current) links()[0]?.click();
      });
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
