import type { CounsellorCommand } from '../dialog/event.ts';
import { type Outcome, outcomes } from '../dialog/line.ts';
import { type CounsellorWords, plainWords } from './counsellor-words.ts';

export type CounsellorText =
  | { readonly kind: 'command'; readonly command: CounsellorCommand }
  /** `to` is a name as she typed it. */
  | { readonly kind: 'give'; readonly code: string; readonly to: string }
  | { readonly kind: 'list' }
  | { readonly kind: 'why'; readonly one: string; readonly other: string }
  /** What stands behind the word: number, birthday, birth weight, language. */
  | { readonly kind: 'enrol'; readonly rest: string }
  | { readonly kind: 'off' | 'on' }
  | { readonly kind: 'unknown' };

/** Longest note or message that is kept, in characters: three texts. */
const longestWords = 480;

/**
 * What a counsellor's text asks for. "4821" takes the alert, "4821 1 went to the clinic" closes it with outcome 1 and a note,
 * "4821 ?" asks for her answers, "4821 say …" writes to her, "4821 give mary" hands it on, "4821 open" opens it again, and any
 * other words are a note. Without a code: list, why and two codes, enrol, off, on. Digits of Devanagari count.
 * @param words what is understood for each of these, in all languages
 */
export function counsellorText(body: string, words: CounsellorWords): CounsellorText {
  const text = body
    .normalize('NFC')
    .replace(/[०-९]/g, (d) => String(d.charCodeAt(0) - 0x0966))
    .trim();
  const coded = /^#?\s*(\d{4})(?![\d])(?:[\s.,:;-]*([\s\S]*))?$/.exec(text);
  return coded === null ? withoutCode(text, words) : withCode(coded[1] ?? '', (coded[2] ?? '').trim(), words);
}

function withCode(code: string, rest: string, words: CounsellorWords): CounsellorText {
  const command = (c: CounsellorCommand): CounsellorText => ({ kind: 'command', command: c });
  if (rest === '' || behind(rest, words.take) === '') return command({ kind: 'acknowledge', code });
  if (/^[?？]+$/.test(rest) || behind(rest, words.answers) === '') return command({ kind: 'answers', code });
  if (behind(rest, words.open) === '') return command({ kind: 'reopen', code });
  const outcome = outcomeOf(rest);
  if (outcome !== undefined) return command({ kind: 'resolve', code, ...outcome });
  const to = behind(rest, words.give);
  // A name is one word or two; more is a note that happens to begin so.
  if (to !== undefined && to !== '' && to.split(' ').length <= 2) return { kind: 'give', code, to };
  const said = behind(rest, words.say);
  if (said !== undefined && said !== '') return command({ kind: 'say', code, words: said });
  return command({ kind: 'note', code, note: rest.slice(0, longestWords) });
}

function withoutCode(text: string, words: CounsellorWords): CounsellorText {
  if (behind(text, words.list) === '') return { kind: 'list' };
  const codes = /^(\d{4})\D+(\d{4})\W*$/.exec(behind(text, words.why) ?? '');
  if (codes !== null) return { kind: 'why', one: codes[1] ?? '', other: codes[2] ?? '' };
  const rest = behind(text, words.enrol);
  if (rest !== undefined) return { kind: 'enrol', rest };
  if (behind(text, words.off) === '') return { kind: 'off' };
  if (behind(text, words.on) === '') return { kind: 'on' };
  return { kind: 'unknown' };
}

/** What stands behind one of the words at the beginning; '' when there is nothing more, undefined when it is none of them. */
function behind(text: string, words: readonly string[]): string | undefined {
  for (const word of words) {
    const parts = word.split(' ').map((part) => part.replace(/[.*+?^${}()|[\]\\]/g, '\\$&'));
    const found = new RegExp(
      `^${parts.join('\\s+')}(?![\\p{L}\\p{M}\\p{N}])[\\s.,:;!।-]*([\\s\\S]*)$`,
      'iu',
    ).exec(text);
    if (found !== null) return (found[1] ?? '').replace(/\s+/g, ' ').trim();
  }
  return undefined;
}

/** A single digit standing alone is an outcome; "2 visits so far" is one too, so the reply repeats what was understood. */
function outcomeOf(rest: string): { outcome: Outcome; note: string } | undefined {
  const parts = /^([1-7])(?:[\s.,:;-]+([\s\S]*))?$/.exec(rest);
  const outcome = parts === null ? undefined : outcomes[Number(parts[1]) - 1];
  return outcome === undefined
    ? undefined
    : { outcome, note: (parts?.[2] ?? '').trim().slice(0, longestWords) };
}

/** The one counsellor whom a name means: her id or name, or the beginning of just one of them. */
export function counsellorNamed<T extends { readonly id: string; readonly name: string }>(
  people: readonly T[],
  name: string,
): T | undefined {
  const wanted = plainWords(name).replace(/[.!।]+$/u, '');
  const exact = people.filter((c) => c.id === wanted || plainWords(c.name) === wanted);
  if (exact.length > 0) return exact.length === 1 ? exact[0] : undefined;
  const begun = people.filter((c) => plainWords(c.name).startsWith(wanted));
  return wanted !== '' && begun.length === 1 ? begun[0] : undefined;
}
