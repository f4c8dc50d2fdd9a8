import { createServer, type Server } from 'node:http';
import { type AddressInfo, connect } from 'node:net';
import { once } from 'node:events';
import { setTimeout as wait } from 'node:timers/promises';
import { expect, test } from 'vitest';
import { stoppable } from '../../src/web/stop-server.ts';

async function slowServer(answerMs: number, mostMs: number) {
  const server: Server = createServer((request, response) => {
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
  return { stop, port: (server.address() as AddressInfo).port };
}

test('a stop waits for the answers that are owed, and for no live page', async () => {
  const { stop, port } = await slowServer(600, 5_000);
  const base = `http://127.0.0.1:${port}`;
  const live = await fetch(`${base}/live`);
  const answers = Array.from({ length: 10 }, async () => (await fetch(`${base}/slow`)).text());
  await wait(100);
  const startedAt = performance.now();
  await stop();
  expect(performance.now() - startedAt).toBeLessThan(4_000);
  expect(await Promise.all(answers)).toEqual(answers.map(() => 'whole answer'));
  await expect(live.text()).rejects.toThrow();
  await expect(fetch(base)).rejects.toThrow();
});

test('a request whose connection was open when the stop began is still let in', async () => {
  const { stop, port } = await slowServer(10, 5_000);
  const socket = connect(port, '127.0.0.1');
  await once(socket, 'connect');
  await wait(20);
  const stopping = stop();
  socket.write('GET /late HTTP/1.1\r\nHost: line.example.test\r\nConnection: close\r\n\r\n');
  let heard = '';
  for await (const chunk of socket) heard += String(chunk);
  expect(heard).toContain('whole answer');
  await stopping;
});

test('an answer that never comes does not hold up the stop for longer than is set', async () => {
  const { stop, port } = await slowServer(60_000, 300);
  const answer = fetch(`http://127.0.0.1:${port}/slow`);
  await wait(100);
  await Promise.all([stop(), expect(answer).rejects.toThrow()]);
});
