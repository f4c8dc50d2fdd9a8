import { babyDanger } from './danger-baby.ts';
import { motherDanger } from './danger-mother.ts';
import type { SignFacts } from './danger-row.ts';
import { byWeight, type Reason } from './reason.ts';
import {
  type BabySignCode,
  babySignCodes,
  type MotherSignCode,
  motherSignCodes,
  type Sign,
  type SignCode,
  type Tier,
} from './signs.ts';
import { mostUrgent } from './tier.ts';
import { youngInfantDays } from './vital-signs.ts';

/** What is known beside the sign. Days since birth; an unknown age is read as that of a newborn: the cautious one. */
export interface DangerContext {
  readonly babyAgeDays?: number | undefined;
  readonly motherDays?: number | undefined;
  /** Other signs told at the same time, of mother and baby. */
  readonly alsoSigns?: readonly SignCode[] | undefined;
  readonly feedsWell?: boolean | undefined;
}

/** How urgent one told sign is. Never none. `code` is the reason's code: the sign itself. */
export interface SignTier {
  readonly tier: Exclude<Tier, 'none'>;
  readonly source: string;
  readonly code: SignCode;
  readonly who: 'mother' | 'baby';
}

/**
 * How urgent one told danger sign is, by whose it is, the age and what else was told. A bare code has the tier that the
 * reference gives it without severity.
 * Source: the row of the sign.
 */
export function signTier(sign: Sign, context: DangerContext): SignTier {
  const row = rowOf(sign);
  const tier = row.tier(factsOf(sign, context));
  return { tier, source: row.source, code: sign.code, who: row.who };
}

/** All told signs together: the most urgent tier and each sign as a reason, graver first. None only when nothing was told. */
export function dangerTier(
  signs: readonly Sign[],
  context: DangerContext,
): { readonly tier: Tier; readonly reasons: readonly Reason<SignCode>[] } {
  if (signs.length === 0) return { tier: 'none', reasons: [] };
  const reasons = signs.map((sign): Reason<SignCode> => {
    const others = signs
      .filter((other) => other.who === sign.who && other.code !== sign.code)
      .map((other) => other.code);
    const also = [...others, ...(context.alsoSigns ?? [])];
    const { tier, source, code, who } = signTier(sign, { ...context, alsoSigns: also });
    const { temperatureC, breathsPerMinute, hours } = sign.detail ?? {};
    const values = {
      who,
      ...(temperatureC === undefined ? {} : { temperatureC }),
      ...(breathsPerMinute === undefined ? {} : { breathsPerMinute }),
      ...(hours === undefined ? {} : { hours }),
    };
    return { code, tier, values, source };
  });
  const codes: readonly string[] = [...babySignCodes, ...motherSignCodes];
  return { tier: mostUrgent(reasons.map((reason) => reason.tier)), reasons: byWeight(reasons, codes) };
}

function rowOf(sign: Sign) {
  if (sign.who === 'mother' && isMotherSign(sign.code)) return motherDanger[sign.code];
  if (isBabySign(sign.code)) return babyDanger[sign.code];
  return motherDanger[sign.code];
}

function factsOf(sign: Sign, context: DangerContext): SignFacts {
  const codes: readonly SignCode[] = rowOf(sign).who === 'mother' ? motherSignCodes : babySignCodes;
  const also = new Set(
    (context.alsoSigns ?? []).filter((code) => code !== sign.code && codes.includes(code)),
  );
  const ageDays = (rowOf(sign).who === 'mother' ? context.motherDays : context.babyAgeDays) ?? 0;
  return {
    ageDays,
    youngInfant: ageDays < youngInfantDays,
    detail: sign.detail ?? {},
    also,
    feedsWell: context.feedsWell,
  };
}

function isBabySign(code: SignCode): code is BabySignCode {
  return (babySignCodes as readonly SignCode[]).includes(code);
}

function isMotherSign(code: SignCode): code is MotherSignCode {
  return (motherSignCodes as readonly SignCode[]).includes(code);
}
