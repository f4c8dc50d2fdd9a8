import type { CounsellorCommand } from '../dialog/event.ts';
import { type Outcome, outcomes } from '../dialog/line.ts';

export type CounsellorText =
  | { readonly kind: 'command'; readonly command: CounsellorCommand }
  | { readonly kind: 'list' }
  | { readonly kind: 'why'; readonly one: string; readonly other: string }
  | { readonly kind: 'unknown' };

/**
 * What a counsellor's text asks for. "4821" takes the alert, "4821 1 went to the clinic" resolves it with outcome 1 and a
 * note, "4821 mother will call back" leaves a note, "list" gives what is open, "why 4821 3405" says why one comes first. Digits of Devanagari count.
 */
export function counsellorText(body: string): CounsellorText {
  const text = body
    .normalize('NFC')
    .replace(/[०-९]/g, (d) => String(d.charCodeAt(0) - 0x0966))
    .trim();
  const why = /^(?:why|kyu|kyun|kyo|क्यों|का)\s*[:,]?\s*(\d{4})\D+(\d{4})\W*$/iu.exec(text);
  if (why !== null) return { kind: 'why', one: why[1] ?? '', other: why[2] ?? '' };
  const parts = /^#?\s*(\d{4})(?:[\s.,:;-]+([\s\S]*))?$/.exec(text);
  if (parts === null)
    return /^(list|open|alerts?|suchi|soochi|yadi|सूची|यादी)\W*$/iu.test(text)
      ? { kind: 'list' }
      : { kind: 'unknown' };
  const code = parts[1] ?? '';
  const rest = (parts[2] ?? '').trim();
  if (rest === '' || /^(ok|yes|haan|ha|mine|theek|ठीक)$/iu.test(rest))
    return { kind: 'command', command: { kind: 'acknowledge', code } };
  const outcome = outcomeOf(rest);
  if (outcome !== undefined) return { kind: 'command', command: { kind: 'resolve', code, ...outcome } };
  return { kind: 'command', command: { kind: 'note', code, note: rest.slice(0, 480) } };
}

/** A single digit standing alone is an outcome; "2 visits so far" is one too, so the reply repeats what was understood. */
function outcomeOf(rest: string): { outcome: Outcome; note: string } | undefined {
  const parts = /^([1-7])(?:[\s.,:;-]+([\s\S]*))?$/.exec(rest);
  const outcome = parts === null ? undefined : outcomes[Number(parts[1]) - 1];
  return outcome === undefined ? undefined : { outcome, note: (parts?.[2] ?? '').trim().slice(0, 480) };
}
