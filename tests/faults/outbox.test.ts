import { cpSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as after } from 'node:timers/promises';
import { describe, expect, it } from 'vitest';
import { openSealer, readSealingKeys } from '../../src/store/sealing.ts';
import { openSqliteStore } from '../../src/store/sqlite/sqlite-store.ts';
import type { OutboxRecord } from '../../src/store/store.ts';
import { carrierRest } from '../stand-in/carrier-rest.ts';
import { field } from '../stand-in/rest-answers.ts';
import { seeded } from '../stand-in/seeded.ts';
import { type OutboxFound, outboxFaults } from './outbox-audit.ts';
import { postLines } from './outbox-lines.ts';
import { type WorkerProcess, workerProcess } from './outbox-worker-process.ts';

const account = `AC${'4d'.repeat(16)}`;
const authToken = 'a-token-for-the-outbox-0123456789';
const publicUrl = 'https://line.example.test';
const pepper = 'a-pepper-for-the-outbox-0123456789';
const sealingKeys = `test:${Buffer.alloc(32, 3).toString('base64')}`;
/** A minute of waiting is two seconds of the test; a lease that a dead worker left is over in half a second. */
const clockSpeed = 30;

/** Where a worker kills itself; in between it is killed from outside as the carrier takes a message, before it is answered. */
const points = [
  'after-take:1',
  'after-settle-sent:9',
  'after-settle-gave-up:1',
  'before-told:2',
  'after-settle-again:1',
];

interface Run {
  readonly lines: number;
  readonly kills: number;
  readonly seed: number;
  /** How often an answer is lost; 0.05 unless told. */
  readonly timeOut?: number;
  readonly plant?: string;
}

/** Sends all that waits through a carrier with every kind of trouble, killing the worker so many times on the way. */
async function sendThroughTrouble({
  lines,
  kills,
  seed,
  timeOut = 0.05,
  plant,
}: Run): Promise<OutboxFound & { readonly killed: number }> {
  const dir = mkdtempSync(join(tmpdir(), 'eightfeeds-outbox-'));
  const file = join(dir, 'line.db');
  const content = slimContent(dir);
  const open = () => openSqliteStore({ file, sealer: openSealer(readSealingKeys(sealingKeys)) });
  const clockFrom = Date.now();
  const first = open();
  const posted = await postLines(first, pepper, lines, clockFrom);
  await first.close();

  const taken: string[] = [];
  let port = 0;
  let onTaken = (): void => undefined;
  const rest = await carrierRest({
    seed,
    chances: { timeOut, serverError: 0.05, tooMany: 0.02 },
    delayMs: 8,
    onAccepted: (request) => {
      taken.push(new URL(field(request, 'StatusCallback') ?? '').searchParams.get('outbox') ?? 'none');
      onTaken();
    },
    receipts: {
      authToken,
      listenUrl: () => `http://127.0.0.1:${port}`,
      ...{ shuffled: 0.5, repeated: 0.3, lost: 0.05, undelivered: 0.05, latestMs: 30 },
    },
  });
  const random = seeded(seed + 1);
  const plan = {
    ...{ file, pepper, sealingKeys, account, authToken, publicUrl, clockFrom, clockSpeed },
    ...{ restUrl: rest.url, lineNumber: '+447700900008', timeoutMs: 400 },
    ...(plant === undefined ? {} : { plant }),
  };
  let killed = 0;
  let complaints = '';
  const isDone = async (worker: WorkerProcess): Promise<boolean> => {
    const left = await worker.left();
    return left !== undefined && left.waiting === 0 && left.untold === 0;
  };
  const workers = [workerProcess(content), workerProcess(content)];
  try {
    for (;;) {
      const worker = workers.shift();
      if (worker === undefined) throw new Error('no worker is ready');
      const isLast = killed >= kills;
      if (!isLast) workers.push(workerProcess(content));
      const byItself = killed % 2 === 0 ? points[(killed / 2) % points.length] : undefined;
      const killAt = isLast ? undefined : byItself;
      const begun = await worker.begin({ ...plan, ...(killAt === undefined ? {} : { killAt }) });
      if (begun !== undefined) port = begun;
      // So many that every worker gets to work, and so few that some are left for the last one.
      let still = isLast ? Infinity : Math.ceil(random() * ((posted.length / kills) * 0.8));
      onTaken = () => {
        still -= 1;
        if (still <= 0 && (killAt === undefined || still <= -20)) worker.kill();
      };
      const until = Date.now() + 40_000;
      let over = false;
      void worker.gone.then(() => {
        over = true;
      });
      let done = false;
      while (!over && !done) {
        await after(25);
        done = await isDone(worker);
        if (Date.now() > until) throw new Error(`a worker did not come to an end:\n${worker.complaints()}`);
      }
      if (!over) {
        await rest.receiptsSettled();
        worker.kill();
      }
      await worker.gone;
      onTaken = () => undefined;
      complaints += worker.complaints();
      if (done && isLast) break;
      killed += 1;
    }
    expect(complaints).toBe('');
    const store = open();
    const records = new Map<string, OutboxRecord | undefined>();
    for (const { id } of posted) records.set(id, await store.message(id));
    const told: { readonly status: string; readonly message: string }[] = [];
    for (const lineId of new Set(posted.map((p) => p.lineId))) {
      const journal = await store.journal(lineId, 10_000);
      const receipts = journal.filter((entry) => entry.kind === 'receipt');
      told.push(...receipts.map((entry) => JSON.parse(entry.body) as { status: string; message: string }));
    }
    const toldOf = (status: string) => new Set(told.filter((t) => t.status === status).map((t) => t.message));
    const { waitingMessages } = await store.backlog(clockFrom + 365 * 86_400_000);
    const left = waitingMessages + (await store.untold(1_000)).length;
    await store.close();
    return {
      posted,
      taken,
      records,
      toldNotSent: toldOf('not-sent'),
      toldTaken: toldOf('taken'),
      left,
      killed,
    };
  } finally {
    for (const worker of workers) worker.kill();
    await rest.close();
    rmSync(dir, { recursive: true, force: true });
  }
}

/** Flows and English alone, no danger words: a worker that sends reads no texts, and one that is killed 20 times must start quickly. */
function slimContent(dir: string): string {
  const root = join(dir, 'content');
  mkdirSync(join(root, 'locales'), { recursive: true });
  cpSync('flows', join(root, 'flows'), { recursive: true });
  cpSync('locales/en', join(root, 'locales/en'), { recursive: true });
  writeFileSync(join(root, 'locales/en/danger.yaml'), '{}\n');
  return root;
}

describe('an outbox whose carrier fails and whose worker is killed 20 times', () => {
  it('sends every safety text and alert, no check-in or tip twice, and leaves nothing behind', async () => {
    const found = await sendThroughTrouble({ lines: 80, kills: 20, seed: 7 });
    expect(found.killed).toBe(20);
    expect(outboxFaults(found)).toEqual([]);
    // The troubles were really met: some urgent ones went twice, some routine ones were given up and told.
    expect(found.taken.length).toBeGreaterThan(new Set(found.taken).size);
    expect([...found.records.values()].filter((r) => r?.state === 'gave-up').length).toBeGreaterThan(0);
  });

  it.each([
    ['send-blindly', /(check-in|tip) .* was sent \d times/],
    ['tell-nobody', /does not know/],
  ])('would be seen to fail: %s', async (plant, fault) => {
    const found = await sendThroughTrouble({ lines: 24, kills: 2, seed: 11, timeOut: 0.2, plant });
    expect(outboxFaults(found).join('\n')).toMatch(fault);
  });
});
