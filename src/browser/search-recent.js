// @ts-check
// Recent searches, kept on the device for each handbook by itself. Storage may be refused or full; then they last as long as the page.
'use strict';

(() => {
  const MOST = 8;
  const LONGEST = 80;

  /** @param {string} book the handbook's own id */
  function recentSearches(book) {
    const key = 'bluecone-recent:' + book;
    /** @type {string[]} */
    let held = [];

    /** Read anew each time, since another tab may have added some. @returns {string[]} */
    function list() {
      try {
        const kept = JSON.parse(localStorage.getItem(key) ?? '[]');
        if (Array.isArray(kept)) held = kept.filter((one) => typeof one === 'string' && one !== '' && one.length <= LONGEST).slice(0, MOST);
      } catch { /* what this page knows */ }
      return held;
    }

    /** @param {string[]} wanted */
    function keep(wanted) {
      held = wanted;
      try {
        if (wanted.length === 0) localStorage.removeItem(key);
        else localStorage.setItem(key, JSON.stringify(wanted));
      } catch { /* for this page only */ }
    }

    return {
      list,
      /** @param {string} query */
      add(query) {
        const said = query.trim().replace(/\s+/g, ' ');
        if (said === '' || said.length > LONGEST) return;
        keep([said, ...list().filter((one) => one !== said)].slice(0, MOST));
      },
      clear: () => keep([]),
    };
  }

  Object.assign(blueconeSearch, { recentSearches });
})();
