// Chromium driven over its own pipe, with nothing switched on that a reader's browser has not. A driver that listens to a page's
// scripts has Chromium record the calls below every exception, and one then costs about four times as much; a driver that asks the
// page in every frame whether it is done takes time from what is measured.
import { spawn } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';

const ARGUMENTS = ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'];

/**
 * A browser of its own with one page, drawn as a phone's.
 * @param {string} executablePath @param {{ width: number, height: number }} size of the page, in CSS pixels
 */
export async function bare(executablePath, { width, height }) {
  const profile = fs.mkdtempSync(path.join(os.tmpdir(), 'bluecone-bare-'));
  const program = spawn(executablePath, [...ARGUMENTS, '--remote-debugging-pipe', `--user-data-dir=${profile}`, 'about:blank'], {
    stdio: ['ignore', 'ignore', 'ignore', 'pipe', 'pipe'],
  });
  const waiting = new Map();
  const events = new Map();
  let session;
  let sent = 0;
  let rest = '';
  program.stdio[4].setEncoding('utf8').on('data', text => {
    const messages = (rest + text).split('\0');
    rest = messages.pop();
    for (const { id, method, result, error } of messages.map(message => JSON.parse(message))) {
      if (method) events.get(method)?.();
      else if (error) waiting.get(id).refuse(new Error(error.message));
      else waiting.get(id).take(result);
      waiting.delete(id);
    }
  });
  const send = (method, params = {}) =>
    new Promise((take, refuse) => {
      waiting.set(++sent, { take, refuse });
      program.stdio[3].write(`${JSON.stringify({ id: sent, method, params, sessionId: session })}\0`);
    });
  const { targetInfos } = await send('Target.getTargets');
  const { targetId } = targetInfos.find(({ type }) => type === 'page');
  session = (await send('Target.attachToTarget', { targetId, flatten: true })).sessionId;
  await send('Page.enable');
  await send('Emulation.setDeviceMetricsOverride', { width, height, deviceScaleFactor: 1, mobile: true });
  return {
    send,
    async goto(url) {
      const loaded = new Promise(done => events.set('Page.loadEventFired', done));
      await send('Page.navigate', { url });
      await loaded;
    },
    /** What `work`, which goes to the page as text, gives or promises there. */
    async evaluate(work, given) {
      const expression = `(${work})(${JSON.stringify(given)})`;
      const { result, exceptionDetails } = await send('Runtime.evaluate', { expression, awaitPromise: true, returnByValue: true });
      if (exceptionDetails) throw new Error(exceptionDetails.exception?.description ?? exceptionDetails.text);
      return result.value;
    },
    async close() {
      const ended = new Promise(done => program.once('exit', done));
      await send('Browser.close').catch(() => program.kill());
      await ended;
      fs.rmSync(profile, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
    },
  };
}
