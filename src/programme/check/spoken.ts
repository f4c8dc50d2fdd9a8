import { type Finding, problem } from './finding.ts';
import type { Leaf } from './leaves.ts';

/** Texts that no call ever says. */
const neverSpoken =
  /^(label\.|option\.|kitchen\.word|alert\.(words|named)|counsellor\.|outcome\.|reason\.|who\.|age\.|ask\.)/u;

/** Symbols that a voice leaves out or spells, and short forms that it reads as letters. */
const unspeakable = /[/\\%&@#*_=<>|~^₹€$[\]{}]|\p{Extended_Pictographic}|\bkg\b|\bgm?\b|\bml\b|\bhrs?\b/u;

/** What a call says can be said: whole words, no symbols; digits only as keys and counts of up to two digits. */
export function checkSpoken(file: string, leaves: ReadonlyMap<string, Leaf>): readonly Finding[] {
  return [...leaves].flatMap(([key, leaf]): readonly Finding[] => {
    if (neverSpoken.test(key) || leaf.voice === undefined) return [];
    const said = leaf.voice.replace(/\{\{\s*\w+\s*\}\}/gu, '');
    const symbol = unspeakable.exec(said);
    const glued = /\p{L}\d|\d\p{L}|\d{5,}/u.exec(said);
    return [
      ...(symbol === null
        ? []
        : [
            problem(
              `${file}: "${key}" (voice) holds "${symbol[0]}", which a voice cannot say; write it as a word`,
            ),
          ]),
      ...(glued === null
        ? []
        : [
            problem(
              `${file}: "${key}" (voice) holds "${glued[0]}"; part digits from letters and long numbers into digits`,
            ),
          ]),
    ];
  });
}
