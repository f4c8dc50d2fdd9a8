import type { JournalEntry, WholeReply } from './store.ts';

/** What several turns left, and the messages that were settled, to be sealed as one. */
export interface Pack {
  readonly journal: readonly JournalEntry[];
  readonly replies: readonly WholeReply[];
  /** Each as the store keeps it; no newline. */
  readonly messages: readonly string[];
}

const reply = '!';
const message = '#';

/**
 * The pack that a text was made of, a line each. So it was before lines at rest were shrunk; nothing writes it any more.
 *
 *     <step from the entry before, base 36> <kind> <body>
 *     !<inbound, base 36> <kept at, base 36> <reply>
 *     #<message>
 */
export function packOf(text: string): Pack {
  const journal: JournalEntry[] = [];
  const replies: WholeReply[] = [];
  const messages: string[] = [];
  let before = 0;
  for (const line of text === '' ? [] : text.split('\n')) {
    if (line.startsWith(message)) {
      messages.push(line.slice(1));
      continue;
    }
    const first = line.indexOf(' ');
    const second = line.indexOf(' ', first + 1);
    const [one, two, words] = [line.slice(0, first), line.slice(first + 1, second), line.slice(second + 1)];
    if (one.startsWith(reply)) {
      const [inbound, keptAt] = [Number.parseInt(one.slice(1), 36), Number.parseInt(two, 36)];
      replies.push({ inbound, keptAt, reply: plain(words) });
    } else {
      before += one === '' ? 0 : Number.parseInt(one, 36);
      journal.push({ at: before, kind: plain(two), body: plain(words) });
    }
  }
  return { journal, replies, messages };
}

function plain(text: string): string {
  return text.replace(/\\(.)/g, (_, one: string) => (one === 'n' ? '\n' : one === 's' ? ' ' : one));
}
