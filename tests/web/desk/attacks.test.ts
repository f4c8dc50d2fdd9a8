import { afterEach, beforeEach, expect, test } from 'vitest';
import { anita, asha, ashaInDanger, type DeskAtWork, deskAtWork, enrol, mary } from './desk-at-work.ts';

let desk: DeskAtWork;
beforeEach(async () => {
  desk = await deskAtWork();
  await ashaInDanger(desk);
});
afterEach(() => desk.close());

const ashas = () => `/desk/mother/${desk.lineOf(asha)}/0`;
const pages = () => [
  ...['/desk', '/desk/alerts', '/desk/coming', '/desk/rota', '/desk/audit'],
  ...[ashas(), '/desk/no-such-page'],
];
const forms = () => [
  ...['take', 'note', 'close', 'open', 'write', 'hand-over', 'rhythm', 'place'].map(
    (name) => `${ashas()}/${name}`,
  ),
  '/desk/find',
];

test('without a session every page and form leads to the sign-in, and tells nothing', async () => {
  const who = desk.visitor();
  for (const path of pages()) {
    await who.get(path);
    expect([path, who.path]).toEqual([path, '/desk/sign-in']);
    expect(who.page).not.toMatch(/Asha|7700900101/);
  }
  for (const path of forms()) {
    await who.post(path, { code: '1234' });
    expect([path, who.path]).toEqual([path, '/desk/sign-in']);
  }
  for (const path of ['/desk/live', `/desk/live/${desk.lineOf(asha)}`]) {
    await who.get(path);
    expect([path, who.status, who.page]).toEqual([path, 204, '']);
  }
});

test('a form without its proof, with another’s, or with a made-up one is refused and changes nothing', async () => {
  const [who, other] = [await desk.signedIn(anita), await desk.signedIn(mary)];
  await other.get(ashas());
  const stolen = other.hidden(`${ashas()}/take`);
  await who.get(ashas());
  const own = who.hidden(`${ashas()}/take`);
  const before = await desk.store.load(desk.lineOf(asha));
  for (const proof of [undefined, '', 'x.y', stolen['proof'], own['proof']?.replace(/.$/, 'A~')]) {
    const code = own['code'] ?? '';
    for (const path of forms()) {
      await who.post(path, proof === undefined ? { code } : { code, proof });
      expect([path, proof, who.status]).toEqual([path, proof, 403]);
    }
  }
  expect(await desk.store.load(desk.lineOf(asha))).toEqual(before);
});

test('a form from another site is refused, whatever it holds', async () => {
  const who = await desk.signedIn(anita);
  await who.get(ashas());
  const form = who.hidden(`${ashas()}/take`);
  const foreign = [
    { 'sec-fetch-site': 'cross-site' },
    { 'sec-fetch-site': 'same-site' },
    { origin: 'https://evil.example' },
    { origin: 'https://evil.example', 'x-forwarded-host': 'evil.example' },
  ];
  for (const headers of foreign) {
    for (const path of [
      ...forms(),
      '/desk/sign-in',
      '/desk/sign-in/code',
      '/desk/sign-out',
      '/desk/language',
    ]) {
      await who.post(path, form, headers as Record<string, string>);
      expect([path, who.status]).toEqual([path, 403]);
    }
  }
  expect((await desk.state(asha)).alerts[0]?.stage).not.toBe('acknowledged');
  await who.post(`${ashas()}/take`, form, { 'sec-fetch-site': 'same-origin' });
  expect((await desk.state(asha)).alerts[0]?.stage).toBe('acknowledged');
});

test('reading changes nothing: a deed by its address alone is no deed', async () => {
  const who = await desk.signedIn(anita);
  const before = await desk.store.load(desk.lineOf(asha));
  for (const path of [...forms(), '/desk/sign-out', '/desk/language?language=hi', `${ashas()}?done=closed`])
    await who.get(path);
  expect(await desk.store.load(desk.lineOf(asha))).toEqual(before);
  expect((await who.get('/desk')).path).toBe('/desk');
});

