import type { LineId } from '../../src/dialog/line.ts';
import type { OutboxRecord, Store } from '../../src/store/store.ts';
import type { Answered, Found } from './audit.ts';

/** Reads again everything that is kept, for the audit. `carried`: ids of what the carrier took, in order. */
export async function foundIn(
  store: Store,
  answered: ReadonlyMap<string, readonly Answered[]>,
  lineOf: (phone: string) => LineId,
  carried: readonly string[],
  now: number,
): Promise<Found> {
  const journals = new Map<string, readonly { kind: string; body: unknown }[]>();
  const messages = new Map<string, OutboxRecord | undefined>();
  const phoneOf = new Map([...answered.keys()].map((p) => [lineOf(p), p] as const));
  for (const lineId of await store.lineIds(10_000)) {
    const entries = await store.journal(lineId, 100_000);
    const journal = entries.map(({ kind, body }) => ({ kind, body: JSON.parse(body) as unknown }));
    journals.set(phoneOf.get(lineId) ?? lineId, journal);
    for (const { kind, body } of journal) {
      if (kind !== 'sending') continue;
      const { id } = body as { id: string };
      messages.set(id, await store.message(id));
    }
  }
  for (const id of carried) if (!messages.has(id)) messages.set(id, await store.message(id));
  return { answered, journals, carried, messages, now };
}

/** The words of a reply to a text, as the network reads them; several messages a line each. */
export function wordsIn(twiml: string): string {
  return [...twiml.matchAll(/<Message[^>]*>([^<]*)<\/Message>/g)]
    .map(([, inside = '']) => inside)
    .join('\n')
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&quot;', '"')
    .replaceAll('&apos;', "'")
    .replaceAll('&amp;', '&');
}
