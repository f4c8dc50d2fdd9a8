import type { LineId } from '../../src/dialog/line.ts';
import { lineIdOf } from '../../src/store/sealing.ts';
import type { Store, WholeLine, WholeMessage } from '../../src/store/store.ts';

const dayMs = 86_400_000;
const atOnce = 128;

/** Invented lines as a programme has them after some weeks: history, replies, messages in every state, alerts. */
export function madeLine(n: number, now: number): WholeLine {
  // Lines stand for phones; the numbers themselves repeat within Ofcom's range for fiction.
  const lineId = lineIdOf(`line ${n}`, 'a pepper for tests only');
  const phone = `+447700900${String(n % 1000).padStart(3, '0')}`;
  const turns = 1 + (n % 7);
  const journal = Array.from({ length: turns * 2 }, (_, i) => ({
    seq: i + 1,
    at: now - (turns * 2 - i) * dayMs,
    kind: i % 2 === 0 ? 'told' : 'said',
    body: JSON.stringify({ words: `Words ${i} of line ${n}: आज कितनी बार दूध पिलाया? 9 6 4 0` }),
  }));
  const message = (i: number, rest: Partial<WholeMessage>): WholeMessage => ({
    ...{
      id: `${lineId}.${turns}.${i}`,
      lineId,
      channel: 'text',
      to: phone,
      body: `Message ${i} to line ${n}`,
    },
    ...{
      language: 'hi',
      purpose: 'tip',
      priority: 5,
      notBefore: now + dayMs,
      sendBefore: null,
      receiver: 'line',
    },
    ...{ state: 'waiting', attempts: 0, carrierId: null, why: null },
    ...{ mayHaveBeenSent: false, leaseUntil: 0, settledAt: null },
    ...rest,
  });
  return {
    lineId,
    version: turns,
    state: JSON.stringify({ phone, turns, said: 'x'.repeat(400 + (n % 300)), mother: `Name ${n}` }),
    nextDueAt: n % 5 === 0 ? null : now + (n % 1000) * 60_000,
    journal,
    replies:
      n % 3 === 0
        ? [{ inbound: 1_000_000 + n, reply: `{"kind":"text","body":"Reply ${n}"}`, keptAt: now - 3_600_000 }]
        : [],
    outbox: [
      ...(n % 9 === 0
        ? [message(1, { state: 'gave-up', attempts: 8, why: 'refused', settledAt: now - 7_200_000 })]
        : []),
      ...(n % 4 === 0
        ? [message(0, { state: 'sent', attempts: 1, carrierId: `SM${n}`, settledAt: now - 3_600_000 })]
        : []),
      ...(n % 2 === 0 ? [message(2, {}), message(3, { sendBefore: now + 2 * dayMs })] : []),
    ],
    alerts:
      n % 50 === 0
        ? [
            {
              alertId: `${lineId}.1`,
              lineId,
              code: String(10_000 + n),
              tier: 'A',
              raisedAt: now - dayMs,
              open: true,
            },
            {
              alertId: `${lineId}.2`,
              lineId,
              code: '4821',
              tier: 'C',
              raisedAt: now - 2 * dayMs,
              open: false,
            },
          ]
        : [],
  };
}

/** Writes the first `count` of them; gives their ids. */
export async function fill(store: Store, count: number, now: number): Promise<readonly LineId[]> {
  const ids: LineId[] = [];
  for (let from = 0; from < count; from += atOnce) {
    const some = Array.from({ length: Math.min(atOnce, count - from) }, (_, i) => madeLine(from + i, now));
    await Promise.all(some.map((line) => store.writeLine(line)));
    ids.push(...some.map((line) => line.lineId));
  }
  return ids;
}
