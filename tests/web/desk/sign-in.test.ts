import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { anita, type DeskAtWork, deskAtWork, mary } from './desk-at-work.ts';

const minuteMs = 60_000;
let desk: DeskAtWork;
beforeEach(async () => {
  desk = await deskAtWork();
});
afterEach(() => desk.close());

/** A visitor who asked for a code and looks at the form for it. */
const askedFor = async (number: string) => {
  const who = desk.visitor();
  await who.get('/desk/sign-in');
  return who.send('/desk/sign-in', { number });
};
const codesSent = () => desk.sent.filter((message) => /desk|डेस्क/.test(message.body)).length;

// ASVS 5.0, V6 and V7 as distilled for this line: short-lived, single use, same answer, slowed down, renewed session.
describe('the code', () => {
  test('goes to her own phone only, has six digits, and opens the desk once', async () => {
    const who = await askedFor(anita);
    const code = await desk.codeFor(anita);
    expect(code).toMatch(/^\d{6}$/);
    expect(codesSent()).toBe(1);
    const twin = desk.visitor();
    for (const [name, value] of who.cookies) twin.cookies.set(name, value);
    const form = who.hidden('/desk/sign-in/code');
    await who.send('/desk/sign-in/code', { code });
    expect(who.path).toBe('/desk');
    // The same browser's cookies and form again: nothing but its having been used refuses it.
    await twin.post('/desk/sign-in/code', { ...form, code });
    expect(twin.status).toBe(403);
    const thief = await askedFor(mary);
    await thief.post('/desk/sign-in/code', { ...thief.hidden('/desk/sign-in/code'), number: anita, code });
    expect([thief.status, thief.path]).toEqual([403, '/desk/sign-in/code']);
  });

  test('is refused after ten minutes', async () => {
    const who = await askedFor(anita);
    const code = await desk.codeFor(anita);
    await desk.forward(10 * minuteMs);
    await who.send('/desk/sign-in/code', { code });
    expect(who.status).toBe(403);
    expect((await who.get('/desk')).path).toBe('/desk/sign-in');
  });

  test('is of no use in another browser, whoever reads it', async () => {
    await askedFor(anita);
    const code = await desk.codeFor(anita);
    const other = desk.visitor();
    await other.get('/desk/sign-in');
    await other.post('/desk/sign-in/code', { ...other.hidden('/desk/sign-in'), number: anita, code });
    expect(other.status).toBe(403);
  });

  test('is void after five wrong tries, each slower; a new one works', async () => {
    const who = await askedFor(anita);
    const code = await desk.codeFor(anita);
    const wrong = code === '000000' ? '000001' : '000000';
    for (let tries = 0; tries < 5; tries += 1) await who.send('/desk/sign-in/code', { code: wrong });
    await who.send('/desk/sign-in/code', { code });
    expect(who.status).toBe(403);
    expect(desk.waits).toEqual([250, 500, 1000, 2000, 4000, 4000]);
    await who.send('/desk/sign-in', {});
    await who.send('/desk/sign-in/code', { code: await desk.codeFor(anita) });
    expect(who.path).toBe('/desk');
  });

  test('may be typed with spaces or in Devanagari digits', async () => {
    const who = await askedFor(anita);
    const code = await desk.codeFor(anita);
    const typed = [...code].map((d) => String.fromCharCode(0x0966 + Number(d))).join('');
    await who.send('/desk/sign-in/code', { code: `${typed.slice(0, 3)} ${typed.slice(3)}` });
    expect(who.path).toBe('/desk');
  });

  test('is sent five times an hour at most; after the hour it is sent again', async () => {
    for (let asked = 0; asked < 8; asked += 1) {
      const who = await askedFor(anita);
      expect(who.status).toBe(200);
    }
    await desk.line.catchUp();
    expect(codesSent()).toBe(5);
    await desk.forward(61 * minuteMs);
    await askedFor(anita);
    await desk.line.catchUp();
    expect(codesSent()).toBe(6);
  });

  test('is not sent late: after ten minutes without a carrier it is given up', async () => {
    await askedFor(anita);
    const waiting = await desk.store.backlog(Number.MAX_SAFE_INTEGER);
    expect(waiting.waitingMessages).toBe(1);
    await desk.forward(11 * minuteMs);
    expect(codesSent()).toBe(0);
  });
});

test('a number that is nobody’s gets the same answer, and nothing is sent', async () => {
  const known = await askedFor(anita);
  const unknown = await askedFor('+447700900999');
  const plain = (page: string, number: string) =>
    page.replaceAll(number.replace('+', '+'), 'N').replace(/name="proof" value="[^"]*"/g, '');
  expect(unknown.status).toBe(known.status);
  expect(plain(unknown.page, '+447700900999')).toBe(plain(known.page, anita));
  await desk.line.catchUp();
  expect(desk.sent.map((message) => message.to)).toEqual([anita]);
  for (const who of [known, unknown]) await who.send('/desk/sign-in/code', { code: 'not a code' });
  expect(unknown.status).toBe(known.status);
  expect(plain(unknown.page, '+447700900999')).toBe(plain(known.page, anita));
});

