import { createServer, type Server } from 'node:http';
import { type AddressInfo, connect } from 'node:net';
import { once } from 'node:events';
import { setTimeout as wait } from 'node:timers/promises';
import { expect, test, vi } from 'vitest';
import { stoppable } from '../../src/web/stop-server.ts';

async function slowServer(answerMs: number, mostMs: number) {
  let begun = 0;
  const server: Server = createServer((request, response) => {
    begun++;
    if (request.url === '/live') {
      response.setHeader('content-type', 'text/event-stream; charset=utf-8');
      response.write(': alive\n\n');
      return;
    }
    void wait(answerMs).then(() => response.end('whole answer'));
  });
  const stop = stoppable(server, mostMs);
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as AddressInfo;
  /** Resolves when so many requests have come in. */
  const hasBegun = (count: number) =>
    vi.waitFor(() => expect(begun).toBe(count), { timeout: 10_000, interval: 5 });
  return { server, stop, port, hasBegun };
}

test('a stop waits for the answers that are owed, and for no live page', async () => {
  const { stop, port, hasBegun } = await slowServer(600, 60_000);
  const base = `http://127.0.0.1:${port}`;
  const live = await fetch(`${base}/live`);
  const answers = Array.from({ length: 10 }, async () => (await fetch(`${base}/slow`)).text());
  await hasBegun(11);
  const startedAt = performance.now();
  await stop();
  expect(performance.now() - startedAt).toBeLessThan(30_000);
  expect(await Promise.all(answers)).toEqual(answers.map(() => 'whole answer'));
  await expect(live.text()).rejects.toThrow();
  await expect(fetch(base)).rejects.toThrow();
});

test('a request whose connection was open when the stop began is still let in', async () => {
  const { server, stop, port } = await slowServer(10, 5_000);
  const socket = connect(port, '127.0.0.1');
  await Promise.all([once(socket, 'connect'), once(server, 'connection')]);
  const stopping = stop();
  socket.write('GET /late HTTP/1.1\r\nHost: line.example.test\r\nConnection: close\r\n\r\n');
  let heard = '';
  for await (const chunk of socket) heard += String(chunk);
  expect(heard).toContain('whole answer');
  await stopping;
});

test('an answer that never comes does not hold up the stop for longer than is set', async () => {
  const { stop, port, hasBegun } = await slowServer(60_000, 300);
  const answer = fetch(`http://127.0.0.1:${port}/slow`);
  await hasBegun(1);
  await Promise.all([stop(), expect(answer).rejects.toThrow()]);
});
