// The measured page in Chromium, driven with its own protocol, and in Firefox, which is only started and reports by itself:
// a driven Firefox would switch off the rule that pages from a folder may read no other file.
import { spawn } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { bare } from '../bare.mjs';
import { serve } from './server.mjs';

/** Milliseconds that a page may take for one task. */
const PATIENCE = 300_000;
const SLOWED = 6;

/** @param {string} variable @param {string[]} names */
export function program(variable, names) {
  if (process.env[variable]) return process.env[variable];
  const places = (process.env.PATH ?? '').split(path.delimiter).flatMap(folder => names.map(name => path.join(folder, name)));
  return places.find(place => fs.existsSync(place)) ?? null;
}

const addressOf = (base, task) => `${base}/page.html#${encodeURIComponent(JSON.stringify(task))}`;
const median = list => [...list].sort((a, b) => a - b)[Math.floor((list.length - 1) / 2)];

/** @param {{ error?: string, shown?: number }} result */
function whole(result) {
  if (result.error) throw new Error(result.error);
  if (result.shown === 0) throw new Error('the query found nothing');
  return result;
}

/**
 * @param {string} executablePath @param {string} folder the engine's
 * @param {{ cold: string[], letters: string[] | null, limit: number, budget: number, pause: number }} plan
 */
export async function inChromium(executablePath, folder, plan) {
  const server = await serve(folder);
  const figures = {};
  try {
    for (const [where, base] of [['disk', pathToFileURL(folder).href], ['loopback', server.address]]) {
      const times = [];
      const moved = [];
      for (const query of plan.cold) {
        // A browser of its own for each: nothing is warm.
        await withChromium(executablePath, async page => {
          server.sent();
          await page.goto(addressOf(base, { mode: 'cold', query, limit: plan.limit }));
          const result = whole(await page.evaluate(() => globalThis.outcome));
          times.push(result.ms);
          const read = await page.evaluate(() => [location.href, ...Array.from(document.scripts, script => script.src)].map(url => url.split('#')[0]));
          moved.push(where === 'loopback' ? server.sent() : [...new Set(read)].reduce((sum, url) => sum + fs.statSync(new URL(url)).size, 0));
        });
      }
      figures[`${where} ms`] = median(times);
      figures[`${where} bytes`] = median(moved);
    }
    if (plan.letters === null) return figures;
    const task = { mode: 'keys', queries: plan.letters, limit: plan.limit, budget: plan.budget, pause: plan.pause };
    /** Types all queries twice, slowed so many times by the browser. */
    const typed = async (page, rate) => {
      await page.goto(addressOf(server.address, task));
      await page.evaluate(() => globalThis.opened);
      await page.send('Emulation.setCPUThrottlingRate', { rate });
      const told = whole(await page.evaluate(() => (globalThis.go?.(), globalThis.outcome)));
      await page.send('Emulation.setCPUThrottlingRate', { rate: 1 });
      return told;
    };
    await withChromium(executablePath, async page => {
      const { first, again } = await typed(page, 1);
      figures.counted = { first: multiplied(first, SLOWED), again: multiplied(again, SLOWED) };
    });
    await withChromium(executablePath, async page => {
      Object.assign(figures, await typed(page, SLOWED));
      await page.send('HeapProfiler.collectGarbage');
      const { usedSize, embedderHeapUsedSize = 0, backingStorageSize = 0 } = await page.send('Runtime.getHeapUsage');
      figures.memory = usedSize + embedderHeapUsedSize + backingStorageSize;
    });
  } finally {
    await server.close();
  }
  return figures;
}

/** A pass of typing with its milliseconds multiplied. */
const multiplied = ({ letters, ...shares }, rate) => ({ letters, ...Object.fromEntries(Object.entries(shares).map(([share, ms]) => [share, ms * rate])) });

/** @param {string} executablePath @param {(page: Awaited<ReturnType<typeof bare>>) => Promise<void>} use */
async function withChromium(executablePath, use) {
  const page = await bare(executablePath, { width: 1280, height: 720 });
  let late;
  const patience = new Promise((_, refuse) => (late = setTimeout(() => refuse(new Error(`not done after ${PATIENCE / 1000} s`)), PATIENCE)));
  try {
    await Promise.race([use(page), patience]);
  } finally {
    clearTimeout(late);
    await page.close();
  }
}

/**
 * @param {string} executable @param {string} folder the engine's
 * @param {{ cold: string[], letters: string[] | null, limit: number, budget: number, pause: number }} plan
 */
export async function inFirefox(executable, folder, plan) {
  const server = await serve(folder);
  const report = `${server.address}/report`;
  const figures = {};
  try {
    for (const [where, base] of [['disk', pathToFileURL(folder).href], ['loopback', server.address]]) {
      const times = [];
      for (const query of plan.cold) {
        const told = await tellingFirefox(executable, addressOf(base, { mode: 'cold', query, limit: plan.limit, report }), server);
        times.push(whole(told).ms);
      }
      figures[`${where} ms`] = median(times);
    }
    if (plan.letters === null) return figures;
    const task = { mode: 'keys', atOnce: true, queries: plan.letters, limit: plan.limit, budget: plan.budget, pause: plan.pause, report };
    Object.assign(figures, whole(await tellingFirefox(executable, addressOf(server.address, task), server)));
  } finally {
    await server.close();
  }
  return figures;
}

const PREFERENCES = {
  'security.fileuri.strict_origin_policy': true,
  'privacy.reduceTimerPrecision': false,
  'browser.shell.checkDefaultBrowser': false,
  'browser.aboutwelcome.enabled': false,
  'datareporting.policy.dataSubmissionEnabled': false,
  'toolkit.telemetry.reportingpolicy.firstRun': false,
  'app.update.disabledForTesting': true,
  'network.captive-portal-service.enabled': false,
  'network.connectivity-service.enabled': false,
};

/** A fresh Firefox that opens one page and is ended when the page has reported. */
async function tellingFirefox(executable, address, server) {
  const profile = fs.mkdtempSync(path.join(os.tmpdir(), 'bluecone-bench-firefox-'));
  const lines = Object.entries(PREFERENCES).map(([name, value]) => `user_pref(${JSON.stringify(name)}, ${JSON.stringify(value)});\n`);
  fs.writeFileSync(path.join(profile, 'user.js'), lines.join(''));
  const told = server.reported(PATIENCE);
  const firefox = spawn(executable, ['--headless', '--no-remote', '--profile', profile, address], { stdio: 'ignore', env: { ...process.env, HOME: profile } });
  const ended = new Promise(done => firefox.once('exit', done));
  const failed = new Promise((_, fail) => firefox.once('error', fail));
  try {
    return await Promise.race([told, failed, ended.then(code => Promise.reject(new Error(`Firefox ended by itself (${code})`)))]);
  } finally {
    firefox.kill();
    await Promise.race([ended, new Promise(done => setTimeout(done, 10_000))]);
    if (firefox.exitCode === null && firefox.signalCode === null) firefox.kill('SIGKILL');
    fs.rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
  }
}
