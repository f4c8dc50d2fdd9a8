import type { OutboxRecord } from '../../src/store/store.ts';

/** One text that was answered with a 200: what she wrote and what she was told, in the order in which she wrote. */
export interface Answered {
  readonly text: string;
  readonly reply: string;
}

/** All that was found after the last restart. */
export interface Found {
  /** By phone number, what each mother knows to have been taken. */
  readonly answered: ReadonlyMap<string, readonly Answered[]>;
  /** By phone number of a mother; those of other lines, such as a counsellor's own, by line id. */
  readonly journals: ReadonlyMap<string, readonly { readonly kind: string; readonly body: unknown }[]>;
  /** Ids of what the carrier took, in order; a message sent twice stands twice. */
  readonly carried: readonly string[];
  /** By id, each message that a journal speaks of or the carrier took, as the store has it. */
  readonly messages: ReadonlyMap<string, OutboxRecord | undefined>;
  readonly now: number;
}

/** Purposes whose doubling is better than silence; anything else may never go out twice. */
const mayDouble: ReadonlySet<string> = new Set(['safety', 'alert', 'reply', 'sign-in']);

/** Everything that was lost, doubled or made up, a sentence each; nothing when all is well. */
export function audit(found: Found): readonly string[] {
  const problems: string[] = [];
  const known = new Set<string>();
  for (const [phone, answered] of found.answered) {
    const journal = found.journals.get(phone) ?? [];
    const kept = turnsIn(journal);
    if (kept.length !== answered.length)
      problems.push(`${phone}: ${answered.length} texts were answered and ${kept.length} are kept`);
    answered.forEach(({ text, reply }, i) => {
      const turn = kept[i];
      if (turn?.text !== text)
        problems.push(`${phone}: text ${i + 1} was "${text}" and is kept as "${turn?.text}"`);
      else if (turn.reply !== reply) problems.push(`${phone}: the reply to "${text}" is kept as another`);
    });
  }
  for (const { kind, body } of [...found.journals.values()].flat()) {
    if (kind === 'sending') known.add((body as { id: string }).id);
  }
  for (const id of known) {
    const message = found.messages.get(id);
    if (message === undefined) problems.push(`message ${id} is lost`);
    else if (message.state === 'sent' && !found.carried.includes(id))
      problems.push(`message ${id} is marked as sent and was not`);
    else if (message.state === 'waiting' && message.notBefore <= found.now)
      problems.push(`message ${id} still waits`);
  }
  const times = new Map<string, number>();
  for (const id of found.carried) times.set(id, (times.get(id) ?? 0) + 1);
  for (const [id, count] of times) {
    // A counsellor's own digest is in the store alone; what neither a journal nor the store knows was made up.
    if (!known.has(id) && found.messages.get(id) === undefined)
      problems.push(`message ${id} went out and nothing tells of it`);
    const purpose = found.messages.get(id)?.purpose ?? '';
    if (count > 1 && !mayDouble.has(purpose))
      problems.push(`message ${id} (${purpose}) went out ${count} times`);
  }
  return [...problems, ...disordered(found)];
}

/** What an audit of alerts finds wrong: each of these mothers told of a danger, once or more, and a person must know. */
export function auditAlerts(found: Found, alarmed: readonly string[]): readonly string[] {
  return alarmed.flatMap((phone) => {
    const journal = found.journals.get(phone) ?? [];
    const raised = journal.filter((e) => e.kind === 'alert-raised').length;
    const told = journal.filter(
      ({ kind, body }) =>
        kind === 'sending' &&
        (body as { purpose: string }).purpose === 'alert' &&
        found.carried.includes((body as { id: string }).id),
    );
    return [
      ...(raised === 1 ? [] : [`${phone}: ${raised} alerts were raised and not one`]),
      ...(told.length > 0 ? [] : [`${phone}: nobody was told of the alert`]),
    ];
  });
}

/**
 * Messages of one line to one receiver that went out before an earlier one of the same urgency: what was sent again later counts by
 * its first time. Ids tell the order: the line's turn, and the place within it.
 */
function disordered({ carried, messages }: Found): readonly string[] {
  const last = new Map<string, { readonly id: string; readonly turn: number; readonly place: number }>();
  const problems: string[] = [];
  for (const id of new Set(carried)) {
    const message = messages.get(id);
    const [, turn, place] = /\.(\d+)\.(\d+)(?:!|$)/.exec(id) ?? [];
    if (message === undefined || turn === undefined || place === undefined) continue;
    const queue = `${message.lineId} ${message.receiver} ${message.priority}`;
    const before = last.get(queue);
    const mine = { id, turn: Number(turn), place: Number(place) };
    if (before !== undefined && (before.turn - mine.turn || before.place - mine.place) > 0)
      problems.push(`message ${id} went out after ${before.id}, which was written later`);
    else last.set(queue, mine);
  }
  return problems;
}

/** Each text in a journal with what was said to it: what stands between it and the next event. */
function turnsIn(journal: readonly { readonly kind: string; readonly body: unknown }[]): readonly Answered[] {
  const turns: { text: string; reply: string }[] = [];
  let current: { text: string; reply: string } | undefined;
  for (const { kind, body } of journal) {
    if (kind === 'text-in') {
      current = { text: (body as { body: string }).body, reply: '' };
      turns.push(current);
    } else if (kind === 'said' && current !== undefined && 'words' in (body as object)) {
      current.reply = (body as { words: string }).words;
      current = undefined;
    }
  }
  return turns;
}
