import { afterEach, beforeEach, expect, it } from 'vitest';
import { segmentBudget, segmentsOf } from '../../src/language/sms-segments.ts';
import { anita, ashaInDanger, type DeskAtWork, deskAtWork, mary } from '../web/desk/desk-at-work.ts';

const hour = 3_600_000;
let desk: DeskAtWork;
beforeEach(async () => {
  desk = await deskAtWork({ publicUrl: 'https://line.example.test' });
});
afterEach(() => desk.close());

const digestsTo = (phone: string) =>
  desk.sent.filter((m) => m.to === phone && m.body.startsWith('Good morning')).map((m) => m.body);

it('tells how many to reach, the first three and the address of the desk, within two texts', async () => {
  await ashaInDanger(desk);
  for (let n = 0; n < 5; n += 1) await desk.text(`+447700900${300 + n}`, 'my baby has a fit');
  await desk.forward(24 * hour);
  const [digest = ''] = digestsTo(anita);
  const lines = digest.split('\n');
  expect(lines[0]).toBe('Good morning. 6 mothers to reach.');
  expect(lines.at(-1)).toBe('Desk: https://line.example.test/desk');
  expect(lines.slice(1, -1).length).toBeGreaterThan(0);
  expect(lines.slice(1, -1).length).toBeLessThanOrEqual(3);
  for (const line of lines.slice(1, -1)) expect(line).toMatch(/^\d{4} NOW /);
  const { encoding, segments } = segmentsOf(digest);
  expect(segments).toBeLessThanOrEqual(segmentBudget[encoding]);
  // Anita is on duty: the lead is not written to as well.
  expect(digestsTo(mary)).toEqual([]);
});

it('comes each morning at 07:30 while somebody is to be reached, and not when nobody is', async () => {
  await ashaInDanger(desk);
  await desk.forward(3 * 24 * hour);
  expect(digestsTo(anita)).toHaveLength(3);
  const code = (await desk.state('+447700900101')).alerts[0]?.code ?? '';
  await desk.text(anita, `${code} 1`);
  await desk.text('+447700900101', '1');
  await desk.forward(24 * hour);
  expect(digestsTo(anita)).toHaveLength(3);
});
