import type { Tier } from './signs.ts';
import { urgency } from './tier.ts';

/**
 * Why a rule spoke. `values` are the figures that met the rule (grams, hours, counts, days), for the wording.
 * `source` names the publication, or says that the cut is common practice. A tier of none is worth knowing, no concern.
 */
export interface Reason<Code extends string = string> {
  readonly code: Code;
  readonly tier: Tier;
  readonly values: Readonly<Record<string, number | string>>;
  readonly source: string;
}

/** Most urgent first; within a tier by the place of the code in `codesByWeight`, codes not in it last. Stable. */
export function byWeight<Code extends string>(
  reasons: readonly Reason<Code>[],
  codesByWeight: readonly string[],
): readonly Reason<Code>[] {
  if (reasons.length < 2) return reasons;
  const place = (code: string): number => {
    const at = codesByWeight.indexOf(code);
    return at === -1 ? codesByWeight.length : at;
  };
  return [...reasons].sort((a, b) => urgency(b.tier) - urgency(a.tier) || place(a.code) - place(b.code));
}
