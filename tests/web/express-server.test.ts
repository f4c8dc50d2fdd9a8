import type { AddressInfo } from 'node:net';
import express from 'express';
import { afterEach, expect, test } from 'vitest';
import { expressServer } from '../../src/web/express-server.ts';

const made = expressServer({ requestTimeout: 5_000 });
const { server } = made;
afterEach(() => new Promise<void>((resolve) => void server.close(() => resolve())));

test('answers 503 before it has its app, then as the app does, without giving any request another prototype', async () => {
  await new Promise<void>((resolve) => void server.listen(0, '127.0.0.1', resolve));
  const url = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  expect((await fetch(url)).status).toBe(503);

  const born: unknown[] = [];
  server.prependListener('request', (request, response) => {
    born.push(Object.getPrototypeOf(request), Object.getPrototypeOf(response));
  });
  const app = express();
  app.use(express.urlencoded({ extended: false }));
  app.post('/echo/:name', (request, response) => {
    expect(Object.getPrototypeOf(request)).toBe(born[0]);
    expect(Object.getPrototypeOf(response)).toBe(born[1]);
    const { params, query, ip, path } = request;
    response
      .status(201)
      .json({ params, query, ip, path, form: request.body as unknown, of: request.app === app });
  });
  made.serve(app);

  // What Express adds to a request and a response works as ever.
  const answer = await fetch(`${url}/echo/Asha?n=1`, {
    method: 'POST',
    body: new URLSearchParams({ a: 'b' }),
  });
  expect(answer.status).toBe(201);
  expect(await answer.json()).toEqual({
    params: { name: 'Asha' },
    query: { n: '1' },
    ip: '127.0.0.1',
    path: '/echo/Asha',
    form: { a: 'b' },
    of: true,
  });
});
