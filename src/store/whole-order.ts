import type { WholeMessage } from './store.ts';

/**
 * The messages of a whole line in the one order that both stores give: settled ones by when, then by id; after them those under
 * way as they came.
 */
export function inOrder(messages: readonly WholeMessage[]): readonly WholeMessage[] {
  return messages.toSorted((a, b) => {
    if (a.settledAt === null || b.settledAt === null) return rank(a) - rank(b);
    return a.settledAt - b.settledAt || (a.id < b.id ? -1 : 1);
  });
}

function rank({ settledAt }: WholeMessage): number {
  return settledAt === null ? 1 : 0;
}
