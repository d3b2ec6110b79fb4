// The figures as a table: a row for each measure, a column for each engine, and ours as a part of the best library's.
import { NOTHING, OURS } from './engines/list.mjs';
import { KINDS } from './queries.mjs';

const LESS = (ours, others) => ours / Math.min(...others);
const MORE = (ours, others) => ours / Math.max(...others);

const megabytes = bytes => (bytes / 1e6).toFixed(2);
const milliseconds = ms => ms.toFixed(ms < 10 ? 2 : ms < 100 ? 1 : 0);
const plain = number => number.toFixed(3);

/** What an engine's page takes longer than the page alone. @param {string} browser @param {string} where @param {number} page */
const beyond = (browser, where, page) => engine => {
  const all = engine[browser][`${where} ms`];
  return all === undefined || engine.engine === NOTHING ? undefined : all - page;
};

/** `pick` gives the figure of one engine; `ratio` is null where there is nothing to win. */
function* rows(firefox, empty) {
  yield ["machine's load before", ({ load }) => load, load => load.toFixed(1), null];
  for (const how of ['raw', 'gzip', 'brotli']) yield [`index, ${how}, MB`, ({ sizes }) => sizes[`index ${how}`], megabytes, LESS];
  yield ['texts to show, gzip, MB', ({ sizes }) => sizes['texts gzip'], megabytes, null];
  yield ['scripts, gzip, kB', ({ sizes }) => sizes['code gzip'], bytes => (bytes / 1e3).toFixed(1), LESS];
  for (const [browser, title] of [['chromium', 'Chromium'], ...(firefox ? [['firefox', 'Firefox']] : [])]) {
    for (const where of ['disk', 'loopback']) {
      yield [`${title}, cold, ${where}, first result, ms`, engine => engine[browser][`${where} ms`], milliseconds, LESS];
      const page = empty?.[browser][`${where} ms`];
      if (page !== undefined) yield [`${title}, cold, ${where}, beyond the empty page, ms`, beyond(browser, where, page), milliseconds, LESS];
      if (browser === 'chromium') yield [`${title}, cold, ${where}, moved, MB`, engine => engine[browser][`${where} bytes`], megabytes, LESS];
    }
  }
  const runners = [
    ['Node', ({ node }) => node],
    ['Chromium, 6 x counted', ({ chromium }) => chromium.counted ?? {}],
    ['Chromium, 6 x slowed', ({ chromium }) => chromium],
    ...(firefox ? [['Firefox', ({ firefox }) => firefox]] : []),
  ];
  for (const [title, runner] of runners) {
    for (const [pass, said] of [['first', 'a letter'], ['again', 'a letter, again']]) {
      for (const share of ['p50', 'p95', 'p99']) yield [`${title}, ${said}, ${share}, ms`, engine => runner(engine)[pass]?.[share], milliseconds, LESS];
    }
    yield [`${title}, letters typed`, engine => runner(engine).first?.letters, String, null];
  }
  yield ['Node, memory when open, MB', ({ node }) => node.loaded, megabytes, LESS];
  yield ['Node, memory after typing, MB', ({ node }) => node.used, megabytes, LESS];
  yield ['Chromium, memory after typing, MB', ({ chromium }) => chromium.memory, megabytes, LESS];
  for (const draw of ['open', 'held']) {
    for (const kind of KINDS) yield [`MRR, ${draw} draw, ${kind}`, ({ node }) => node.relevance?.[draw]?.[kind], plain, MORE];
  }
}

/** @param {{ name: string, articles: number, characters: number, engines: any[], left: string[] }} measured */
export function table({ name, articles, characters, engines, left }) {
  const lines = [[`${name}: ${articles} articles, ${(characters / articles / 1e3).toFixed(2)} kB each`, ...engines.map(({ engine }) => engine), 'ours / best']];
  for (const [title, pick, show, ratio] of rows(engines.some(({ firefox }) => firefox['disk ms'] !== undefined), engines.find(({ engine }) => engine === NOTHING))) {
    const figures = engines.map(pick);
    if (figures.every(figure => figure === undefined)) continue;
    const ours = figures[engines.findIndex(({ engine }) => engine === OURS)];
    const others = figures.filter((figure, at) => ![OURS, NOTHING].includes(engines[at].engine) && figure !== undefined);
    const against = ratio !== null && ours !== undefined && others.length > 0 ? ratio(ours, others).toFixed(3) : '';
    lines.push([title, ...figures.map(figure => (figure === undefined ? '–' : show(figure))), against]);
  }
  const widths = lines[0].map((_, column) => Math.max(...lines.map(line => line[column].length)));
  const text = lines.map(line => line.map((cell, column) => (column === 0 ? cell.padEnd(widths[0]) : cell.padStart(widths[column]))).join('  ')).join('\n');
  return left.length > 0 ? `${text}\n${left.join('\n')}` : text;
}
