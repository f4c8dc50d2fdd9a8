import { afterEach, beforeEach, expect, test } from 'vitest';
import type { Counsellor } from '../../../src/dialog/world.ts';
import { anita, asha, ashaInDanger, type DeskAtWork, deskAtWork, mary } from './desk-at-work.ts';

let desk: DeskAtWork;
beforeEach(async () => {
  desk = await deskAtWork();
  await ashaInDanger(desk);
});
afterEach(() => desk.close());

/** The path of Asha's page. */
const ashas = () => `/desk/mother/${desk.lineOf(asha)}/0`;
const codeOfAlert = async () => (await desk.state(asha)).alerts[0]?.code ?? '';

test('she signs in with the code on her phone, takes the first alert, notes, closes, and it leaves the list', async () => {
  const who = await desk.signedIn(anita);
  expect(who.path).toBe('/desk');
  expect(who.words).toMatch(/Now.*Asha, baby 2 days.*baby has fever/);
  expect(who.words).toContain('baby has fever and is hard to wake');
  await who.send(`${ashas()}/take`, {});
  expect(who.path).toBe(`${ashas()}?done=took`);
  expect(who.words).toContain('You have her now.');
  expect((await desk.state(asha)).alerts[0]).toMatchObject({
    stage: 'acknowledged',
    acknowledgedBy: 'anita',
  });
  await who.send(`${ashas()}/note`, { note: 'On the way to the clinic with her aunt.' });
  expect(who.words).toContain('Anita noted: On the way to the clinic with her aunt.');
  await who.send(`${ashas()}/close`, { outcome: 'reached-care', note: '' });
  expect(who.words).toContain('closed: she reached care');
  expect((await desk.state(asha)).alerts[0]).toMatchObject({ stage: 'resolved', outcome: 'reached-care' });
  await who.get('/desk');
  expect(who.words).toContain('Nobody is waiting.');
  expect(desk.troubles).toEqual([]);
});

test('what a mother said and was told stands on her page in order', async () => {
  const who = await desk.signedIn(anita);
  await who.get(ashas());
  expect(who.words).toMatch(
    /JOIN.*When was your baby born.*23-11-2026 Asha.*baby has fever and is hard to wake/,
  );
  expect(who.page).toContain('href="tel:+447700900101"');
  expect(who.words).toMatch(/Mina, girl, 2 days.*2.70 kg at birth/);
});

test('of two who take her at once one has her, and the other is told', async () => {
  const [one, two] = [await desk.signedIn(anita), await desk.signedIn(mary)];
  await Promise.all([one.send(`${ashas()}/take`, {}), two.send(`${ashas()}/take`, {})]);
  const holder = (await desk.state(asha)).alerts[0]?.acknowledgedBy;
  const [winner, loser] = holder === 'anita' ? [one, two] : [two, one];
  expect(winner.words).toContain('You have her now.');
  expect(loser.words).toContain('Somebody else took her just before you.');
});

test('a form that is sent twice is one note, and the next words on the same page are another', async () => {
  const who = await desk.signedIn(anita);
  await who.get(ashas());
  const form = who.hidden(`${ashas()}/note`);
  await who.post(`${ashas()}/note`, { ...form, note: 'called her' });
  await who.post(`${ashas()}/note`, { ...form, note: 'called her' });
  await who.post(`${ashas()}/note`, { ...form, note: 'she did not answer' });
  const notes = (await desk.state(asha)).alerts[0]?.steps.flatMap((step) => step.note ?? []);
  expect(notes).toEqual(['called her', 'she did not answer']);
});

test('she finds a mother by an alert’s code and by her number as written or dialled', async () => {
  const who = await desk.signedIn(anita);
  for (const what of [
    await codeOfAlert(),
    asha,
    '+44 7700 900101',
    '07700 900101',
    '00447700900101',
    '०७७०० ९००१०१',
  ]) {
    await who.get('/desk');
    await who.send('/desk/find', { what });
    expect([what, who.path]).toEqual([what, ashas()]);
  }
  for (const what of ['0000', '+447700900199', 'Asha', anita, '%', '']) {
    await who.get('/desk');
    await who.send('/desk/find', { what });
    expect([what, who.path]).toEqual([what, '/desk/find']);
    expect(who.words).toContain('Nobody has this number or code.');
  }
});

