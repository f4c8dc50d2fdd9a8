import type { JournalEntry } from './store.ts';

/** What one turn left besides the state: what was answered, and the facts. Sealed together, in one go. */
export interface TurnRecord {
  /** The reply that was kept for a repeat; undefined when there was no inbound id. */
  readonly reply: string | undefined;
  readonly journal: readonly JournalEntry[];
}

/**
 * A record as text: one line of JSON with the lengths in characters, then all words one after the other, as they are.
 *
 *     [length of the reply or -1, at, kind, length of the body, at, kind, length, ...]
 *
 * `at` is the step from the entry before, the first from zero: the entries of a turn mostly have one instant.
 */
export function turnText({ reply, journal }: TurnRecord): string {
  const head: (number | string)[] = [reply === undefined ? -1 : reply.length];
  let words = reply ?? '';
  let before = 0;
  for (const { at, kind, body } of journal) {
    head.push(at - before, kind, body.length);
    words += body;
    before = at;
  }
  return `${JSON.stringify(head)}\n${words}`;
}

/** The way back from `turnText`. */
export function turnRecordOf(text: string): TurnRecord {
  const cut = text.indexOf('\n');
  const [replyLength, ...rest] = JSON.parse(text.slice(0, cut)) as [number, ...(number | string)[]];
  let from = cut + 1;
  const next = (length: number): string => text.slice(from, (from += length));
  const reply = replyLength < 0 ? undefined : next(replyLength);
  const journal: JournalEntry[] = [];
  let at = 0;
  for (let i = 0; i < rest.length; i += 3) {
    const [step, kind, length] = rest.slice(i, i + 3) as [number, string, number];
    at += step;
    journal.push({ at, kind, body: next(length) });
  }
  return { reply, journal };
}
