import type { BabySignCode, MotherSignCode, SignDetail } from '../../care/signs.ts';
import { ContentError } from '../../errors.ts';
import { type DangerFile, type PhraseEntry, readDangerFile, type SignEntry } from './danger-file.ts';
import { type PhraseItem, phraseItems } from './phrase-items.ts';
import { contextSlots, implied, type ReaderSlot, readerSlots } from './reader-slots.ts';
import { type Vocabulary, VocabularyBuilder } from './vocabulary.ts';

/** What a found phrase says: which sign it is for the baby, for the mother, and when nobody is named. */
export interface SignMeaning {
  readonly baby: BabySignCode | undefined;
  readonly mother: MotherSignCode | undefined;
  readonly unknown: 'baby' | 'mother' | 'both';
  /** A thing that happened and matters though it is over, like a fit: told as past it is unsure, never dropped. */
  readonly lasting: boolean;
  /** The same person's sign whoever is named beside it: a mother's thought of harming the baby is hers. */
  readonly whoever: boolean;
  /** A denial only makes it unsure: thoughts of harm. */
  readonly neverDenied: boolean;
}

/** One phrase ready for matching: each item is filled by any of its slots. */
export interface DangerPhrase {
  readonly items: readonly (readonly number[])[];
  readonly ordered: boolean;
  readonly gap: number;
  readonly unless: readonly number[];
  readonly unsure: boolean;
  /** Counts only where nothing but the one spoken of and an "is" stands beside it: "dudh nahi". */
  readonly alone: boolean;
  readonly detail: SignDetail;
  readonly meaning: SignMeaning;
  /** False when the phrase has its own "not": then another "not" does not undo it. */
  readonly negatable: boolean;
}

/** All languages' danger phrases, prepared once for `readDanger`. */
export interface DangerPhrases {
  readonly vocabulary: Vocabulary;
  readonly slot: Readonly<Record<ReaderSlot, number>>;
  /** By the slot of the first item. */
  readonly phrases: ReadonlyMap<number, readonly DangerPhrase[]>;
  readonly harmless: ReadonlyMap<number, readonly (readonly (readonly number[])[])[]>;
  /** Slots that follow a "not" in some phrase ("not feeding"): a "not" before them is not about what follows. */
  readonly takesNot: ReadonlySet<number>;
  /** Slots that stand before a "nahi" in some phrase ("dudh pit nahi"). */
  readonly takesNotAfter: ReadonlySet<number>;
  /** Slots that can only hide or weaken a sign: a short word that is only near to one of theirs is not taken for it. */
  readonly hiding: ReadonlySet<number>;
  /** The name of each slot, by its number, for reports on the phrase lists. */
  readonly names: readonly string[];
}

class Compiler {
  readonly vocabulary = new VocabularyBuilder();
  readonly problems: string[] = [];
  readonly slots = new Map<string, number>();
  readonly filled = new Set<string>();
  readonly phrases = new Map<number, DangerPhrase[]>();
  readonly harmless = new Map<number, (readonly (readonly number[])[])[]>();
  readonly takesNot = new Set<number>();
  readonly takesNotAfter = new Set<number>();

  slot(name: string): number {
    const known = this.slots.get(name);
    if (known !== undefined) return known;
    this.slots.set(name, this.slots.size);
    return this.slots.size - 1;
  }

  item(item: PhraseItem, english: boolean, place: string, hides = false): readonly number[] {
    const ids: number[] = [];
    for (const name of item.slots) {
      if (!this.filled.has(name)) this.problems.push(`${place}: no words are listed for [${name}]`);
      ids.push(this.slot(name));
    }
    for (const literal of item.literals) {
      const id = this.slot(`=${literal}`);
      if (!this.vocabulary.add(id, literal, english, hides))
        this.problems.push(`${place}: "${literal}" has no words`);
      ids.push(id);
    }
    return ids;
  }