test('the list shows the end of a number only, and no page title tells it', async () => {
  const who = await desk.signedIn(anita);
  expect(who.page).toContain('…101');
  expect(who.page).not.toContain('7700900101');
  await who.get(ashas());
  expect(who.page).toMatch(/<title>Asha · Desk<\/title>/);
});

test('every list and the rota open, in English and in Hindi', async () => {
  const who = await desk.signedIn(mary);
  for (const path of ['/desk', '/desk/alerts', '/desk/coming', '/desk/rota', '/desk/audit', ashas()]) {
    await who.get(path);
    expect([path, who.status, who.page.includes('<html lang="en">')]).toEqual([path, 200, true]);
  }
  await who.send('/desk/language', { language: 'hi' });
  for (const path of ['/desk', '/desk/alerts', '/desk/coming', '/desk/rota', '/desk/audit', ashas()]) {
    await who.get(path);
    expect([path, who.status, who.page.includes('<html lang="hi">')]).toEqual([path, 200, true]);
  }
  expect(desk.troubles).toEqual([]);
});

test('she hands a mother over; the other takes her, writes to her through the line, closes, and opens again', async () => {
  const [one, two] = [await desk.signedIn(anita), await desk.signedIn(mary)];
  await one.send(`${ashas()}/take`, {});
  await one.send(`${ashas()}/hand-over`, { to: 'mary' });
  expect(one.words).toContain('She is handed over.');
  expect(one.words).toContain('Anita handed her to: Mary');
  await two.get('/desk');
  expect(two.words).toContain('Handed to you');
  await two.send(`${ashas()}/take`, {});
  expect(two.words).toContain('You have her now.');
  await two.send(`${ashas()}/write`, { words: 'I am on my way to you.' });
  expect(two.words).toContain('Your text is on its way to her.');
  await desk.line.catchUp();
  expect(desk.sent.findLast((message) => message.to === asha)?.body).toMatch(
    /Mary.*I am on my way to you\./s,
  );
  await two.send(`${ashas()}/write`, { words: 'a word and another '.repeat(14) });
  await two.send(`${ashas()}/write`, { words: 'शब्द '.repeat(55) });
  expect(two.words).toContain('Nothing was sent: it is longer than two texts.');
  await two.send(`${ashas()}/close`, { outcome: 'home-visit', note: 'seen at home' });
  await two.send(`${ashas()}/open`, {});
  expect(two.words).toContain('The alert is open again, and you have her.');
  expect((await desk.state(asha)).alerts[0]).toMatchObject({ stage: 'acknowledged', acknowledgedBy: 'mary' });
});

test('who has left is still named in the notes and in the list of who did what, and only there', async () => {
  const sunita: Counsellor = {
    id: 'sunita',
    name: 'Sunita',
    phone: '+447700900013',
    language: 'en',
    lead: false,
  };
  const rest = [
    { id: 'anita', name: 'Anita', phone: anita, language: 'en', lead: false },
    { id: 'mary', name: 'Mary', phone: mary, language: 'en', lead: true },
  ];
  const before = await deskAtWork({ programme: { counsellors: [sunita, ...rest] } });
  await ashaInDanger(before);
  const path = `/desk/mother/${before.lineOf(asha)}/0`;
  const she = await before.signedIn(sunita.phone);
  await she.get(path);
  await she.send(`${path}/note`, { note: 'I spoke with her aunt.' });
  const after = await before.again({ counsellors: rest });
  const lead = await after.signedIn(mary);
  await lead.get(path);
  expect(lead.words).toContain('Sunita noted: I spoke with her aunt.');
  expect(lead.page).not.toContain('<option value="sunita">');
  await lead.get('/desk/audit');
  expect(lead.page).toMatch(/<td>Sunita<\/td><td>noted on an alert<\/td>/);
  expect(lead.words).toContain('None was changed or taken out.');
  await lead.get('/desk/rota');
  expect(lead.words).not.toContain('Sunita');
  expect(after.troubles).toEqual([]);
  await after.close();
});

test('nobody can be handed to who is no counsellor', async () => {
  const who = await desk.signedIn(anita);
  await who.get(ashas());
  await who.send(`${ashas()}/hand-over`, { to: 'somebody' });
  expect(who.status).toBe(404);
  expect((await desk.state(asha)).alerts[0]?.offeredTo ?? null).toBe(null);
});
