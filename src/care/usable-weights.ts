import { expectedGrams } from './expected-weight.ts';
import { type DoubtfulWhy, plausibleGrams, plausibleWeight, type WeightVerdict } from './plausible-weight.ts';
import { type GrowthAnswers, inOrder, type Weighing } from './weighings.ts';

/** A weighing that was left out, and why. The birth weight may be one, with day 0. */
export interface DoubtfulWeighing extends Weighing {
  readonly why: DoubtfulWhy;
  readonly birth: boolean;
  readonly meantGrams?: number;
}

export interface UsableWeights {
  readonly birthWeightGrams: number | undefined;
  /** Oldest first. A weight of day 0 is among them only when there is no later one: it is never the baseline of a gain. */
  readonly weights: readonly Weighing[];
  readonly doubtful: readonly DoubtfulWeighing[];
}

/**
 * Whether a weight just told can stand beside all that is known of the baby, for asking her again at once.
 * Source: common practice, no source.
 */
export function verdictOnNewWeight(weight: Weighing, known: GrowthAnswers): WeightVerdict {
  const { weights, birthWeightGrams } = usableWeights(known);
  const birth = birthWeightGrams === undefined ? undefined : { day: 0, g: birthWeightGrams };
  const before = weights.findLast((other) => other.day < weight.day) ?? birth;
  return plausibleWeight(weight, before, known);
}

interface Link {
  readonly at: Weighing;
  readonly birth: boolean;
  readonly count: number;
  readonly from: Link | undefined;
}

/**
 * Parts the weights that agree with one another from those that do not: the longest run in which each follows from the one
 * before it, of equal runs the one that ends first. The birth weight stands unless two or more weights that agree speak against it. What is left out is named,
 * never dropped in silence. A weight dated more than a day after today is left out (one day is the count from 0 against the count
 * from 1). A weight of day 0 serves as birth weight when none is told.
 * Source: common practice, no source.
 */
export function usableWeights(answers: GrowthAnswers): UsableWeights {
  const ordered = inOrder(answers.weights);
  const toldBirth = answers.birthWeightGrams ?? ordered.find((weight) => weight.day === 0)?.g;
  const birth: Weighing | undefined = toldBirth === undefined ? undefined : { day: 0, g: toldBirth };
  const later = ordered.filter((weight) => weight.day > 0);
  const after = later.length > 0 ? later : ordered;
  const inTime = after.filter((weight) => !isAfterToday(weight, answers));
  const chain = longestChain(birth, inTime, answers);
  const kept = new Set(chain.map((link) => link.at));
  const doubtful: DoubtfulWeighing[] = after
    .filter((weight) => !kept.has(weight))
    .map((weight) => doubt(weight, false, chain, answers));
  if (birth !== undefined && !kept.has(birth)) doubtful.unshift(doubt(birth, true, chain, answers));
  return {
    birthWeightGrams: birth !== undefined && kept.has(birth) ? birth.g : undefined,
    weights: chain.filter((link) => !link.birth).map((link) => link.at),
    doubtful,
  };
}

function isAfterToday({ day }: Weighing, { ageDays }: GrowthAnswers): boolean {
  return day > ageDays + 1;
}

function inBounds({ g }: Weighing): boolean {
  return g >= plausibleGrams.min && g <= plausibleGrams.max;
}

/** The common case, told apart first because it needs one look at each weight and not one at each pair. */
function allAgree(all: readonly Weighing[], birth: Weighing | undefined, answers: GrowthAnswers): boolean {
  return all.every((at, index) => {
    if (!inBounds(at)) return false;
    return at === birth || plausibleWeight(at, all[index - 1], answers).kind === 'plausible';
  });
}

function longestChain(
  birth: Weighing | undefined,
  weights: readonly Weighing[],
  answers: GrowthAnswers,
): readonly Link[] {
  const all = [...(birth === undefined ? [] : [birth]), ...weights];
  if (allAgree(all, birth, answers))
    return all.map((at) => ({ at, birth: at === birth, count: 0, from: undefined }));
  const links: Link[] = [];
  for (const at of all.filter(inBounds)) {
    const isBirth = at === birth;
    const alone = isBirth || plausibleWeight(at, undefined, answers).kind === 'plausible';
    let best: Link | undefined = alone ? { at, birth: isBirth, count: 1, from: undefined } : undefined;
    for (const from of links) {
      if (plausibleWeight(at, from.at, answers).kind !== 'plausible') continue;
      const next: Link = {
        at,
        birth: false,
        count: from.count + 1,
        from,
      };
      if (best === undefined || next.count > best.count) best = next;
    }
    if (best !== undefined) links.push(best);
  }
  let end = links.reduce<Link | undefined>(
    (best, link) => (best === undefined || link.count > best.count ? link : best),
    undefined,
  );
  const chain: Link[] = [];
  for (; end !== undefined; end = end.from) chain.unshift(end);
  return chain;
}

function doubt(
  weight: Weighing,
  birth: boolean,
  chain: readonly Link[],
  answers: GrowthAnswers,
): DoubtfulWeighing {
  if (isAfterToday(weight, answers)) return { ...weight, birth, why: 'after-today' };
  const near = [...chain].reverse().find((link) => link.at.day <= weight.day) ?? chain[0];
  const verdict = plausibleWeight(weight, near?.at, answers);
  if (verdict.kind === 'plausible') {
    const light = near !== undefined && weight.g < expectedGrams(answers, near.at, weight.day);
    return { ...weight, birth, why: light ? 'too-light' : 'too-heavy' };
  }
  return {
    ...weight,
    birth,
    why: verdict.why,
    ...(verdict.meantGrams === undefined ? {} : { meantGrams: verdict.meantGrams }),
  };
}
