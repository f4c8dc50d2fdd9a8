import type { AnswerWords } from '../answer-words.ts';
import type { Asked, Reading } from '../asked.ts';
import { isBacked, readAs, said, skipped, tooManyWords, unclear, unknownWords } from './reading.ts';
import { type Item, scan, type Wanted } from './scan.ts';

/** Grams in one unit. The pound is 0.45359237 kg exactly and the ounce its sixteenth (NIST Handbook 44, appendix C). */
const gramsIn = { kilogram: 1000, gram: 1, pav: 250, pound: 453.59237, ounce: 28.349523125 } as const;

type WeightUnit = keyof typeof gramsIn;

const wanted: Wanted = {
  numbers: { decimals: true, decimalComma: true },
  kinds: ['unit', 'mark', 'reply'],
  units: new Set<WeightUnit>(['kilogram', 'gram', 'pav', 'pound', 'ounce']),
  marks: new Set(['and', 'about', 'or', 'to', 'more', 'less', 'but']),
};

interface Amount {
  readonly value: number;
  readonly unit: WeightUnit | undefined;
  readonly joined: 'and' | 'or' | undefined;
  readonly digits: string | null;
}

/** The amounts in a text, in order; undefined when something between them makes it no single weight. */
function amountsOf(items: readonly Item[]): readonly Amount[] | undefined {
  const amounts: Amount[] = [];
  let joined: Amount['joined'];
  for (let i = 0; i < items.length; i += 1) {
    const item = items[i];
    const next = items[i + 1];
    if (item?.kind === 'mark') {
      if (
        item.name === 'but' ||
        (item.name === 'to' && amounts.length > 0 && items.slice(i).some((x) => x.kind === 'number'))
      )
        return undefined;
      if (item.name === 'and' || item.name === 'or') joined = item.name;
    }
    if (item?.kind === 'sign' && (item.text === '-' || item.text === '/') && next?.kind === 'number')
      return undefined;
    if (
      item?.kind === 'number' &&
      !(item.weak && !isBacked(items, i) && items.some((x) => x.kind === 'number' && !x.weak))
    ) {
      const unit = next?.kind === 'unit' ? (next.name as WeightUnit) : undefined;
      amounts.push({ value: item.value, unit, joined, digits: item.digits });
      joined = undefined;
      if (unit !== undefined) i += 1;
    } else if (item?.kind === 'unit' && item.name !== 'pav') {
      // 'kg 3.2', 'kg: 3.2'; a unit with no number at all means that a number was not understood.
      const gap = next?.kind === 'sign' ? 2 : 1;
      const [number, after] = items.slice(i + gap);
      if (number?.kind !== 'number' || after?.kind === 'unit') return undefined;
      amounts.push({ value: number.value, unit: item.name as WeightUnit, joined, digits: number.digits });
      joined = undefined;
      i += gap;
    } else if (item?.kind === 'unit') {
      amounts.push({ value: 1, unit: 'pav', joined, digits: null });
      joined = undefined;
      if (next?.kind === 'unit' && next.name === 'kilogram') i += 1;
    }
  }
  return amounts;
}

/** Grams of two amounts that belong together, and whether that is beyond doubt. */
function together(big: Amount, small: Amount): { grams: number; sure: boolean } | undefined {
  if (small.joined === 'or' && small.unit === undefined) return undefined;
  const smallUnit = small.unit;
  if (big.unit === 'kilogram') {
    if (smallUnit === 'gram' || smallUnit === 'pav') {
      const grams = small.value * gramsIn[smallUnit];
      // '3.4 kg (3400 g)' says one weight twice.
      if (grams === big.value * 1000) return { grams, sure: true };
      if (!Number.isInteger(big.value) || grams >= 1000) return undefined;
      return { grams: big.value * 1000 + grams, sure: true };
    }
    if (smallUnit !== undefined) return undefined;
    if (small.value < 1) return { grams: (big.value + small.value) * 1000, sure: false };
    if (small.value < 10 || !Number.isInteger(big.value) || small.value >= 1000) return undefined;
    return { grams: big.value * 1000 + small.value, sure: small.value >= 100 };
  }
  if (big.unit === 'pound' && (smallUnit === 'ounce' || smallUnit === undefined)) {
    return {
      grams: big.value * gramsIn.pound + small.value * gramsIn.ounce,
      sure: small.value < 16 && smallUnit === 'ounce',
    };
  }
  if (big.unit === undefined && big.digits !== null && big.value >= 1 && big.value <= 10) {
    const whole = small.digits?.length === 3;
    if ((smallUnit === 'gram' || smallUnit === undefined) && whole)
      return { grams: big.value * 1000 + small.value, sure: true };
  }
  return undefined;
}

/**
 * A weight in whole grams, from kilos, grams, both, pounds and ounces, or the market words ('sava teen kilo', 'pav').
 * A bare number up to 10 is kilos, from 500 grams; between them, and two weights in one text, are unclear.
 */
export function readWeight(
  text: string,
  asked: Extract<Asked, { kind: 'weight' }>,
  words: AnswerWords,
): Reading {
  const items = scan(text, words, wanted);
  const amounts = amountsOf(items);
  if (amounts === undefined) return unclear;
  const [first, second] = amounts;
  if (first === undefined) return said(items, 'unsure', 'skip', 'no') ? skipped : unclear;
  const certain =
    unknownWords(items) <= tooManyWords &&
    !said(items, 'unsure') &&
    !items.some((item) => item.kind === 'mark' && (item.name === 'more' || item.name === 'less'));
  const answer = (exactGrams: number, sure: boolean): Reading => {
    const grams = Math.round(exactGrams);
    return readAs(
      { kind: 'weight', grams },
      sure && certain,
      grams >= asked.minGrams && grams <= asked.maxGrams,
    );
  };
  if (amounts.length > 2) return unclear;
  if (second !== undefined) {
    const both = together(first, second);
    return both === undefined ? unclear : answer(both.grams, both.sure);
  }
  if (items.some((item) => item.kind === 'sign' && item.text === '-')) return unclear;
  if (first.unit !== undefined) return answer(first.value * gramsIn[first.unit], true);
  // '3kq': a unit that was not understood.
  const known = !items.some(
    (item, i) => item.kind === 'word' && item.glued && items[i - 1]?.kind === 'number',
  );
  if (first.value <= 10) return answer(first.value * 1000, known);
  return first.value >= 500 ? answer(first.value, known) : unclear;
}
