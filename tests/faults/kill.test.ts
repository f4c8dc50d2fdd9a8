import { execFileSync } from 'node:child_process';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Answered, audit, type Found } from './audit.ts';
import { type KilledLine, killedLine } from './killed-line.ts';

const root = fileURLToPath(new URL('../../', import.meta.url));
const turns = 200;
const hour = 3_600_000;

/** Where the process kills itself in the lives that do not end from outside. */
const killPoints = [
  'before-commit',
  'during-commit',
  'after-commit',
  'before-send',
  'after-send',
  'before-settle',
  'after-settle',
] as const;

/** Small and good enough to spread kills: mulberry32. The seed is told when the test fails. */
function randomFrom(seed: number): () => number {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = Math.imul(a ^ (a >>> 15), a | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}

const mothers = Array.from({ length: 5 }, (_, i) => `+4477009005${String(10 + i)}`);

/** What a mother texts, in order: she joins and enrols, then answers check-ins; at times she tells of a danger. */
function textOf(mother: number, turn: number, random: () => number): string {
  const enrolment = ['JOIN', 'language', yesterdayOf(Date.now()), '1 1 10', '1 2.9 Tara'];
  const first = enrolment[turn];
  if (first !== undefined) return first;
  if (random() < 0.12)
    return ['my baby has a fit', 'I am bleeding a lot', 'baby has fever'][mother % 3] ?? '';
  return turn % 2 === 1 ? `${8 + (turn % 5)} 3 ${6 + mother} ${1 + (turn % 4)}` : `1 1 all is well ${turn}`;
}

function yesterdayOf(now: number): string {
  const at = new Date(now - 3 * 24 * hour);
  return `${at.getUTCDate()}-${at.getUTCMonth() + 1}-${at.getUTCFullYear()}`;
}

/** Sends are fewer than commits: a life that is to end at a send must not wait long for it. */
function mostPasses(point: (typeof killPoints)[number]): number {
  return point.endsWith('commit') ? 24 : 4;
}

describe('a line that is killed at any moment', () => {
  const seed = Number(process.env.FAULTS_SEED ?? 20_260_302);
  let line: KilledLine;
  let found: Found;
  let lives = 0;
  let retries = 0;

  beforeAll(async () => {
    execFileSync(process.execPath, ['tools/ready.mjs', 'build'], { cwd: root, stdio: 'ignore' });
    line = await killedLine();
    ({ found, lives, retries } = await liveAndDie(line, seed));
  }, 200_000);
  afterAll(() => line.dispose());

  it('was killed and started again many times', () => {
    expect(lives).toBeGreaterThan(10);
    expect(retries).toBeGreaterThan(10);
    const answered = [...found.answered.values()].flat();
    expect(answered.length).toBe(turns);
    expect(found.carried.length).toBeGreaterThan(5);
  });

  it('loses no acknowledged answer and doubles none, nor any message', () => {
    expect(audit(found), `FAULTS_SEED=${seed}`).toEqual([]);
  });

  it('is seen to fail when one entry is dropped or doubled', () => {
    const [phone, journal] = [...found.journals][0] ?? ['', []];
    const at = journal.findLastIndex((e) => e.kind === 'text-in');
    const without = journal.filter((_, i) => i !== at);
    const doubled = [...journal.slice(0, at + 2), ...journal.slice(at)];
    for (const changed of [without, doubled]) {
      expect(audit({ ...found, journals: new Map([...found.journals, [phone, changed]]) })).not.toEqual([]);
    }
  });
});

interface Lived {
  readonly found: Found;
  readonly lives: number;
  /** Texts that had to be sent once more. */
  readonly retries: number;
}

/** Two hundred texts of five mothers while the process keeps dying; every text is sent again until it is answered. */
async function liveAndDie(line: KilledLine, seed: number): Promise<Lived> {
  const random = randomFrom(seed);
  const answered = new Map<string, Answered[]>(mothers.map((phone) => [phone, []]));
  let acknowledged = 0;
  let isOver = false;
  let lives = 0;
  let retries = 0;
  let broken: Error | undefined;

  const untilUp = async (): Promise<void> => {
    while (!line.isReady()) {
      if (broken !== undefined) throw broken;
      await sleep(5);
    }
  };

  const mother = async (index: number): Promise<void> => {
    const phone = mothers[index] ?? '';
    const mine = answered.get(phone) ?? [];
    const own = randomFrom(seed + index);
    for (let turn = 0; turn < turns / mothers.length; turn++) {
      const body = textOf(index, turn, own);
      const text = body === 'language' ? languageAnswer(mine.at(-1)?.reply ?? '') : body;
      await untilUp();
      for (;;) {
        const reply = await line.text(phone, `${index} ${turn}`, text);
        if (reply !== undefined) {
          mine.push({ text, reply });
          acknowledged += 1;
          break;
        }
        retries += 1;
        await untilUp();
      }
    }
  };

  const reaper = async (): Promise<void> => {
    while (!isOver) {
      const isFromOutside = random() < 0.4;
      const point = killPoints[Math.floor(random() * killPoints.length)] ?? 'after-commit';
      const until = acknowledged + 4 + Math.floor(random() * 16);
      await line.start(
        isFromOutside ? undefined : `${point}:${1 + Math.floor(random() * mostPasses(point))}`,
      );
      lives += 1;
      // A point that this life does not reach is no reason to live for ever.
      const patience = Date.now() + (isFromOutside ? 8_000 : 1_500);
      while (!isOver && line.isUp() && acknowledged < until && Date.now() < patience) await sleep(1);
      await sleep(random() * 6);
      await line.kill();
      line.clockForward(2 * hour);
    }
  };

  const reaping = reaper().catch((error: unknown) => {
    broken = error as Error;
  });
  await Promise.all(mothers.map((_, i) => mother(i)));
  isOver = true;
  await reaping;
  // What was taken by the dead is given again when its lease has run out.
  await line.start();
  for (let tries = 0; tries < 200; tries++) {
    const { waitingMessages, dueLines } = await line.backlog();
    if (waitingMessages === 0 && dueLines === 0) break;
    await sleep(50);
  }
  await line.kill();
  return { found: await line.found(answered), lives, retries };
}

/** Where several languages are offered, the number of English in the menu; else any answer to keep the turns in step. */
function languageAnswer(menu: string): string {
  return /(\d+)\s+English\b/.exec(menu)?.[1] ?? 'HELP';
}
