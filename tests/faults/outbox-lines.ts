import { outcomeOf } from '../../src/dialog/outcome.ts';
import { turn } from '../../src/dialog/turn.ts';
import type { LineState } from '../../src/dialog/line.ts';
import { AlertCodeTaken } from '../../src/errors.ts';
import { lineIdOf } from '../../src/store/sealing.ts';
import type { MessagePurpose, OutboxMessage, Store } from '../../src/store/store.ts';
import { calendar, content, enrolled, programme } from '../dialog/conversation.ts';

/** A message that was put into the outbox. */
export interface Posted {
  readonly id: string;
  readonly purpose: MessagePurpose;
  readonly lineId: OutboxMessage['lineId'];
}

const priorities = { safety: 0, 'check-in': 4, tip: 5 } as const;

/**
 * Lines of invented mothers, each of whom has just told of a danger: the alert of her own turn waits to be sent, and a safety text, a
 * check-in and a tip to her. Numbers are from Ofcom's range for fiction.
 */
export async function postLines(
  store: Store,
  pepper: string,
  many: number,
  now: number,
): Promise<readonly Posted[]> {
  const mother = enrolled().state;
  const posted: Posted[] = [];
  for (let i = 0; i < many; i++) {
    const phone = `+447700900${String(100 + i).padStart(3, '0')}`;
    const lineId = lineIdOf(phone, pepper);
    const state: LineState = { ...mother, phone, carried: [] };
    for (let salt = 0; ; salt++) {
      const event = { kind: 'text', id: `text ${i}`, phone, body: 'my baby has a fit' } as const;
      const draft = turn(lineId, phone, state, event, { now, salt, content, programme, calendar });
      const { commit } = outcomeOf(draft, event);
      const more = (['safety', 'check-in', 'tip'] as const).map(
        (purpose, n): OutboxMessage => ({
          id: `${lineId}.${draft.state.turns}.${90 + n}`,
          lineId,
          channel: 'text',
          to: phone,
          body: `words ${i} ${purpose}`,
          language: 'en',
          purpose,
          priority: priorities[purpose],
          notBefore: now,
          sendBefore: null,
          receiver: 'line',
        }),
      );
      const outbox = [...commit.outbox, ...more];
      try {
        await store.commit({
          ...commit,
          outbox,
          expectedVersion: 0,
          inboundId: event.id,
          reply: '{"kind":"nothing"}',
        });
      } catch (error) {
        if (error instanceof AlertCodeTaken) continue;
        throw error;
      }
      posted.push(...outbox.map(({ id, purpose }) => ({ id, purpose, lineId })));
      break;
    }
  }
  return posted;
}
