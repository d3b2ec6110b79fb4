// What is measured in a browser; the same page for every engine. Told what to do by the address: `#` and JSON with
//   mode    'cold': open the index, answer one query, show the results, and say how long that took since the page was asked for
//           'keys': open the index, wait for go() unless `at once`, then type the queries letter by letter, twice
//   query / queries, limit, budget (ms of searching for each pass), pause (ms before each letter), report (where to send the result too)
// The result, or `{ error }`, is what `outcome` promises; `opened` is kept when the index is open and go() is there.
'use strict';

(() => {
  const asked = JSON.parse(decodeURIComponent(location.hash.slice(1)));
  const load = path =>
    new Promise((done, failed) => {
      const script = document.createElement('script');
      script.src = path;
      script.onload = done;
      script.onerror = () => failed(new Error(`${path} did not load`));
      document.head.append(script);
    });

  async function openLibrary() {
    await load('index.js');
    const cards = JSON.parse(globalThis.cardsJSON);
    const index = engine.open(globalThis.indexJSON);
    globalThis.cardsJSON = globalThis.indexJSON = undefined;
    const search = (query, limit) => engine.search(index, query, limit);
    return { search, title: article => cards[article][1], link: article => `words/${cards[article][0]}.html` };
  }

  const openNothing = async () => ({ search: async (query, limit) => [...Array(limit).keys()], title: String, link: String });

  const { engine: name } = document.documentElement.dataset;
  const open = () => (name === 'ours' ? openOurs(load) : name === 'empty-page' ? openNothing() : openLibrary());

  async function cold() {
    const found = await open();
    const hits = await found.search(asked.query, asked.limit);
    document.querySelector('ol').replaceChildren(
      ...hits.map(article => {
        const item = document.createElement('li');
        const link = document.createElement('a');
        link.href = found.link(article);
        link.textContent = found.title(article);
        item.append(link);
        return item;
      }),
    );
    return { ms: performance.now(), shown: document.querySelectorAll('li a').length };
  }

  async function keys() {
    const found = await open();
    // Kept, so that the heap that is measured afterwards still has it.
    globalThis.kept = found;
    if (!asked.atOnce) await new Promise(go => ((globalThis.go = go), opened()));
    const type = () => typeLetters(found, asked.queries, asked.limit, asked.budget, asked.pause);
    return { first: await type(), again: await type() };
  }

  let opened = () => {};
  globalThis.opened = new Promise(done => (opened = done));
  const tell = result => {
    opened();
    if (asked.report) new Image().src = `${asked.report}?${encodeURIComponent(JSON.stringify(result))}`;
    return result;
  };
  globalThis.outcome = (asked.mode === 'cold' ? cold() : keys()).then(tell, error => tell({ error: String(error) }));
})();
