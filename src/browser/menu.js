'use strict';
// The page's frame: brings the current thumb tab into view where the tabs are a strip that scrolls, and opens everything
// that is folded before the page goes on paper.
(function () {
  const list = document.querySelector('[data-thumb] ul');
  const current = list && list.querySelector('[aria-current]');
  if (list && current) {
    centre(list, current);
    window.addEventListener('resize', () => centre(list, current));
  }

  /** @type {HTMLDetailsElement[]} */
  let opened = [];
  window.addEventListener('beforeprint', () => {
    opened = [...document.querySelectorAll('details')].filter((fold) => !fold.open);
    for (const fold of opened) fold.open = true;
  });
  window.addEventListener('afterprint', () => {
    for (const fold of opened) fold.open = false;
    opened = [];
  });

  /**
   * Puts the current tab in the middle of the strip; does nothing where all tabs fit.
   * @param {Element} list @param {Element} current
   */
  function centre(list, current) {
    const tab = current.getBoundingClientRect();
    const strip = list.getBoundingClientRect();
    list.scrollLeft += tab.left + tab.width / 2 - (strip.left + strip.width / 2);
    list.scrollTop += tab.top + tab.height / 2 - (strip.top + strip.height / 2);
  }
})();
