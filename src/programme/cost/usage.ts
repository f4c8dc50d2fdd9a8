import { segmentsOf } from '../../language/sms-segments.ts';

/** What one line used of the carrier in a stretch of time: texts are counted in segments, as they are charged. */
export interface Usage {
  readonly textsOut: number;
  readonly segmentsOut: number;
  readonly textsIn: number;
  readonly segmentsIn: number;
  readonly calls: number;
  /** Each call begun minute counts whole, as it is charged. */
  readonly callMinutes: number;
  /** Segments and calls to counsellors about this line. */
  readonly counsellorSegments: number;
  readonly counsellorCalls: number;
}

/** A journal entry, its body read. */
export interface Entry {
  readonly at: number;
  readonly kind: string;
  readonly body: unknown;
}

export const noUsage: Usage = {
  textsOut: 0,
  segmentsOut: 0,
  textsIn: 0,
  segmentsIn: 0,
  calls: 0,
  callMinutes: 0,
  counsellorSegments: 0,
  counsellorCalls: 0,
};

export function plus(a: Usage, b: Usage): Usage {
  const keys = Object.keys(noUsage) as (keyof Usage)[];
  return Object.fromEntries(keys.map((k) => [k, a[k] + b[k]])) as unknown as Usage;
}

const minuteMs = 60_000;

/**
 * What each entry of a line's journal cost, in order. A message counts once, when it is handed to the outbox; one that the carrier
 * refused is taken back, and one sent again after an unclear answer counts once all the same, so a month's bill can be a little higher.
 * A call's length is from its answer to its end; one whose end was never told lasts until the last key.
 */
export function usageOf(entries: readonly Entry[]): readonly { readonly at: number; readonly used: Usage }[] {
  const segments = segmentCounter();
  const found: { at: number; used: Usage }[] = [];
  const sending = new Map<string, number>();
  let call: { at: number; last: number } | undefined;
  let onCall = false;
  const add = (at: number, used: Partial<Usage>) => found.push({ at, used: { ...noUsage, ...used } });
  const hangUp = () => {
    if (call !== undefined)
      add(call.at, { calls: 1, callMinutes: Math.max(1, Math.ceil((call.last - call.at) / minuteMs)) });
    call = undefined;
    onCall = false;
  };
  for (const { at, kind, body } of entries) {
    switch (kind) {
      case 'text-in':
        onCall = false;
        add(at, { textsIn: 1, segmentsIn: segments(text(body, 'body')) });
        break;
      case 'said':
        // On a call the words are spoken; a text is answered with a text.
        if (text(body, 'words') !== '' && !onCall)
          add(at, { textsOut: 1, segmentsOut: segments(text(body, 'words')) });
        break;
      case 'sending':
        sending.set(text(body, 'id'), found.length);
        add(at, sent(body, segments));
        break;
      case 'counsellor-told':
        add(at, { counsellorSegments: segments(text(body, 'words')) });
        break;
      case 'receipt': {
        // Refused or given up: the carrier asks nothing for it.
        const index = sending.get(text(body, 'message'));
        const first = index === undefined ? undefined : found[index];
        const status = text(body, 'status');
        if (first !== undefined && (status === 'failed' || status === 'gave-up')) first.used = noUsage;
        break;
      }
      case 'call-answered':
        hangUp();
        call = { at, last: at };
        onCall = true;
        break;
      case 'keys':
        if (call === undefined) call = { at, last: at };
        call.last = at;
        onCall = true;
        break;
      case 'call-ended':
        if (call !== undefined) call.last = at;
        hangUp();
        break;
      default:
    }
  }
  hangUp();
  return found.filter(({ used }) => used !== noUsage);
}

function sent(body: unknown, segments: (words: string) => number): Partial<Usage> {
  const isCall = text(body, 'channel') === 'call';
  const words = text(body, 'words');
  if (text(body, 'to') === 'line') return isCall ? {} : { textsOut: 1, segmentsOut: segments(words) }; // A call counts when it is answered.
  return isCall ? { counsellorCalls: 1 } : { counsellorSegments: segments(words) };
}

function text(body: unknown, name: string): string {
  const value = typeof body === 'object' && body !== null ? (body as Record<string, unknown>)[name] : '';
  return typeof value === 'string' ? value : '';
}

/** Counting takes half a millisecond a text, and most texts of a line are said again and again. */
function segmentCounter(): (words: string) => number {
  const known = new Map<string, number>();
  return (words) => {
    const before = known.get(words);
    if (before !== undefined) return before;
    const count = words === '' ? 0 : segmentsOf(words).segments;
    if (known.size < 20_000) known.set(words, count);
    return count;
  };
}
