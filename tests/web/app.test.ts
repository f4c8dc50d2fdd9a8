import type { Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import express from 'express';
import { afterEach, expect, test } from 'vitest';
import { AlertCodeTaken, CarrierRefused, StaleState, StoreUnavailable } from '../../src/errors.ts';
import { type HealthReport, webApp } from '../../src/web/app.ts';

const servers: Server[] = [];
afterEach(async () => {
  for (const server of servers.splice(0)) {
    server.closeAllConnections();
    await new Promise((resolve) => server.close(resolve));
  }
});

async function listen(health: () => Promise<HealthReport>, practice?: express.Router) {
  const logged: object[] = [];
  const app = webApp({
    carrierWebhooks: express.Router(),
    ...(practice === undefined ? {} : { practice }),
    health,
    log: { error: (fields) => logged.push(fields) },
  });
  const server = await new Promise<Server>((resolve) => {
    const listening = app.listen(0, '127.0.0.1', () => resolve(listening));
  });
  servers.push(server);
  return { base: `http://127.0.0.1:${(server.address() as AddressInfo).port}`, logged };
}
const well = async (): Promise<HealthReport> => ({ ready: true, parts: { store: 'ok' } });

test('it lives, and is ready when its parts are', async () => {
  const { base } = await listen(well);
  const alive = await fetch(`${base}/healthz`);
  expect([alive.status, await alive.text()]).toEqual([200, 'alive']);
  const ready = await fetch(`${base}/readyz`);
  expect([ready.status, await ready.json()]).toEqual([200, { ready: true, parts: { store: 'ok' } }]);
});

test('it still lives but is not ready when a part is not, or cannot tell', async () => {
  const ill = await listen(async () => ({ ready: false, parts: { store: 'away' } }));
  expect((await fetch(`${ill.base}/readyz`)).status).toBe(503);
  expect((await fetch(`${ill.base}/healthz`)).status).toBe(200);
  const mute = await listen(() => Promise.reject(new StoreUnavailable('gone')));
  expect((await fetch(`${mute.base}/readyz`)).status).toBe(503);
  expect(mute.logged).toHaveLength(1);
});

test('a browser is told to be careful, and nothing about the server', async () => {
  const { base } = await listen(well);
  const { headers } = await fetch(`${base}/healthz`);
  const policy = headers.get('content-security-policy') ?? '';
  expect(policy).toContain("default-src 'none'");
  expect(policy).toContain("frame-ancestors 'none'");
  expect(policy).not.toMatch(/unsafe|data:|\*/);
  expect(headers.get('x-content-type-options')).toBe('nosniff');
  expect(headers.get('referrer-policy')).toBe('no-referrer');
  expect(headers.get('cache-control')).toBe('no-store');
  expect(headers.get('x-powered-by')).toBeNull();
  expect(headers.get('etag')).toBeNull();
});

test('without a practice page there is none, and nothing echoes what was asked', async () => {
  const { base } = await listen(well);
  for (const path of ['/', '/practice/text', '/<script>', '/practice/clock']) {
    const answer = await fetch(base + path, { method: path === '/' ? 'GET' : 'POST' });
    expect([answer.status, await answer.text()]).toEqual([404, 'There is nothing here.']);
  }
  expect((await fetch(`${base}/%ff`)).status).toBeLessThan(500);
});

test.each([
  [new StoreUnavailable('secret words'), 503],
  [new StaleState('secret words'), 503],
  [new AlertCodeTaken('secret words'), 503],
  [new CarrierRefused('secret words', 21211, 400), 500],
  [new TypeError('secret words'), 500],
  [Object.assign(new Error('secret words'), { status: 400 }), 400],
  [Object.assign(new Error('secret words'), { status: 700 }), 500],
])('%s is answered with %i, a request id and no word of it', async (error, status) => {
  const router = express.Router();
  router.get('/fails', () => {
    throw error;
  });
  const { base, logged } = await listen(well, router);
  const answer = await fetch(`${base}/fails`);
  expect(answer.status).toBe(status);
  expect(answer.headers.get('content-type')).toContain('text/plain');
  const words = await answer.text();
  expect(words).toMatch(/Request [0-9a-f-]{36}$/);
  expect(words).not.toContain('secret');
  expect(logged).toHaveLength(status >= 500 ? 1 : 0);
  if (error instanceof TypeError) expect(JSON.stringify(logged)).not.toContain('secret');
});

test('a body over 64 KB is refused on every route', async () => {
  const { base } = await listen(well);
  const big = { method: 'POST', body: 'a'.repeat(65_537) };
  expect((await fetch(`${base}/anything`, big)).status).toBe(413);
  expect((await fetch(`${base}/anything`, { ...big, body: 'a'.repeat(65_536) })).status).toBe(404);
});
