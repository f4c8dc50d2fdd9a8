import { createHash } from 'node:crypto';
import { keepFor } from './keep-for.ts';
import type { WholeLine } from './store.ts';

/** What is so near to being forgotten is left out: it may be gone from one copy a moment before the other. */
const marginMs = 60_000;

/**
 * A hash of everything kept of a line, in hex: the same for the same content, whichever store it lies in and whatever key sealed
 * it.
 * @param now epoch milliseconds on the machine's clock; compare hashes made with the same one
 */
export function contentHash(line: WholeLine, now: number): string {
  const replies = line.replies.filter((r) => r.keptAt > now - keepFor.replyMs + marginMs);
  const outbox = line.outbox.filter(
    (m) => m.settledAt === null || m.settledAt > now - keepFor.settledMessageMs + marginMs,
  );
  return createHash('sha256')
    .update(canonical({ ...line, replies, outbox }))
    .digest('hex');
}

/** JSON with the fields of every object in order of name. */
function canonical(value: unknown): string {
  return JSON.stringify(value, (_, each: unknown) =>
    typeof each === 'object' && each !== null && !Array.isArray(each)
      ? Object.fromEntries(Object.entries(each).sort(([a], [b]) => (a < b ? -1 : 1)))
      : each,
  );
}
