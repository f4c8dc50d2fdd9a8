import { afterEach, beforeEach, expect, test } from 'vitest';
import { anita, asha, ashaInDanger, type DeskAtWork, deskAtWork, enrol } from './desk-at-work.ts';

/** A number from Ofcom's range for fiction. */
const grace = '+447700900104';
const hour = 3_600_000;

let desk: DeskAtWork;
beforeEach(async () => {
  desk = await deskAtWork();
});
afterEach(() => desk.close());

const page = (phone: string) => `/desk/mother/${desk.lineOf(phone)}/0`;

test('a mother’s page tells what comes next: questions, weighing, tip with its reasons, follow-up', async () => {
  await ashaInDanger(desk);
  const who = await desk.signedIn(anita);
  await who.get(page(asha));
  const next = who.words.slice(who.words.indexOf('What comes next'));
  for (const part of [
    'Daily questions',
    'Weight is asked',
    'A tip',
    'Fits the age:',
    'Before others',
    '"Did you reach care?"',
  ])
    expect(next.replaceAll('&quot;', '"')).toContain(part);
});

test('the tip on the page is the tip that she is told', async () => {
  await enrol(desk, grace, { born: '10-10-2026', name: 'Grace', babies: ['1 3.1 Joy'] });
  const tips = [];
  for (let day = 0; day < 24; day += 1) {
    const before = desk.sent.length;
    const due = (await desk.state(grace)).dues.find((d) => d.kind === 'tip');
    const who = day % 8 === 0 ? await desk.signedIn(anita) : undefined;
    await who?.get(page(grace));
    const shown = /A tip<details><summary>([^<]*)</.exec(who?.page ?? '')?.[1];
    await desk.forward(24 * hour);
    const told = desk.sent.slice(before).map((m) => m.body.replaceAll("'", '&#39;'));
    const isToday =
      due !== undefined && (await desk.state(grace)).dues.every((d) => d.kind !== 'tip' || d.at !== due.at);
    if (shown !== undefined && isToday) {
      expect(told.some((body) => body.includes(shown))).toBe(true);
      tips.push(shown);
    }
  }
  expect(tips.length).toBeGreaterThan(0);
});

test('the page of the programme tells the coming week by day, and one kind alone when asked', async () => {
  await ashaInDanger(desk);
  await enrol(desk, grace, { born: '10-10-2026', name: 'Grace', babies: ['1 3.1 Joy'] });
  const who = await desk.signedIn(anita);
  await who.get('/desk/coming');
  for (const part of ['Asha', 'Grace', 'Daily questions', 'A tip:', 'Weight is asked'])
    expect(who.words).toContain(part);
  expect(who.page).not.toContain('7700900');
  await who.get('/desk/coming?kind=tip');
  expect(who.words).toContain('A tip:');
  expect(who.page).not.toContain('<span>Daily questions');
  for (const odd of ['?kind=%3Cscript%3E', '?from=..%2f..', '?kind=tip&kind=x', `?from=${'A'.repeat(22)}`])
    expect([odd, (await who.get(`/desk/coming${odd}`)).status]).toEqual([odd, 200]);
});

test('a mother who rests is shown as resting, and nothing is planned for her', async () => {
  await enrol(desk, grace, { born: '10-10-2026', name: 'Grace', babies: ['1 3.1 Joy'] });
  await desk.text(grace, 'PAUSE');
  const who = await desk.signedIn(anita);
  await who.get(page(grace));
  expect(who.words).toContain('Rests from our questions until she says so');
  expect(who.words).not.toContain('Daily questions');
});

test('a counsellor lets her rest, begins again, moves her hour and turns tips off; all is written down', async () => {
  await enrol(desk, grace, { born: '10-10-2026', name: 'Grace', babies: ['1 3.1 Joy'] });
  const who = await desk.signedIn(anita);
  await who.get(page(grace));
  const { proof = '' } = who.hidden(`${page(grace)}/rhythm`);
  const wish = async (fields: Readonly<Record<string, string>>) => {
    await who.post(`${page(grace)}/rhythm`, { proof, ...fields });
    return who.status;
  };
  expect(await wish({ what: 'rest', days: '7' })).toBe(200);
  expect(who.words).toMatch(/Rests from our questions until \w+ 3 Dec/);
  expect(await wish({ what: 'resume' })).toBe(200);
  expect(await wish({ what: 'hour', hour: '17:30' })).toBe(200);
  expect((await desk.state(grace)).mothers[0]?.checkInMinuteOfDay).toBe(17 * 60 + 30);
  expect(who.words).toMatch(/17:30 Daily questions/);
  expect(await wish({ what: 'no-tips' })).toBe(200);
  expect(who.words).toContain('Wants no tips');
  expect(who.words).not.toContain('A tip');
  // Kolkata is five and a half hours ahead of London in winter: her hour is hers on any clock.
  expect(await wish({ what: 'zone', zone: 'Europe/London' })).toBe(200);
  expect(who.words).toContain('On the clock of Europe/London');
  expect(who.words).toMatch(/23:00 Daily questions/);
  for (const bad of [
    { what: 'zone', zone: 'Europe/Nowhere' },
    { what: 'rest', days: '365' },
    { what: 'hour', hour: '25:00' },
    { what: 'zone', zone: 'x' },
    { what: 'tips', days: '3' },
  ])
    expect([bad, await wish(bad as Record<string, string>)]).toEqual([bad, 400]);
  const log = await desk.store.journal(desk.lineOf('counsellor anita'), 100);
  expect(log.filter((e) => e.body.includes('"rhythm"'))).toHaveLength(5);
});