test('fields that the form does not have, and values out of bounds, are refused', async () => {
  const who = await desk.signedIn(anita);
  await who.get(ashas());
  const form = who.hidden(`${ashas()}/note`);
  const close = who.hidden(`${ashas()}/close`);
  const bad: readonly (readonly [string, Record<string, string>])[] = [
    [`${ashas()}/take`, { ...form, acknowledgedBy: 'mary' }],
    [`${ashas()}/take`, { ...form, code: '12345' }],
    [`${ashas()}/take`, { ...form, code: '' }],
    [`${ashas()}/note`, { ...form, note: '   ' }],
    [`${ashas()}/note`, { ...form, note: 'x'.repeat(481) }],
    [`${ashas()}/note`, { ...form, note: 'x', tier: 'C' }],
    [`${ashas()}/close`, { ...close, outcome: 'all-well', note: '' }],
    [`${ashas()}/close`, { ...close, outcome: '', note: '' }],
    [`${ashas()}/close`, { ...close, outcome: '__proto__', note: '' }],
  ];
  for (const [path, fields] of bad) {
    await who.post(path, fields);
    expect([path, fields, who.status]).toEqual([path, fields, 400]);
  }
  const twice = new URLSearchParams([...Object.entries(form), ['note', 'a'], ['note', 'b']]);
  const cookie = [...who.cookies].map(([name, value]) => `${name}=${value}`).join('; ');
  const answer = await fetch(`${desk.base}${ashas()}/note`, {
    method: 'POST',
    body: twice,
    headers: { cookie },
  });
  expect(answer.status).toBe(400);
  expect((await desk.state(asha)).alerts[0]?.steps.some((step) => step.what === 'note')).toBe(false);
});

test('an id that is nobody’s, a counsellor’s own record, and what is no id get one and the same answer', async () => {
  const who = await desk.signedIn(anita);
  const unknown = [
    `/desk/mother/${'A'.repeat(22)}/0`,
    `/desk/mother/${desk.lineOf('counsellor anita')}/0`,
    `/desk/mother/${desk.lineOf('counsellor mary')}/0`,
    `/desk/mother/${desk.lineOf(asha)}/1`,
    `/desk/mother/${desk.lineOf(asha)}/9`,
    `/desk/mother/${desk.lineOf(asha)}/-1`,
    '/desk/mother/..%2f..%2fetc%2fpasswd/0',
    `/desk/mother/${encodeURIComponent(asha)}/0`,
    '/desk/mother/%00/0',
  ];
  const seen = new Set<string>();
  for (const path of unknown) {
    await who.get(path);
    expect([path, who.status]).toEqual([path, 404]);
    seen.add(who.words);
  }
  expect(seen.size).toBe(1);
});

test('the code of another mother’s alert does nothing on this mother’s page', async () => {
  const grace = '+447700900104';
  await enrol(desk, grace, { born: '10-10-2026', name: 'Grace', babies: ['1 3.1 Joy'] });
  await desk.text(grace, 'baby has a fit');
  const code = (await desk.state(grace)).alerts[0]?.code ?? '';
  const who = await desk.signedIn(anita);
  await who.get(ashas());
  await who.post(`${ashas()}/take`, { ...who.hidden(`${ashas()}/take`), code });
  expect(who.words).toContain('There is no such open alert here any more.');
  expect((await desk.state(grace)).alerts[0]?.acknowledgedBy).toBe(null);
});

test('only a lead reads who did what; for others the page does not exist', async () => {
  const [who, lead] = [await desk.signedIn(anita), await desk.signedIn(mary)];
  await who.get('/desk');
  expect(who.page).not.toContain('/desk/audit');
  expect((await who.get('/desk/audit')).status).toBe(404);
  expect((await lead.get('/desk/audit')).status).toBe(200);
});

test('each view, deed and refusal is written down, by whom and of what, without names and numbers', async () => {
  const who = await desk.signedIn(anita);
  await who.get(ashas());
  await who.send(`${ashas()}/take`, {});
  await who.send(`${ashas()}/note`, { note: 'secret words' });
  await who.send(`${ashas()}/close`, { outcome: 'home-visit', note: '' });
  await who.send('/desk/find', { what: asha });
  await who.post('/desk/find', { what: asha });
  const lead = await desk.signedIn(mary);
  await lead.get('/desk/audit');
  for (const deed of [
    'asked for a sign-in code',
    'signed in',
    'opened a mother&#39;s page',
    'took an alert',
    'noted on an alert',
    'closed an alert',
    'looked for a mother',
    'sent a form that was not ours',
    'read this list',
  ])
    expect(lead.page).toContain(`<td>${deed}</td>`);
  expect(lead.words).toContain('None was changed or taken out.');
  expect(lead.page).not.toMatch(/Asha|7700900|secret words/);
});

