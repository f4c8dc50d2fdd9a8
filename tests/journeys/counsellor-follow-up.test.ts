import { afterEach, describe, expect, it } from 'vitest';
import { expectTheSameOnEachStore, type JourneyStore, journeyStores } from './each-store.ts';
import { type JourneyLine, journeyLine, numbers } from './journey-line.ts';
import { phoneOf } from './people.ts';
import { monday } from './the-week.ts';

const hour = 3_600_000;

const open: JourneyLine[] = [];
afterEach(async () => {
  for (const line of open.splice(0)) await line.close();
});

/** A mother told of a fit at 10:00 on Monday, and Anita took it. */
async function taken(on: JourneyStore) {
  const line = await journeyLine(monday, on);
  open.push(line);
  const asha = phoneOf(line, numbers.mother, 'asha');
  const anita = phoneOf(line, numbers.anita, 'anita');
  const mary = phoneOf(line, numbers.mary, 'mary');
  const said = (key: string) => line.content.wording.say(key, {}, 'en', 'text');
  const english = /(\d+)\s+English\b/.exec(await asha.text('JOIN'))?.[1];
  if (english !== undefined) await asha.text(english);
  for (const text of ['26 Feb Asha', '1 1 10', '1 2.9 Tara', 'my baby has a fit']) await asha.text(text);
  const code = /\b\d{4}\b/.exec(anita.received()[0] ?? '')?.[0] ?? '';
  expect(await anita.text(code)).toContain(numbers.mother);
  const alert = async () => (await line.state(numbers.mother))?.alerts[0];
  const asked = () => asha.received().filter((t) => t.includes(said('ask.follow-up.reached.ask'))).length;
  return { line, asha, anita, mary, said, code, alert, asked };
}

describe.each(journeyStores)('"did you reach care?", on %s', (on) => {
  it('is asked after two hours and each morning until there is an answer, and then no more', async () => {
    const { line, asha, said, asked, alert } = await taken(on);
    await line.forward(2 * hour - 1_000);
    expect(asked()).toBe(0);
    await line.forward(1_000);
    expect(asked()).toBe(1);
    await line.forward(21 * hour);
    expect(asked()).toBe(1);
    expect(await asha.text('1')).toBe(said('follow-up.good'));
    expect((await alert())?.steps.at(-1)).toMatchObject({ what: 'followed-up', by: 'mother' });
    await line.forward(72 * hour);
    expect(asked()).toBe(0);
    // Only a person closes it.
    expect((await alert())?.stage).toBe('acknowledged');
  });

  it('answered with "not yet" opens it again for all, tells her to go, and climbs to the lead', async () => {
    const { line, asha, anita, mary, code, alert } = await taken(on);
    await anita.text(`${code} 2 spoke with her`);
    await line.forward(2 * hour);
    anita.received();
    mary.received();
    expect(await asha.text('2')).toContain('112');
    expect(await alert()).toMatchObject({ acknowledgedBy: null, outcome: null, climbed: 0 });
    expect(anita.received()).toHaveLength(1);
    await line.forward(hour / 3);
    expect(mary.received().length).toBeGreaterThan(0);
    expect((await alert())?.climbed).toBeGreaterThanOrEqual(3);
    const steps = (await alert())?.steps.map((s) => `${s.what} ${s.by}`) ?? [];
    expect(steps).toContain('reopened mother');
    expect(steps).toContain('resolved anita');
  });

  it('left without an answer three times is put on the list for a person, though it was closed', async () => {
    const { line, anita, code } = await taken(on);
    await anita.text(`${code} 5`);
    await line.forward(6 * 24 * hour);
    const asked = (await line.journal(numbers.mother)).filter((e) => e.kind === 'follow-up-asked');
    expect(asked.filter((e) => JSON.stringify(e.body).includes(code))).toHaveLength(3);
    const alerts = (await line.state(numbers.mother))?.alerts ?? [];
    expect(alerts[0]?.stage).toBe('resolved');
    const silent = alerts.find((a) => a.reasons.includes('silent') && a.stage !== 'resolved');
    expect(silent).toBeDefined();
  });

  it('is not asked after a death', async () => {
    const { line, anita, code, asked } = await taken(on);
    await anita.text(`${code} 6`);
    await line.forward(96 * hour);
    expect(asked()).toBe(0);
  });
});

expectTheSameOnEachStore();
