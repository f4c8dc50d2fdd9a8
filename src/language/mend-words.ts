/** What a word does in a text that corrects an answer: "sorry 9 not 8", "galti se 8 likha 9 hai". */
export const mendKinds = [
  'sorry',
  'meant',
  'no',
  'not-next',
  'not-last',
  'wrote-next',
  'wrote-last',
  'filler',
] as const;
export type MendKind = (typeof mendKinds)[number];

/** The words for correcting, of all languages together, and those that name one field. Compiled once. */
export interface MendWords {
  readonly kinds: ReadonlyMap<string, MendKind>;
  /** Null: a word of labels that names no field by itself. */
  readonly fields: ReadonlyMap<string, string | null>;
}

/** A correction as it was read: from what, where she said so, and to what. */
export interface Mend {
  /** Figures in the order of the text. */
  readonly figures: readonly number[];
  readonly now: number | null;
  readonly old: number | null;
  /** Plainly a correction: both figures, or "I meant". Else it may as well be an answer. */
  readonly isPlain: boolean;
  /** She says that it was a mistake, what she meant, or what she wrote. */
  readonly isSorry: boolean;
  /** Fields that are named, each once. */
  readonly fields: readonly string[];
}

/** Without one of these a text is no correction. */
const markers: ReadonlySet<MendKind> = new Set(['sorry', 'meant', 'no', 'not-next', 'not-last']);

/** A longer text says more than a correction, in characters. */
const longestText = 120;

type Token = { readonly figure: number } | { readonly kind: MendKind };

/**
 * @param words those of a kind, in all languages
 * @param labels what names each field, in all languages
 */
export function openMendWords(
  words: (kind: MendKind) => readonly string[],
  labels: ReadonlyMap<string, readonly string[]>,
): MendWords {
  const kinds = mendKinds.flatMap((kind) => words(kind).map((word) => [folded(word), kind] as const));
  const named = new Map<string, Set<string>>();
  const whole = new Map<string, string>();
  for (const [field, texts] of labels)
    for (const text of texts.map(folded)) {
      if (!/\s/u.test(text)) whole.set(text, field);
      for (const word of text.split(/\s+/u)) named.set(word, (named.get(word) ?? new Set()).add(field));
    }
  // A part of several labels names none of them, and is no strange word either.
  const fields = [...named].map(([word, of]) => {
    const [only = null] = of;
    return [word, whole.get(word) ?? (of.size === 1 ? only : null)] as const;
  });
  // Of a word in two lists the first list counts.
  return { kinds: new Map(kinds.reverse()), fields: new Map(fields) };
}

/**
 * Reads a text as the correction of a figure. Every word of it must be known: of a text that says anything else, nothing is taken.
 * @param figureOf the figure that a word stands for, if it is a number word
 */
export function readMend(
  text: string,
  words: MendWords,
  figureOf: (word: string) => number | undefined,
): Mend | undefined {
  if (text.length > longestText) return undefined;
  const all = [...folded(text).matchAll(/\p{N}+(?:\.\p{N}+)?|[\p{L}\p{M}]+/gu)].map(([word]) => word);
  // Most answers are figures alone: they are done with at once.
  if (!all.some((word) => markers.has(words.kinds.get(word) ?? 'filler'))) return undefined;
  const tokens: Token[] = [];
  const fields = new Set<string>();
  for (const word of all) {
    const kind = words.kinds.get(word);
    const figure = kind === undefined ? (digits(word) ?? figureOf(word)) : undefined;
    const field = kind === undefined && figure === undefined ? words.fields.get(word) : undefined;
    if (kind !== undefined) tokens.push({ kind });
    else if (figure !== undefined) tokens.push({ figure });
    else if (field === undefined) return undefined;
    else if (field !== null) fields.add(field);
  }
  const said = tokens.filter((t) => !('kind' in t) || t.kind !== 'filler');
  const figures = said.flatMap((t) => ('figure' in t ? [t.figure] : []));
  const has = (kind: MendKind) => said.some((t) => 'kind' in t && t.kind === kind);
  const isSorry = has('sorry') || has('meant') || has('wrote-next') || has('wrote-last');
  const common = { figures, fields: [...fields], isSorry };
  // "no 9" corrects; "9 and no pain" answers.
  const [head] = said;
  if (figures.length === 1 && !isSorry && head !== undefined && !('kind' in head)) return undefined;
  if (figures.length > 2)
    return has('sorry') || has('meant') ? { ...common, now: null, old: null, isPlain: true } : undefined;
  const [first, second] = figures;
  if (first === undefined) return undefined;
  const taken = oldPlace(said);
  if (second === undefined)
    return taken === undefined ? { ...common, now: first, old: null, isPlain: has('meant') } : undefined;
  if (taken === undefined) return undefined;
  const [old, now] = taken === 0 ? [first, second] : [second, first];
  return { ...common, now, old, isPlain: true };
}

/** Which figure is the wrong one: 0 or 1; undefined where nothing says so. */
function oldPlace(said: readonly Token[]): 0 | 1 | undefined {
  const at = said.flatMap((t, i) => ('figure' in t ? [i] : []));
  const kindAt = (i: number) => {
    const token = said[i];
    return token !== undefined && 'kind' in token ? token.kind : undefined;
  };
  const found = (is: (i: number) => boolean): 0 | 1 | undefined => {
    const place = at.findIndex(is);
    return place === 0 || place === 1 ? place : undefined;
  };
  return (
    found((i) => kindAt(i - 1) === 'not-next') ??
    found((i) => kindAt(i + 1) === 'not-last') ??
    (at.length === 2 ? found((i) => kindAt(i + 1) === 'no' && i + 2 === at[1]) : undefined) ??
    found((i) => kindAt(i + 1) === 'wrote-last') ??
    found((i) => kindAt(i - 1) === 'wrote-next')
  );
}

function folded(text: string): string {
  return text.normalize('NFC').toLowerCase().replace(/['’]/gu, '');
}

function digits(word: string): number | undefined {
  if (!/^\p{N}/u.test(word)) return undefined;
  const latin = word.replace(/[०-९]/gu, (d) => String(d.charCodeAt(0) - 0x0966));
  return /^\d{1,5}(\.\d{1,3})?$/u.test(latin) ? Number(latin) : undefined;
}
