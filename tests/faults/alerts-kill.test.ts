import { execFileSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type AlertsProcess, alertsProcess } from './alerts-process.ts';

const root = fileURLToPath(new URL('../../', import.meta.url));
const second = 1_000;
const minute = 60 * second;
/** Monday 2 March 2026, 10:00 in India. */
const morning = Date.UTC(2026, 2, 2, 4, 30);
/** From Ofcom's range for fiction. */
const mary = '+447700900003';
const phoneOf = (n: number) => `+447700900${String(100 + n).padStart(3, '0')}`;

const points = [
  'before-commit',
  'during-commit',
  'after-commit',
  'after-take',
  'before-send',
  'after-send',
  'before-settle',
  'after-settle',
] as const;
/** Of a point that an act passes often, so many places are tried, spread over all; one where the carrier fails, to spare time. */
const mostPlaces = { takes: 2, refuses: 1, unreachable: 1 } as const;
/** What a dead process held is free when the next one starts. */
const longestToNotice = 5 * second;

/** The acts of an alert's life, in order. A text is sent again by the carrier until it is answered; all else goes on by itself. */
const acts = [
  { name: 'raised', text: true },
  { name: 'told', text: false },
  { name: 'climbed to the lead', text: false },
  { name: 'acknowledged', text: true },
  { name: 'resolved', text: true },
] as const;

interface Kill {
  readonly act: number;
  readonly point: string;
  readonly n: number;
}

/** One mother's alert from danger told to closed by the lead, with the process killed once on the way. Counsellors are silent. */
async function live(line: AlertsProcess, n: number, kill: Kill | undefined): Promise<readonly Passed[]> {
  const phone = phoneOf(n);
  const passed: Passed[] = [];
  const codeNow = async () => (await line.state(phone))?.alerts[0]?.code ?? 'none';
  const act = async (index: number): Promise<void> => {
    switch (index) {
      case 0:
        await line.ask('text', { id: `danger ${n}`, from: phone, body: 'my baby has a fit' });
        return;
      case 1:
        await line.ask('tick', { ms: second });
        return;
      case 2:
        await line.ask('forward', { ms: 21 * minute });
        return;
      case 3:
        await line.ask('text', { id: `take ${n}`, from: mary, body: await codeNow() });
        return;
      default:
        await line.ask('text', { id: `close ${n}`, from: mary, body: `${await codeNow()} 4 well` });
    }
  };
  for (const [index, { text }] of acts.entries()) {
    const dies = kill?.act === index;
    await line.ask('watch', { phone, point: dies ? kill.point : '', n: dies ? kill.n : 0 });
    await act(index);
    if (line.isDead()) {
      await line.start();
      if (text) await act(index);
      // The outbox looks each second, as it does by itself.
      for (let waited = 0; index < 2 && waited < longestToNotice; waited += second)
        await line.ask('tick', { ms: second });
      // A due time that the dead one held is free again after its lease of 30 seconds.
      if (index === 2) await line.ask('tick', { ms: 31 * second });
      if (index === 2) await line.ask('forward', { ms: 21 * minute });
    }
    passed.push((await line.ask<Passed>('passed')) ?? {});
    if (index === 2) await expectAtTheLead(line, phone, JSON.stringify(kill));
  }
  return passed;
}
type Passed = Readonly<Record<string, number>>;

/** Nobody has taken it: it stands at the lead, goes on climbing, and is closed by nobody. */
async function expectAtTheLead(line: AlertsProcess, phone: string, where: string): Promise<void> {
  const state = await line.state(phone);
  expect(state?.alerts, where).toHaveLength(1);
  const alert = state?.alerts[0];
  expect([alert?.tier, alert?.acknowledgedBy, alert?.outcome], where).toEqual(['A', null, null]);
  const told = (await line.journal(phone)).filter((e) => e.kind === 'alert-told').map((e) => e.body['to']);
  expect(told, where).toContain('mary');
  expect(
    state?.dues.some((d) => d.kind === 'climb'),
    where,
  ).toBe(true);
}