  phrase(entry: PhraseEntry, sign: SignEntry, english: boolean, place: string): void {
    const given = typeof entry === 'string' ? { say: entry } : entry;
    const read = phraseItems(given.say);
    const unless = given.unless === undefined ? undefined : phraseItems(given.unless.replace(/\s+/gu, '|'));
    if (typeof read === 'string' || typeof unless === 'string') {
      this.problems.push(`${place}: ${typeof read === 'string' ? read : String(unless)}`);
      return;
    }
    const items = read.items.map((item) => this.item(item, english, place));
    const negations = [this.slot('not'), this.slot('nahi')];
    const who = [this.slot('baby'), this.slot('mother')];
    const hasNot = items.some((ids) => ids.some((id) => negations.includes(id)));
    items.forEach((ids, at) => {
      if (!ids.some((id) => negations.includes(id))) return;
      for (const id of (read.ordered ? items[at + 1] : items.flat()) ?? [])
        if (!negations.includes(id)) this.takesNot.add(id);
      for (const id of (read.ordered ? items[at - 1] : items.flat()) ?? [])
        if (!negations.includes(id) && !who.includes(id)) this.takesNotAfter.add(id);
    });
    const compiled: DangerPhrase = {
      items,
      ordered: read.ordered,
      gap: given.gap ?? 3,
      unless: unless?.items.flatMap((item) => this.item(item, english, place, true)) ?? [],
      unsure: given.unsure ?? false,
      alone: given.alone ?? false,
      detail: {
        ...(given.mild === true ? { mild: true } : {}),
        ...(given.severe === true ? { severe: true } : {}),
        ...(given.palmsOrSoles === true ? { palmsOrSoles: true } : {}),
      },
      meaning: {
        baby: sign.baby,
        mother: sign.mother,
        unknown:
          sign.unknown ?? (sign.baby === undefined ? 'mother' : sign.mother === undefined ? 'baby' : 'both'),
        lasting: sign.lasting ?? false,
        whoever: sign.whoever ?? false,
        neverDenied: sign.mother === 'self-harm' || sign.mother === 'harm-baby',
      },
      negatable: !hasNot,
    };
    for (const id of items[0] ?? []) {
      const list = this.phrases.get(id);
      if (list === undefined) this.phrases.set(id, [compiled]);
      else list.push(compiled);
    }
  }

  saying(say: string, english: boolean, place: string): void {
    const read = phraseItems(say);
    if (typeof read === 'string') {
      this.problems.push(`${place}: ${read}`);
      return;
    }
    const items = read.items.map((item) => this.item(item, english, place, true));
    for (const id of items[0] ?? []) {
      const list = this.harmless.get(id);
      if (list === undefined) this.harmless.set(id, [items]);
      else list.push(items);
    }
  }
}

/**
 * Prepares the danger phrases of all languages, to be searched together. A slot's words are shared by all files.
 * @throws ContentError naming file and place for a wrong shape, an unknown sign code or a slot without words
 */
export const compileDanger = (
  files: readonly { readonly language: string; readonly data: unknown; readonly file: string }[],
): DangerPhrases => {
  const work = new Compiler();
  const read: { readonly content: DangerFile; readonly file: string; readonly english: boolean }[] = [];
  for (const { language, data, file } of files) {
    try {
      read.push({ content: readDangerFile(data, file), file, english: language === 'en' });
    } catch (error) {
      if (!(error instanceof ContentError)) throw error;
      work.problems.push(...error.problems);
    }
  }
  for (const name of readerSlots) work.filled.add(name);
  for (const { content, file, english } of read) {
    for (const [name, sayings] of Object.entries(content.words)) {
      work.filled.add(name);
      const also = implied[name];
      for (const saying of sayings) {
        if (also !== undefined) work.vocabulary.add(work.slot(also), String(saying), english, true);
        if (!work.vocabulary.add(work.slot(name), String(saying), english, contextSlots.has(name)))
          work.problems.push(`${file}, words.${name}: "${String(saying)}" has no words`);
      }
    }
    for (const [short, full] of Object.entries(content.shorts)) work.vocabulary.addShort(short, full);
    for (const line of content.plain) work.vocabulary.addPlain(line);
  }
  for (const { content, file, english } of read) {
    content.signs.forEach((sign, at) => {
      sign.phrases.forEach((entry, index) => {
        work.phrase(
          entry,
          sign,
          english,
          `${file}, signs.${at} (${sign.baby ?? sign.mother ?? ''}), phrase ${index + 1}`,
        );
      });
    });
    content.harmless.forEach((say, at) => {
      work.saying(say, english, `${file}, harmless.${at}`);
    });
  }
  if (work.problems.length > 0) throw new ContentError(work.problems);
  const slot = Object.fromEntries(readerSlots.map((name) => [name, work.slot(name)])) as Record<
    ReaderSlot,
    number
  >;
  return {
    vocabulary: work.vocabulary.build(),
    slot,
    phrases: work.phrases,
    harmless: work.harmless,
    takesNot: work.takesNot,
    takesNotAfter: work.takesNotAfter,
    hiding: new Set([...contextSlots].map((name) => work.slot(name))),
    names: [...work.slots.keys()],
  };
};
