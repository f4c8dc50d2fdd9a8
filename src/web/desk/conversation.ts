import { z } from 'zod';
import type { LineId } from '../../dialog/line.ts';
import type { Store } from '../../store/store.ts';

/** One thing that was said on a line, by her or to her. */
export interface Said {
  readonly seq: number;
  readonly at: number;
  readonly who: 'her' | 'line';
  readonly how: 'text' | 'keys' | 'ring' | 'call';
  readonly words: string;
}

/** The latest of a conversation, oldest first, and how many there are in all. */
export interface Conversation {
  readonly latest: readonly Said[];
  readonly count: number;
}

const journalPage = 1_000;
const heard = z.object({ body: z.string() });
const spoken = z.object({ words: z.string() });
const pressed = z.object({ digits: z.string() });
const sent = z.object({ to: z.string(), channel: z.enum(['text', 'call']), words: z.string() });

/** What passed between her and the line, from the line's journal: at most `limit` of the latest. */
export async function readConversation(store: Store, lineId: LineId, limit: number): Promise<Conversation> {
  const latest: Said[] = [];
  let count = 0;
  for (let after = 0; ; ) {
    const page = await store.journal(lineId, journalPage, after);
    for (const { seq, at, kind, body } of page) {
      const said = saidIn(kind, JSON.parse(body));
      if (said === undefined) continue;
      count += 1;
      latest.push({ seq, at, ...said });
      if (latest.length > limit) latest.shift();
    }
    const last = page.at(-1);
    if (last === undefined || page.length < journalPage) return { latest, count };
    after = last.seq;
  }
}

function saidIn(kind: string, body: unknown): Pick<Said, 'who' | 'how' | 'words'> | undefined {
  switch (kind) {
    case 'text-in':
      return { who: 'her', how: 'text', words: heard.safeParse(body).data?.body ?? '' };
    case 'keys':
      return { who: 'her', how: 'keys', words: pressed.safeParse(body).data?.digits ?? '' };
    case 'call-rang':
      return { who: 'her', how: 'ring', words: '' };
    case 'said': {
      // A thank-you is noted with her text under `body`; that text is told already.
      const words = spoken.safeParse(body).data?.words;
      return words === undefined ? undefined : { who: 'line', how: 'text', words };
    }
    case 'sending': {
      const message = sent.safeParse(body).data;
      return message?.to === 'line' ? { who: 'line', how: message.channel, words: message.words } : undefined;
    }
    default:
      return undefined;
  }
}
