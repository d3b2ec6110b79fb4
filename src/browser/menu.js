'use strict';
// The page's frame: brings the current thumb tab into view where the tabs are a strip that scrolls.
(function () {
  const thumb = document.querySelector('[data-thumb]');
  const list = thumb && thumb.querySelector('ul');
  const current = list && list.querySelector('[aria-current]');
  if (!list || !current) return;

  /** Puts the current tab in the middle of the strip; does nothing where all tabs fit. */
  function centre() {
    const tab = current.getBoundingClientRect();
    const strip = list.getBoundingClientRect();
    list.scrollLeft += tab.left + tab.width / 2 - (strip.left + strip.width / 2);
    list.scrollTop += tab.top + tab.height / 2 - (strip.top + strip.height / 2);
  }
  centre();
  window.addEventListener('resize', centre);
})();
