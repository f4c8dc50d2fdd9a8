import { afterEach, beforeEach, expect, test } from 'vitest';
import { anita, type DeskAtWork, deskAtWork, enrol } from './desk-at-work.ts';

/** A number from Ofcom's range for fiction. */
const grace = '+447700900104';
const hour = 3_600_000;

let desk: DeskAtWork;
beforeEach(async () => {
  desk = await deskAtWork();
});
afterEach(() => desk.close());

const page = (phone: string) => `/desk/mother/${desk.lineOf(phone)}/0`;

test('what a counsellor writes of the birth is kept for all its babies, shown, and written down', async () => {
  await enrol(desk, grace, {
    born: '10-10-2026',
    name: 'Grace',
    babies: ['1 2.1 Joy', '2 2.0 Dev'],
    home: '2 1 10',
  });
  const who = await desk.signedIn(anita);
  await who.get(page(grace));
  const before = desk.sent.length;
  await who.send(`${page(grace)}/birth`, { first: 'yes', weeks: '34' });
  expect([who.status, who.words.includes('What is known of the birth is kept')]).toEqual([200, true]);
  const mother = (await desk.state(grace)).mothers[0];
  expect(mother?.firstBaby).toBe(true);
  expect(mother?.babies.map((baby) => baby.gestationWeeks)).toEqual([34, 34]);
  expect(who.words).toContain('born at 34 weeks');
  expect(desk.sent.length).toBe(before);
  const log = await desk.store.journal(desk.lineOf('counsellor anita'), 100);
  expect(log.filter((e) => e.body.includes('"birth"'))).toHaveLength(1);

  await who.send(`${page(grace)}/birth`, { first: '', weeks: '' });
  const again = (await desk.state(grace)).mothers[0];
  expect([again?.firstBaby, again?.babies[0]?.gestationWeeks]).toEqual([null, null]);
});

test('a mother of an early baby is told the tips for early babies', async () => {
  await enrol(desk, grace, { born: '10-10-2026', name: 'Grace', babies: ['1 2.1 Joy'] });
  const told = async (days: number) => {
    const before = desk.sent.length;
    await desk.forward(days * 24 * hour);
    return desk.sent.slice(before).map((m) => m.body);
  };
  const early = 'A baby born early needs your skin';
  const who = await desk.signedIn(anita);
  await who.get(page(grace));
  await who.send(`${page(grace)}/birth`, { first: 'no', weeks: '34' });
  expect((await told(25)).some((body) => body.startsWith(early))).toBe(true);
});

test('odd weeks, odd answers and a form that is not ours are refused', async () => {
  await enrol(desk, grace, { born: '10-10-2026', name: 'Grace', babies: ['1 3.1 Joy'] });
  const who = await desk.signedIn(anita);
  await who.get(page(grace));
  const { proof = '' } = who.hidden(`${page(grace)}/birth`);
  const form = { proof, first: 'yes', weeks: '38' };
  for (const bad of [{ weeks: '21' }, { weeks: '45' }, { weeks: 'x' }, { first: 'maybe' }, { extra: '1' }]) {
    await who.post(`${page(grace)}/birth`, { ...form, ...bad } as Record<string, string>);
    expect([bad, who.status]).toEqual([bad, 400]);
  }
  await who.post(`${page(grace)}/birth`, { ...form, proof: 'x' });
  expect(who.status).toBe(403);
  expect((await desk.state(grace)).mothers[0]?.babies[0]?.gestationWeeks).toBeNull();
});
