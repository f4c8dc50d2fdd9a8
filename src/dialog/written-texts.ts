import type { Calendar } from '../language/calendar.ts';
import type { OutboxMessage } from '../store/store.ts';
import { withSent } from './carried.ts';
import { count, rowName } from './delivery-tally.ts';
import type { LineState } from './line.ts';

/** The state with the messages that go out with it: remembered for their receipts, texts counted by language and hour. */
export function withWritten(
  state: LineState,
  outbox: readonly OutboxMessage[],
  calendar: Calendar,
): LineState {
  if (outbox.length === 0) return state;
  const sent = outbox.map((message) => {
    const id = message.id.slice(message.lineId.length + 1);
    return message.channel === 'call'
      ? { id, status: 'accepted' }
      : { id, status: 'accepted', row: rowFor(message, calendar) };
  });
  const delivery = sent.reduce(
    (tally, { row }) => (row === undefined ? tally : count(tally, row, { written: 1 })),
    state.delivery ?? {},
  );
  return { ...state, carried: withSent(state.carried ?? [], sent), delivery };
}

function rowFor({ notBefore, receiver, language }: OutboxMessage, calendar: Calendar): string {
  return rowName({
    month: calendar.day(notBefore).slice(0, 7),
    to: receiver === 'line' ? 'mother' : 'counsellor',
    language,
    hour: Math.floor(calendar.minuteOfDay(notBefore) / 60),
  });
}
