import { compileNearWords } from './danger/near-words.ts';
import { consonantKey, soundKey } from './danger/sound-key.ts';
import { textTokens } from './danger/text-tokens.ts';
import { remembered } from './remembered.ts';

/** The names of one language: by id, a name, and other spellings separated by commas. */
export interface NamesOfLanguage {
  readonly language: string;
  readonly names: Readonly<Record<string, string>>;
  readonly spelled: Readonly<Record<string, string>>;
}

/** A name of several words. */
export interface LongName {
  readonly words: readonly string[];
  readonly id: string;
}

/** Names prepared for looking up. All keys are without spaces. */
export interface NameIndex {
  /** How a word sounds. */
  readonly sound: (word: string) => string;
  /** As it is written: goes before the sound, which til and tel share. */
  readonly written: ReadonlyMap<string, string>;
  /** By its sound. */
  readonly exact: ReadonlyMap<string, string>;
  /** Sounds that a mistyped one could be. */
  readonly near: (key: string) => readonly string[];
  /** Names without vowels; null when two things share one. */
  readonly bones: ReadonlyMap<string, string | null>;
  /** Names of one word, as written, by their first letter. */
  readonly single: ReadonlyMap<string, readonly (readonly [string, string])[]>;
  /** Names of several words, by each of their words. */
  readonly long: ReadonlyMap<string, readonly LongName[]>;
  readonly clashes: readonly NameClash[];
}

/** One way of writing for two things: `first` is the one that is read. */
export interface NameClash {
  readonly language: string;
  readonly part: 'names' | 'spelled';
  readonly written: string;
  readonly first: string;
  readonly second: string;
}

/** Names written alike that mean two things, since only one can be read. */
export const nameClashes = (languages: readonly NamesOfLanguage[]): readonly NameClash[] =>
  indexNames(languages).clashes;

/** Prepares the names of all languages together. */
export function indexNames(languages: readonly NamesOfLanguage[]): NameIndex {
  const written = new Map<string, string>();
  const exact = new Map<string, string>();
  const bones = new Map<string, string | null>();
  const single = new Map<string, (readonly [string, string])[]>();
  const long = new Map<string, LongName[]>();
  const clashes: NameClash[] = [];
  // Every language's first name goes before any other spelling, so that a spelling never takes a name away.
  for (const part of ['names', 'spelled'] as const) {
    for (const entry of languages) {
      for (const [id, listed] of Object.entries(entry[part])) {
        for (const name of listed.split(',')) {
          const spelled = textTokens(name).tokens.map(({ word }) => word);
          const key = spelled.map(soundKey).join('');
          if (key === '') continue;
          const letters = spelled.join('');
          const taken = written.get(letters) ?? id;
          if (taken !== id)
            clashes.push({ language: entry.language, part, written: name.trim(), first: taken, second: id });
          written.set(letters, taken);
          const [first] = spelled;
          if (spelled.length === 1 && first !== undefined)
            push(single, first.slice(0, 1), [first, taken] as const);
          else for (const word of new Set(spelled)) push(long, word, { words: spelled, id: taken });
          if (!exact.has(key)) exact.set(key, id);
          // The sound key drops a last n, which a mother who leaves out vowels still types.
          for (const bare of new Set([
            consonantKey(key),
            letters.endsWith('n') ? `${consonantKey(key)}n` : '',
          ])) {
            const other = bones.get(bare);
            if (other === undefined) bones.set(bare, id);
            else if (other !== id) bones.set(bare, null);
          }
        }
      }
    }
  }
  const near = remembered(compileNearWords(exact.keys()).near);
  return { sound: remembered(soundKey), written, exact, near, bones, single, long, clashes };
}

function push<T>(lists: Map<string, T[]>, key: string, value: T): void {
  const list = lists.get(key);
  if (list === undefined) lists.set(key, [value]);
  else list.push(value);
}
