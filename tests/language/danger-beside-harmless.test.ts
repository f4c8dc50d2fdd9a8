import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { signTier } from '../../src/care/danger.ts';
import { readDanger } from '../../src/language/danger/index.ts';
import { phrases } from './danger-phrases.ts';

interface Row {
  readonly way: string;
  readonly text: string;
  readonly tier: string;
  readonly age_days?: number;
}

const gravest = (text: string, ageDays: number | undefined): boolean => {
  const { signs } = readDanger(text, phrases);
  return signs.some(({ code, who, detail }) => {
    const alsoSigns = signs.filter((sign) => sign.who === who && sign.code !== code).map((sign) => sign.code);
    return signTier({ code, who, detail }, { babyAgeDays: ageDays, alsoSigns }).tier === 'A';
  });
};

const rows = ['danger.build', 'danger.fresh']
  .flatMap((name) => readFileSync(new URL(`./fixtures/${name}.jsonl`, import.meta.url), 'utf8').split('\n'))
  .filter((line) => line !== '')
  .map((line) => JSON.parse(line) as Row)
  .filter(({ tier, way }) => tier === 'A' && (way === 'en' || way === 'hi'));

/** Every fifth of the gravest texts that are found when they stand alone. */
const dangers = rows.filter((row, at) => at % 5 === 0 && gravest(row.text, row.age_days));

const harmless: Readonly<Record<string, readonly string[]>> = {
  en: [
    'the weather is nice today',
    'he was playing yesterday',
    'my husband is at work',
    'the doctor said all is normal last week',
    'my older son is at school',
    'thank you sister',
  ],
  hi: [
    'आज मौसम अच्छा है',
    'कल खेल रहा था',
    'पति काम पर हैं',
    'पिछले हफ्ते नर्स आई थी',
    'बड़ा बेटा स्कूल में है',
    'धन्यवाद दीदी',
  ],
};

/** A mother tells in one text of a danger and of the day: the day may not quieten the danger. */
describe('a danger of tier A beside a harmless sentence', () => {
  it.each([
    ['before it', (danger: string, other: string) => `${other}. ${danger}`],
    ['before it, past a comma', (danger: string, other: string) => `${other}, ${danger}`],
    ['after it', (danger: string, other: string) => `${danger}. ${other}`],
    ['after it, past a comma', (danger: string, other: string) => `${danger}, ${other}`],
  ])('keeps its tier with the sentence %s in 98 of 100', (_, join) => {
    const joined = dangers.flatMap((row) =>
      (harmless[row.way] ?? []).map((other) => ({ text: join(row.text, other), age: row.age_days })),
    );
    const hidden = joined.filter(({ text, age }) => !gravest(text, age));
    expect(dangers.length).toBeGreaterThan(100);
    expect(hidden.length / joined.length).toBeLessThan(0.02);
  });
});
