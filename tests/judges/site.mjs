// What all judges and browser tests share: the site's files, the browser, and how a result is told.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';

/** Paths of a folder's files below it, with `/` between folders, in the order of their names. */
export function files(folder, ending = '') {
  const below = fs.readdirSync(folder, { recursive: true, withFileTypes: true });
  return below
    .filter(entry => entry.isFile() && entry.name.endsWith(ending))
    .map(entry => path.relative(folder, path.join(entry.parentPath ?? entry.path, entry.name)).split(path.sep).join('/'))
    .sort();
}

/** All pages by kind: the folder they lie in, or their own name when they lie at the root. */
export function pagesByKind(site) {
  const kinds = new Map();
  for (const page of files(site, '.html')) {
    const kind = page.includes('/') ? page.slice(0, page.lastIndexOf('/')) : page;
    kinds.set(kind, [...(kinds.get(kind) ?? []), page]);
  }
  return kinds;
}

/** One page of every kind, the longest, since it is likely to show most of what the kind can show; and every page of one kind. */
export function samplePages(site, whole = 'calculators') {
  const size = page => fs.statSync(path.join(site, page)).size;
  const chosen = [];
  for (const [kind, pages] of pagesByKind(site)) {
    if (kind === whole) chosen.push(...pages);
    else chosen.push(pages.reduce((longest, page) => (size(page) > size(longest) ? page : longest)));
  }
  return chosen;
}

export const fileUrl = (site, page) => pathToFileURL(path.join(site, page)).href;

/** The checks of one script: told as they come, counted at the end. */
export class Report {
  constructor(name) {
    this.name = name;
    this.passed = 0;
    this.failed = 0;
    this.start = performance.now();
  }

  /** One check. `detail` is shown when it failed. */
  check(what, holds, detail = '') {
    if (holds) {
      this.passed += 1;
      if (process.env.VERBOSE) console.log(`ok    ${what}`);
    } else {
      this.failed += 1;
      console.log(`FAIL  ${what}${detail ? `\n      ${String(detail).split('\n').join('\n      ')}` : ''}`);
    }
    return holds;
  }

  /** A check that may throw. */
  async step(what, run) {
    try {
      await run();
      return this.check(what, true);
    } catch (error) {
      return this.check(what, false, error.stack ?? error);
    }
  }

  /** Prints the count and ends the process: 0 when all passed and there was something to pass. */
  end() {
    const seconds = ((performance.now() - this.start) / 1000).toFixed(1);
    console.log(`${this.name}: ${seconds} s`);
    console.log(`${this.passed} passed, ${this.failed} failed`);
    process.exit(this.failed > 0 || this.passed === 0 ? 1 : 0);
  }
}

/** The arguments of a script, as whole paths. */
export function folders(count, usage) {
  const given = process.argv.slice(2);
  if (given.length < count || given.slice(0, count).some(folder => !fs.existsSync(folder))) {
    console.error(`usage: node ${usage}`);
    process.exit(2);
  }
  return given.slice(0, count).map(folder => path.resolve(folder));
}

const ARGUMENTS = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

export function findChromium() {
  const names = ['chromium', 'chromium-browser', 'google-chrome-stable'];
  const places = (process.env.PATH ?? '').split(path.delimiter).flatMap(folder => names.map(name => path.join(folder, name)));
  const found = process.env.CHROMIUM ?? places.find(place => fs.existsSync(place));
  if (!found) throw new Error('no Chromium found; install the package `chromium` or set CHROMIUM');
  return found;
}

export const PHONE = { viewport: { width: 360, height: 740 }, isMobile: true, hasTouch: true, deviceScaleFactor: 2 };
export const DESK = { viewport: { width: 1280, height: 800 } };

/**
 * The system's Chromium with a fresh profile; `close()` also removes the profile.
 * Whatever the page does wrong is gathered in `wrongs`: errors in the console, uncaught errors, failed requests, requests that leave the site's folder.
 */
export async function browser(site, options = {}) {
  const profile = fs.mkdtempSync(path.join(os.tmpdir(), 'bluecone-browser-'));
  const context = await chromium.launchPersistentContext(profile, {
    executablePath: findChromium(),
    headless: true,
    args: ARGUMENTS,
    reducedMotion: 'reduce',
    ...options,
  });
  context.setDefaultTimeout(10_000);
  const wrongs = [];
  const requested = [];
  const home = `${pathToFileURL(site).href}/`;
  const watch = page => {
    page.on('pageerror', error => wrongs.push(`uncaught: ${error.message} (${page.url()})`));
    page.on('console', message => message.type() === 'error' && wrongs.push(`console: ${message.text()} (${page.url()})`));
    page.on('requestfailed', request => wrongs.push(`failed request: ${request.url()} ${request.failure()?.errorText}`));
    page.on('request', request => {
      requested.push(request.url());
      if (!request.url().startsWith(home) && !/^(data|blob|about):/.test(request.url())) wrongs.push(`left the folder: ${request.url()}`);
    });
  };
  context.pages().forEach(watch);
  context.on('page', watch);
  const page = context.pages()[0] ?? (await context.newPage());
  const close = async () => {
    await context.close();
    fs.rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
  };
  return { context, page, wrongs, requested, close, version: context.browser()?.version() };
}
