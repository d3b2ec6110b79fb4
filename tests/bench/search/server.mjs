// A web server on loopback, as plain as they come: files, compressed where the browser takes it, never from a cache.
import fs from 'node:fs';
import http from 'node:http';
import path from 'node:path';
import zlib from 'node:zlib';

const TYPES = { '.html': 'text/html; charset=utf-8', '.js': 'text/javascript; charset=utf-8' };

/**
 * Serves a folder. `sent()` gives the bytes of the bodies sent since it was last asked; `reported()` waits for a page's next report.
 * @param {string} folder
 */
export async function serve(folder) {
  let bytes = 0;
  /** @type {Map<string, Buffer>} compressed beforehand, as a server that ships files would have them */
  const compressed = new Map();
  /** @type {((report: unknown) => void) | null} */
  let waiting = null;
  const server = http.createServer((request, response) => {
    const url = new URL(request.url, 'http://localhost');
    // With these two headers the clock of the page is not blunted.
    const headers = { 'Cross-Origin-Opener-Policy': 'same-origin', 'Cross-Origin-Embedder-Policy': 'require-corp', 'Cache-Control': 'no-store' };
    if (url.pathname === '/report') {
      response.writeHead(204, headers).end();
      waiting?.(JSON.parse(decodeURIComponent(url.search.slice(1))));
      return;
    }
    const file = path.join(folder, path.normalize(url.pathname));
    if (!file.startsWith(folder) || !fs.existsSync(file) || !fs.statSync(file).isFile()) {
      response.writeHead(404, headers).end();
      return;
    }
    if (!compressed.has(file)) compressed.set(file, zlib.gzipSync(fs.readFileSync(file), { level: 9 }));
    const body = compressed.get(file);
    bytes += body.length;
    const type = TYPES[path.extname(file)] ?? 'application/octet-stream';
    response.writeHead(200, { ...headers, 'Content-Type': type, 'Content-Encoding': 'gzip', 'Content-Length': body.length });
    response.end(body);
  });
  await new Promise(listening => server.listen(0, '127.0.0.1', listening));
  return {
    address: `http://127.0.0.1:${server.address().port}`,
    sent() {
      const sum = bytes;
      bytes = 0;
      return sum;
    },
    reported: (patience) =>
      new Promise((done, failed) => {
        const timer = setTimeout(() => failed(new Error(`no report within ${patience / 1000} s`)), patience);
        waiting = report => {
          clearTimeout(timer);
          waiting = null;
          done(report);
        };
      }),
    close: () => new Promise(closed => {
      server.closeAllConnections();
      server.close(closed);
    }),
  };
}