test('an audit entry that is changed or taken out is found', async () => {
  const who = await desk.signedIn(anita);
  await who.get(ashas());
  const lead = await desk.signedIn(mary);
  const journal = desk.store.journal.bind(desk.store);
  for (const tamper of ['change', 'take out', 'cut off'] as const) {
    desk.store.journal = async (lineId, limit, after) => {
      const entries = await journal(lineId, limit, after);
      if (lineId !== desk.lineOf('counsellor anita')) return entries;
      if (tamper === 'change')
        return entries.map((e) => ({ ...e, body: e.body.replace('"viewed"', '"signed-in"') }));
      return tamper === 'take out' ? entries.filter((e) => e.seq !== 2) : entries.filter((e) => e.seq < 3);
    };
    await lead.get('/desk/audit');
    expect([tamper, lead.words.includes('an entry was changed or taken out')]).toEqual([tamper, true]);
  }
});

test('what a mother or a counsellor writes stays words on every page', async () => {
  const evil = `"><script>alert(1)</script><img src=x onerror=alert(2)> '}}{{code}} $t(desk) \u202egnp.exe`;
  await desk.text(asha, `fever ${evil}`);
  const who = await desk.signedIn(mary);
  await who.get(ashas());
  await who.send(`${ashas()}/note`, { note: evil });
  for (const path of [
    '/desk',
    '/desk/alerts',
    '/desk/coming',
    ashas(),
    `${ashas()}?all=yes`,
    '/desk/audit',
  ]) {
    await who.get(path);
    expect([path, who.status]).toEqual([path, 200]);
    expect(who.page).not.toMatch(/<script>|<img|\u202e/);
  }
  await who.get(ashas());
  expect(who.page).toContain('&lt;script&gt;alert(1)&lt;/script&gt;');
  expect(who.page).toContain('{{code}} $t(desk)');
  await who.get('/desk');
  await who.send('/desk/find', { what: '<script>alert(1)</script>' });
  expect(who.page).not.toContain('<script>');
  await who.get(`${ashas()}?done=%3Cscript%3E&all=%3Cscript%3E`);
  expect(who.page).not.toContain('<script>');
});

test('every answer keeps a browser careful, and nothing but styles and scripts in its cache', async () => {
  const who = await desk.signedIn(anita);
  for (const path of [...pages(), '/desk/sign-in']) {
    const { headers } = await who.get(path);
    expect(headers.get('content-security-policy')).toContain("default-src 'none'; script-src 'self'");
    expect([path, headers.get('cache-control')]).toEqual([path, 'no-store']);
    expect(headers.get('referrer-policy')).toBe('no-referrer');
    expect(headers.get('x-content-type-options')).toBe('nosniff');
    expect(headers.get('x-powered-by')).toBe(null);
    expect(who.page).not.toMatch(/ style=|<style|javascript:| on[a-z]+="/);
  }
});

test('a broken store gives a plain error without what is inside', async () => {
  const who = await desk.signedIn(anita);
  desk.store.openAlerts = () => Promise.reject(new Error('secret inside'));
  await who.get('/desk');
  expect(who.status).toBe(500);
  expect(who.page).not.toContain('secret inside');
  expect(JSON.stringify(desk.troubles)).not.toMatch(/7700900|Asha|secret inside/);
});

test('a counsellor who is no longer on the list is signed out', async () => {
  const who = await desk.signedIn(anita);
  const after = await deskAtWork({ env: { COUNSELLORS: 'mary:Mary:+447700900012:en:lead' } });
  const there = after.visitor();
  for (const [name, value] of who.cookies) there.cookies.set(name, value);
  await there.get('/desk');
  expect(there.path).toBe('/desk/sign-in');
  await after.close();
});
