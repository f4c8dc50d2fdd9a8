import { afterEach, describe, expect, it } from 'vitest';
import { type AlertsLine, alertsLine, type CarrierMood, counsellorPhones, programme } from './alerts-line.ts';

const second = 1_000;
const minute = 60 * second;
const hour = 60 * minute;
/** Monday 2 March 2026, 10:00 in India: tier B is told at once too. */
const morning = Date.UTC(2026, 2, 2, 4, 30);

const open: AlertsLine[] = [];
afterEach(async () => {
  for (const line of open.splice(0)) await line.close();
});
function started(mood: (attempt: number) => CarrierMood): AlertsLine {
  const line = alertsLine(morning, mood);
  open.push(line);
  return line;
}

/** From Ofcom's range for fiction, past the numbers of the counsellors and of the line. */
const phoneOf = (n: number) => `+447700900${String(100 + n).padStart(3, '0')}`;
const phones = (count: number) => Array.from({ length: count }, (_, n) => phoneOf(n));
/** Most tell of a fit, tier A; each fifth asks for a person, tier B. */
const wordsOf = (n: number) => (n % 5 === 4 ? 'PERSON' : 'my baby has a fit');
const isTierA = (n: number) => n % 5 !== 4;

/** The same figures each time: mulberry32, a small generator in the public domain. */
function random(seed: number): () => number {
  let a = seed;
  return () => {
    a = (a + 0x6d2b79f5) | 0;
    let t = Math.imul(a ^ (a >>> 15), 1 | a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}

/** Everybody tells her danger, a second apart; the outbox looks once a second, as it does by itself. */
async function tellAll(line: AlertsLine, count: number): Promise<void> {
  for (let n = 0; n < count; n++) {
    expect(await line.text(phoneOf(n), `danger ${n}`, wordsOf(n))).not.toBe('');
    await line.tick(second);
  }
}

/** What is wrong with the alert of one line, a sentence each; nothing when all is well. */
async function wrongWith(line: AlertsLine, n: number): Promise<readonly string[]> {
  const phone = phoneOf(n);
  const state = await line.state(phone);
  const alert = state?.alerts[0];
  if (state === undefined || alert === undefined) return [`${phone}: the alert is lost`];
  const wrong: string[] = [];
  const journal = await line.journal(phone);
  const closedBy = alert.steps.filter((s) => s.what === 'resolved').map((s) => s.by);
  if (alert.stage === 'resolved' && !closedBy.every((by) => counsellorPhones.has(by)))
    wrong.push(`${phone}: closed by ${closedBy.join()}`);
  if (alert.stage === 'resolved' && closedBy.length === 0) wrong.push(`${phone}: closed by itself`);
  const told = journal.filter((e) => e.kind === 'alert-told').map((e) => e.body['to']);
  if (alert.tier === 'A' && alert.acknowledgedBy === null && !told.includes('mary'))
    wrong.push(`${phone}: nobody has it and it is not at the lead`);
  if (alert.acknowledgedBy === null && !state.dues.some((d) => d.kind === 'climb'))
    wrong.push(`${phone}: nobody has it and it climbs no more`);
  // Every attempt of the carrier is of a message that stands in the journal, and each message stands in the store.
  const sending = new Set(journal.filter((e) => e.kind === 'sending').map((e) => String(e.body['id'])));
  const messages = new Map(
    await Promise.all([...sending].map(async (id) => [id, await line.message(id)] as const)),
  );
  // One waits its turn while an earlier one to the same receiver, by the same channel, is tried again and again.
  const tried = new Set(
    [...messages.values()].filter((m) => m?.state === 'waiting' && m.attempts > 0).map((m) => m?.receiver),
  );
  for (const [id, message] of messages) {
    if (message === undefined) wrong.push(`${phone}: message ${id} is lost`);
    else if (
      message.state === 'waiting' &&
      message.attempts === 0 &&
      message.notBefore < line.now() - minute &&
      !tried.has(message.receiver)
    )
      wrong.push(`${phone}: message ${id} was never tried`);
  }
  return wrong;
}

async function wrongWithAll(line: AlertsLine, count: number): Promise<readonly string[]> {
  const wrong = await Promise.all(phones(count).map((_, n) => wrongWith(line, n)));
  const known = new Set(
    (await Promise.all(phones(count).map((p) => line.journal(p)))).flatMap((journal) =>
      journal.filter((e) => e.kind === 'sending').map((e) => String(e.body['id'])),
    ),
  );
  const unrecorded = line.attempts.filter((a) => a.id.includes('!') && !known.has(a.id));
  return [...wrong.flat(), ...unrecorded.map((a) => `attempt ${a.id} is recorded nowhere`)];
}

/** Longest time from raising to the first attempt to tell anybody, milliseconds. */
async function longestToFirstNotice(
  line: AlertsLine,
  count: number,
  only: (n: number) => boolean = () => true,
): Promise<number> {
  let longest = 0;
  for (let n = 0; n < count; n++) {
    if (!only(n)) continue;
    const journal = await line.journal(phoneOf(n));
    const id = journal.find((e) => e.kind === 'sending' && String(e.body['id']).includes('!'))?.body['id'];
    const first = line.attempts.find((a) => a.id === id);
    const raisedAt = (await line.state(phoneOf(n)))?.alerts[0]?.steps[0]?.at;
    if (first === undefined || raisedAt === undefined) return Number.POSITIVE_INFINITY;
    longest = Math.max(longest, first.at - raisedAt);
  }
  return longest;
}

const toLead = (line: AlertsLine) => line.attempts.filter((a) => a.to === counsellorPhones.get('mary'));

describe('a thousand alerts, with a moved clock', () => {
  it('300 with silent counsellors: each is told within 5 s, and stands at the lead, by call too, after 20 minutes', async () => {
    const count = 300;
    const line = started(() => 'takes');
    await tellAll(line, count);
    await line.forward(20 * minute);
    expect(await wrongWithAll(line, count)).toEqual([]);
    expect(await longestToFirstNotice(line, count)).toBeLessThan(5 * second);
    const states = await Promise.all(phones(count).map((p) => line.state(p)));
    for (const [n, state] of states.entries()) {
      expect(state?.alerts[0]?.stage).toBe('notified');
      if (isTierA(n)) expect(state?.alerts[0]?.climbed).toBeGreaterThanOrEqual(3);
    }
    const called = new Set(
      toLead(line)
        .filter((a) => a.kind === 'call')
        .map((a) => a.id.split('.')[0]),
    );
    expect(called.size).toBe(phones(count).filter((_, n) => isTierA(n)).length);
  });

  it('200 with a carrier that refuses every message: each is at the lead within a minute, and goes on', async () => {
    const count = 200;
    const line = started(() => 'refuses');
    await tellAll(line, count);
    await line.forward(minute);
    expect(await wrongWithAll(line, count)).toEqual([]);
    expect(await longestToFirstNotice(line, count)).toBeLessThan(5 * second);
    const before = toLead(line).length;
    await line.forward(10 * minute);
    expect(toLead(line).length).toBeGreaterThan(before);
    expect(await wrongWithAll(line, count)).toEqual([]);
    for (const phone of phones(count)) expect((await line.state(phone))?.alerts[0]?.stage).toBe('raised');
  });

  it('200 with a carrier that answers nothing: each climbs to the lead all the same, and is told when it comes back', async () => {
    const count = 200;
    let mood: CarrierMood = 'unreachable';
    const line = started(() => mood);
    await tellAll(line, count);
    await line.forward(20 * minute);
    expect(await wrongWithAll(line, count)).toEqual([]);
    expect(await longestToFirstNotice(line, count)).toBeLessThan(5 * second);
    for (const phone of phones(count)) expect((await line.state(phone))?.alerts[0]?.stage).toBe('raised');
    mood = 'takes';
    for (let waited = 0; waited < 3; waited++) await line.tick(minute);
    for (const phone of phones(count)) expect((await line.state(phone))?.alerts[0]?.stage).toBe('notified');
  });

  it('300 with a moody carrier, counsellors who answer some, and a process that dies again and again', async () => {
    const count = 300;
    const next = random(8);
    const moods: readonly CarrierMood[] = ['takes', 'takes', 'refuses', 'unreachable', 'loses-answer'];
    const line = started(() => moods[Math.floor(next() * moods.length)] ?? 'takes');
    const ids = [...counsellorPhones.keys()];
    let lives = 1;
    let resolved = 0;
    /** Mothers during whose text the process died. */
    const struck = new Set<number>();
    let telling = 0;
    const closed = new Map<number, string>();
    const alive = async (what: () => Promise<string | undefined>): Promise<void> => {
      // The carrier asks again until there is an answer, as it does on a failed webhook.
      for (let tries = 0; tries < 5; tries++) {
        if (next() < 0.15)
          line.dieAt(line.steps() + 1 + Math.floor(next() * 6), next() < 0.5 ? 'before' : 'after');
        const reply = await what();
        if (line.isDead()) {
          struck.add(telling);
          await line.restart();
          lives++;
        }
        if (reply !== undefined) return;
      }
      throw new Error('five deaths over one text');
    };
    for (let n = 0; n < count; n++) {
      telling = n;
      await alive(() => line.text(phoneOf(n), `danger ${n}`, wordsOf(n)));
      await line.tick(second);
      if (line.isDead()) {
        struck.add(n);
        await line.restart();
        lives++;
        await line.tick(second);
      }
      const one = Math.floor(next() * (n + 1));
      const alert = (await line.state(phoneOf(one)))?.alerts[0];
      const by = ids[Math.floor(next() * ids.length)] ?? 'mary';
      const phone = counsellorPhones.get(by) ?? '';
      if (alert !== undefined && next() < 0.5) await alive(() => line.text(phone, `take ${n}`, alert.code));
      else if (alert !== undefined && alert.stage !== 'resolved' && next() < 0.3) {
        await alive(() => line.text(phone, `close ${n}`, `${alert.code} 4`));
        closed.set(one, by);
        resolved++;
      }
    }
    await line.forward(25 * minute);
    if (line.isDead()) await line.restart();
    await line.forward(minute);
    expect(lives).toBeGreaterThan(20);
    expect(resolved).toBeGreaterThan(10);
    expect(await wrongWithAll(line, count)).toEqual([]);
    // What a dead process held is free when the next one starts.
    expect(await longestToFirstNotice(line, count)).toBeLessThan(5 * second);
    expect(struck.size).toBeLessThan(count / 2);
    for (let n = 0; n < count; n++) {
      const alert = (await line.state(phoneOf(n)))?.alerts[0];
      expect(alert?.stage === 'resolved', `${phoneOf(n)}`).toBe(closed.has(n));
      if (closed.has(n)) expect(alert?.steps.findLast((s) => s.what === 'resolved')?.by).toBe(closed.get(n));
    }
  });
});

describe('one alert, with the process killed at each step of its way', () => {
  /** What happens, in order; each waits until the one before is through. */
  const life: readonly ((line: AlertsLine) => Promise<unknown>)[] = [
    (line) => line.text(phoneOf(0), 'danger', 'my baby has a fit'),
    (line) => line.tick(second),
    (line) => line.forward(10 * minute),
    async (line) => {
      const code = (await line.state(phoneOf(0)))?.alerts[0]?.code ?? '';
      return line.text(counsellorPhones.get('priya') ?? '', 'take', code);
    },
    (line) => line.tick(second),
    (line) => line.forward(2 * hour),
  ];

  async function live(dieAt?: { act: number; step: number; when: 'before' | 'after' }): Promise<AlertsLine> {
    const line = started(() => 'takes');
    for (const [i, act] of life.entries()) {
      if (dieAt?.act === i) line.dieAt(line.steps() + dieAt.step, dieAt.when);
      await act(line);
      if (!line.isDead()) continue;
      await line.restart();
      // The carrier delivers a text again that was not answered; due times come by themselves, after the lease of the dead.
      if (i === 0 || i === 3) await act(line);
      await line.tick(i === 0 || i === 3 ? second : 31 * second);
    }
    return line;
  }

  it('is kept, told and taken wherever it dies, and closed by nobody', async () => {
    const counts: number[] = [];
    const whole = started(() => 'takes');
    for (const act of life) {
      const before = whole.steps();
      await act(whole);
      counts.push(whole.steps() - before);
    }
    let deaths = 0;
    for (const [act, steps] of counts.entries()) {
      for (let step = 1; step <= Math.min(steps, 40); step++) {
        for (const when of ['before', 'after'] as const) {
          const line = await live({ act, step, when });
          const where = `act ${act}, step ${step}, ${when}`;
          expect(await wrongWith(line, 0), where).toEqual([]);
          const alert = (await line.state(phoneOf(0)))?.alerts[0];
          expect(alert?.stage, where).toBe('acknowledged');
          expect(alert?.acknowledgedBy, where).toBe('priya');
          // Nobody is told of it twice by two alerts: it is one alert with one code.
          expect((await line.state(phoneOf(0)))?.alerts, where).toHaveLength(1);
          expect(
            line.attempts.some((a) => a.to === counsellorPhones.get('anita')),
            where,
          ).toBe(true);
          deaths++;
          await line.close();
          open.splice(open.indexOf(line), 1);
        }
      }
    }
    expect(deaths).toBeGreaterThan(40);
    expect(programme.counsellors).toHaveLength(3);
  });
});

describe('the mother who stopped the line', () => {
  it('is not asked whether she reached care: the counsellor is, each morning, until she says what came of it', async () => {
    const line = started(() => 'takes');
    for (const [i, text] of [
      'JOIN',
      '1',
      '26 Feb Asha',
      '1 1 10',
      '1 2.9 Tara',
      'my baby has a fit',
      'STOP',
    ].entries())
      await line.text(phoneOf(0), `text ${i}`, text);
    await line.tick(second);
    const alert = (await line.state(phoneOf(0)))?.alerts[0];
    await line.text(counsellorPhones.get('anita') ?? '', 'take', alert?.code ?? '');
    await line.tick(second);
    const before = line.attempts.length;
    await line.restart();
    await line.forward(2 * hour);
    const since = line.attempts.slice(before);
    expect(since.map((a) => a.to)).toEqual([counsellorPhones.get('anita')]);
    await line.restart();
    await line.forward(22 * hour);
    const next = line.attempts.slice(before + 1).map((a) => a.to);
    expect(next).not.toContain(phoneOf(0));
    expect(next.length).toBeGreaterThan(0);
    await line.text(counsellorPhones.get('anita') ?? '', 'close', `${alert?.code ?? ''} 1`);
    const closedAt = line.attempts.length;
    await line.forward(48 * hour);
    expect(line.attempts.slice(closedAt).filter((a) => a.to !== phoneOf(0))).toEqual([]);
  });
});
