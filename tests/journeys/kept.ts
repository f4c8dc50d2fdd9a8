import type { Store, WholeLine } from '../../src/store/store.ts';

/** A line of the programme as it is kept, without what only the machine's clock or a throw of dice decides. */
export interface KeptLine {
  readonly lineId: string;
  readonly version: number;
  readonly state: unknown;
  readonly nextDueAt: number | null;
  /** Each entry as `at kind body`, in order. */
  readonly journal: readonly string[];
  /** Each reply that may be asked for again, in order, and the inbound id it answers. */
  readonly replies: readonly string[];
  /** Each message with all its fields, by id. */
  readonly messages: readonly string[];
  readonly alerts: readonly string[];
}

/** Everything that came of a journey: what is kept of every line, and what was given to the carrier, in order. */
export interface Kept {
  readonly lines: readonly KeptLine[];
  readonly sent: readonly string[];
}

/** Reads everything back from a store, before it is closed. */
export async function keptIn(store: Store, sent: readonly object[]): Promise<Kept> {
  const ids = [...(await store.lineIds(100_000))].sort();
  const lines: KeptLine[] = [];
  for (const id of ids) {
    const whole = await store.readLine(id);
    if (whole === undefined) throw new Error(`Line ${id} is among the ids and cannot be read.`);
    lines.push(keptLine(whole));
  }
  return { lines, sent: sent.map(inOrderOfName) };
}

/**
 * Left out: when a reply was kept, when a message was settled and until when one is held, since those are told by the machine's
 * clock and not by the journey's. Nothing of the journal is.
 */
function keptLine({
  lineId,
  version,
  state,
  nextDueAt,
  journal,
  replies,
  outbox,
  alerts,
}: WholeLine): KeptLine {
  return {
    ...{ lineId, version, nextDueAt, state: JSON.parse(state) as unknown },
    journal: journal.map(({ seq, at, kind, body }) => `${seq} ${at} ${kind} ${body}`),
    replies: replies.map(({ inbound, reply }) => `${inbound} ${reply}`),
    messages: outbox
      .map((m) => inOrderOfName({ ...m, settledAt: m.settledAt !== null, leaseUntil: m.leaseUntil > 0 }))
      .sort(),
    alerts: alerts.map(inOrderOfName),
  };
}

/** What is not the same in both, a sentence each; nothing when all is. */
export function differences(one: Kept, other: Kept): readonly string[] {
  const ids = listed('line', lineIds(one), lineIds(other));
  const within = one.lines.flatMap((line) => {
    const twin = other.lines.find(({ lineId }) => lineId === line.lineId);
    return twin === undefined ? [] : lineDifferences(line, twin);
  });
  return [...ids, ...within, ...listed('sent', one.sent, other.sent)];
}

function lineDifferences(one: KeptLine, other: KeptLine): readonly string[] {
  const of = (what: string) => `line ${one.lineId.slice(0, 6)}, ${what}`;
  return [
    ...listed(of('version'), [String(one.version)], [String(other.version)]),
    ...listed(of('state'), [JSON.stringify(one.state)], [JSON.stringify(other.state)]),
    ...listed(of('next due time'), [String(one.nextDueAt)], [String(other.nextDueAt)]),
    ...listed(of('journal'), one.journal, other.journal),
    ...listed(of('reply'), one.replies, other.replies),
    ...listed(of('message'), one.messages, other.messages),
    ...listed(of('alert'), one.alerts, other.alerts),
  ];
}

/** Entry by entry, each in its place. */
function listed(what: string, one: readonly string[], other: readonly string[]): readonly string[] {
  return Array.from({ length: Math.max(one.length, other.length) }, (_, i) => i).flatMap((i) =>
    one[i] === other[i] ? [] : [`${what} ${i + 1}: ${one[i] ?? 'nothing'} | ${other[i] ?? 'nothing'}`],
  );
}

function lineIds({ lines }: Kept): readonly string[] {
  return lines.map(({ lineId }) => lineId);
}

function inOrderOfName(of: object): string {
  return JSON.stringify(Object.fromEntries(Object.entries(of).sort(([a], [b]) => (a < b ? -1 : 1))));
}
