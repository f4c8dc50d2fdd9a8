import express from 'express';
import { z } from 'zod';
import { eventStream } from './event-stream.ts';
import type { PracticeNetwork } from './network.ts';
import { msToNextMorning } from './next-morning.ts';
import { icon, practicePage } from './page/html.ts';
import { script } from './page/script.ts';
import { style } from './page/style.ts';
import { newPhoneNumber, type PracticeCounsellor, practiceMothers } from './people.ts';

/** A clock that can be moved forward, never back. */
export interface PracticeClock {
  /** Epoch milliseconds. */
  now(): number;
  /** Settles when what fell due on the way was done. */
  forward(ms: number): Promise<void>;
}

/** What the practice page is made from. */
export interface PracticeRouterOptions {
  readonly network: PracticeNetwork;
  readonly clock: PracticeClock;
  /** IANA name of the programme's time zone. */
  readonly timeZone: string;
  /** At least one. */
  readonly counsellors: readonly PracticeCounsellor[];
}

/** Longest step of the clock: a year. */
const maxForwardMinutes = 366 * 24 * 60;

const number = z.string().regex(/^\+[1-9]\d{6,14}$/);
const onPhone = z.strictObject({ number });
const text = z.strictObject({ number, body: z.string().min(1).max(1600) });
const key = z.strictObject({ number, key: z.string().regex(/^[0-9*#]$/) });
const clockMove = z.union([
  z.strictObject({ forwardMinutes: z.int().min(1).max(maxForwardMinutes) }),
  z.strictObject({ to: z.literal('morning') }),
]);

/**
 * The practice page at `/` and what it calls under `/practice/`. For one newcomer at one machine: it has no login, so it
 * must never be mounted when a carrier account is configured.
 */
export function practiceRouter(options: PracticeRouterOptions): express.Router {
  const { network, clock, timeZone } = options;
  const bornOn = (daysAgo: number) =>
    new Intl.DateTimeFormat('en-CA', { timeZone }).format(clock.now() - daysAgo * 86_400_000);
  const page = practicePage({
    lineNumber: network.lineNumber,
    timeZone,
    counsellors: options.counsellors,
    mothers: practiceMothers.map(({ babyAgeDays, ...mother }) => ({
      ...mother,
      bornOn: bornOn(babyAgeDays),
    })),
  });
  const stream = eventStream(network.phones, () => clock.now());

  const router = express.Router();
  const file = (path: string, type: string, content: string) =>
    router.get(path, (_request, response) => {
      response.type(type).end(content);
    });
  file('/', 'html', page);
  file('/practice/page.js', 'text/javascript', script);
  file('/practice/page.css', 'css', style);
  file('/practice/icon.svg', 'image/svg+xml', icon);
  router.get('/practice/events', stream.connect);

  const action = <Body>(path: string, schema: z.ZodType<Body>, act: (body: Body) => Promise<unknown>) =>
    router.post(path, onlyFromThePage, express.json({ limit: '16kb' }), async (request, response) => {
      const body = schema.safeParse(request.body);
      if (!body.success) {
        response.status(400).type('text/plain').end('The practice page did not send what was expected.');
        return;
      }
      const answer = await act(body.data);
      if (answer === undefined) response.status(204).end();
      else response.json(answer);
    });
  action('/practice/text', text, (sent) => network.textLine(sent.number, sent.body));
  action('/practice/call', onPhone, (phone) => network.calls.dial(phone.number));
  action('/practice/answer', onPhone, (phone) => network.calls.answer(phone.number));
  action('/practice/hang-up', onPhone, (phone) => network.calls.hangUp(phone.number));
  action('/practice/key', key, (press) => network.calls.press(press.number, press.key));
  action('/practice/new-phone', z.strictObject({}), async () => {
    const used = new Set(network.phones.all().map((phone) => phone.number));
    return { number: newPhoneNumber((each) => used.has(each), Math.random) ?? '+447700900200' };
  });
  action('/practice/clock', clockMove, async (move) => {
    const ms = 'to' in move ? msToNextMorning(clock.now(), timeZone) : move.forwardMinutes * 60_000;
    await clock.forward(ms);
    stream.clockMoved();
    return { now: clock.now() };
  });
  return router;
}

/** Another site that is open in the same browser must not press buttons here. */
const onlyFromThePage: express.RequestHandler = (request, response, next) => {
  const site = request.get('sec-fetch-site');
  if (site !== undefined && site !== 'same-origin' && site !== 'none') {
    request.resume();
    response.status(403).type('text/plain').end('Only the practice page may do this.');
  } else if (request.is('application/json') !== 'application/json') {
    request.resume();
    response.status(415).type('text/plain').end('Only JSON is read here.');
  } else next();
};