test('too many codes from one address are refused for a quarter of an hour, and no longer', async () => {
  const who = desk.visitor();
  await who.get('/desk/sign-in');
  const form = who.hidden('/desk/sign-in');
  for (let asked = 0; asked < 30; asked += 1)
    await who.post('/desk/sign-in', { ...form, number: '+447700900999' });
  expect(who.status).toBe(200);
  // A forged header of a proxy changes nothing: the address is that of the connection.
  await who.post('/desk/sign-in', { ...form, number: anita }, { 'x-forwarded-for': '203.0.113.9' });
  expect(who.status).toBe(429);
  await desk.forward(16 * minuteMs);
  await who.post('/desk/sign-in', { ...form, number: anita });
  expect(who.status).toBe(200);
});

describe('the session', () => {
  const session = (who: { readonly cookies: ReadonlyMap<string, string> }) =>
    who.cookies.get('eightfeeds-session');

  test('is renewed at each sign-in, and the one before it in that browser ends', async () => {
    const who = await desk.signedIn(anita);
    const first = session(who);
    await who.get('/desk/sign-in');
    await who.send('/desk/sign-in', { number: anita });
    await who.send('/desk/sign-in/code', { code: await desk.codeFor(anita) });
    expect(session(who)).not.toBe(first);
    const old = desk.visitor();
    old.cookies.set('eightfeeds-session', first ?? '');
    expect((await old.get('/desk')).path).toBe('/desk/sign-in');
    expect((await who.get('/desk')).path).toBe('/desk');
  });

  test('one that was planted before signing in is worth nothing afterwards', async () => {
    const who = desk.visitor();
    who.cookies.set('eightfeeds-session', 'anita.planted-by-somebody');
    await who.get('/desk/sign-in');
    await who.send('/desk/sign-in', { number: anita });
    await who.send('/desk/sign-in/code', { code: await desk.codeFor(anita) });
    expect(session(who)).not.toBe('anita.planted-by-somebody');
  });

  test('ends after half an hour without a page, and after twelve hours in any case', async () => {
    const idle = await desk.signedIn(anita);
    await desk.forward(29 * minuteMs);
    expect((await idle.get('/desk')).path).toBe('/desk');
    await desk.forward(30 * minuteMs);
    expect((await idle.get('/desk')).path).toBe('/desk/sign-in');
    const busy = await desk.signedIn(anita);
    for (let times = 0; times < 28; times += 1) {
      await desk.forward(25 * minuteMs);
      await busy.get('/desk');
    }
    expect(busy.path).toBe('/desk');
    await desk.forward(21 * minuteMs);
    expect((await busy.get('/desk')).path).toBe('/desk/sign-in');
  });

  test('is ended on the server when she signs out, also for who copied the cookie', async () => {
    const who = await desk.signedIn(anita);
    const copy = desk.visitor();
    copy.cookies.set('eightfeeds-session', session(who) ?? '');
    expect((await copy.get('/desk')).path).toBe('/desk');
    await who.send('/desk/sign-out', {});
    expect(who.words).toContain('You are signed out.');
    expect((await copy.get('/desk')).path).toBe('/desk/sign-in');
  });

  test('of somebody else cannot be made from one’s own', async () => {
    const who = await desk.signedIn(anita);
    const token = session(who)?.split('.')[1] ?? '';
    const thief = desk.visitor();
    thief.cookies.set('eightfeeds-session', `mary.${token}`);
    expect((await thief.get('/desk')).path).toBe('/desk/sign-in');
  });

  test('is kept as a hash: what lies in the store opens nothing', async () => {
    const who = await desk.signedIn(anita);
    const kept = await desk.store.load(desk.lineOf('counsellor anita'));
    const token = session(who)?.split('.')[1] ?? '';
    expect(token).toMatch(/^[\w-]{43}$/);
    expect(kept?.state).toContain('"kind":"counsellor"');
    expect(kept?.state).not.toContain(token);
  });
});

test('cookies are out of reach of scripts and other sites; over https they are bound to this host', async () => {
  const who = await desk.signedIn(anita);
  for (const set of who.setCookies)
    expect(set).toMatch(/HttpOnly.*SameSite=Strict|SameSite=Strict.*HttpOnly/);
  const secure = await deskAtWork({ publicUrl: 'https://line.example.test' });
  const other = secure.visitor();
  await other.get('/desk/sign-in');
  await secure.close();
  expect(other.setCookies.join()).toMatch(
    /^__Host-eightfeeds-asking=.*Path=\/; HttpOnly; Secure; SameSite=Strict$/,
  );
});

test('a receipt for a sign-in code is no event of a mother’s line', async () => {
  await askedFor(anita);
  await desk.line.catchUp();
  const [message] = desk.sent;
  const before = await desk.store.load(desk.lineOf('counsellor anita'));
  await desk.line.service.receive({
    kind: 'receipt',
    id: 'receipt-1',
    outboxId: message?.id ?? '',
    carrierId: 'SM1',
    status: 'delivered',
    errorCode: undefined,
  });
  expect(await desk.store.load(desk.lineOf('counsellor anita'))).toEqual(before);
});