/** Each try of the carrier's is of a message in the journal, and the store counts as many tries of it or more. */
async function expectRecorded(line: AlertsProcess, phone: string, where: string): Promise<void> {
  const journal = await line.journal(phone);
  const sending = journal.filter((e) => e.kind === 'sending').map((e) => String(e.body['id']));
  expect(new Set(sending).size, where).toBe(sending.length);
  const lineId = sending[0]?.split('.')[0] ?? 'none';
  const tries = new Map<string, number>();
  for (const { id } of line.tries()) if (id.startsWith(`${lineId}.`)) tries.set(id, (tries.get(id) ?? 0) + 1);
  for (const [id, count] of tries) {
    expect(sending, where).toContain(id);
    expect((await line.message(id))?.attempts, where).toBeGreaterThanOrEqual(count);
  }
  expect(tries.size, where).toBeGreaterThan(2);
}

/** From raising to the first try to tell anybody, milliseconds of the moved clock. */
async function toFirstNotice(line: AlertsProcess, phone: string): Promise<number> {
  const journal = await line.journal(phone);
  const first = journal.find((e) => e.kind === 'sending' && String(e.body['id']).includes('!'));
  const tried = line.tries().find((t) => t.id === first?.body['id']);
  const raisedAt = journal.find((e) => e.kind === 'alert-raised')?.at;
  return tried === undefined || raisedAt === undefined ? Number.POSITIVE_INFINITY : tried.at - raisedAt;
}

/** Every place of the way at which it is killed, from how often a whole life passed each point. */
function placesIn(whole: readonly Passed[], most: number): readonly Kill[] {
  return whole.flatMap((passed, act) =>
    points.flatMap((point) => {
      const count = passed[point] ?? 0;
      const places = Math.min(count, most);
      return Array.from({ length: places }, (_, i) => ({
        act,
        point,
        n: places === 1 ? 1 : 1 + Math.round((i * (count - 1)) / (places - 1)),
      }));
    }),
  );
}

beforeAll(() => {
  execFileSync(process.execPath, ['tools/ready.mjs', 'build'], { cwd: root, stdio: 'ignore' });
}, 200_000);

describe.each(['takes', 'refuses', 'unreachable'] as const)(
  'an alert whose process is killed at each step, with a carrier that %s every message',
  (mood) => {
    let line: AlertsProcess;
    beforeAll(async () => {
      line = await alertsProcess(morning, mood);
    }, 200_000);
    afterAll(() => line?.dispose());

    it('stands at the lead or is taken, with every attempt recorded, and only a person closes it', async () => {
      const whole = await live(line, 0, undefined);
      const kills = placesIn(whole, mostPlaces[mood]);
      let longest = 0;
      let longestNotHeld = 0;
      for (const [i, kill] of kills.entries()) {
        const [phone, where] = [phoneOf(i + 1), JSON.stringify(kill)];
        const before = line.lives();
        await live(line, i + 1, kill);
        expect(line.lives(), where).toBe(before + 1);
        const alert = (await line.state(phone))?.alerts[0];
        expect([alert?.stage, alert?.acknowledgedBy], where).toEqual(['resolved', 'mary']);
        const steps = alert?.steps ?? [];
        for (const what of ['raised', 'acknowledged', 'resolved'])
          expect(
            steps.filter((s) => s.what === what).map((s) => s.by),
            `${where} ${what}`,
          ).toEqual([what === 'raised' ? 'line' : 'mary']);
        await expectRecorded(line, phone, where);
        const notice = await toFirstNotice(line, phone);
        const held = kill.act === 1 && (kill.point === 'after-take' || kill.point === 'before-send');
        longest = Math.max(longest, notice);
        if (!held) longestNotHeld = Math.max(longestNotHeld, notice);
      }
      console.info(
        `${mood}: ${kills.length} kills; to first notice at most ${longest / second} s, ${longestNotHeld / second} s where nothing was held`,
      );
      expect(new Set(kills.map((k) => k.act)).size).toBe(acts.length);
      expect(kills.length).toBeGreaterThan(mood === 'takes' ? 25 : 15);
      expect(longestNotHeld).toBeLessThan(5 * second);
      expect(longest).toBeLessThan(longestToNotice);
      // Some thirty processes are started one after the other.
    }, 900_000);
  },
);
