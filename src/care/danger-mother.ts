import type { DangerRow, SignFacts } from './danger-row.ts';
import type { MotherSignCode } from './signs.ts';

const pcpnc = 'WHO PCPNC, 3rd ed., 2015';
const pnc = 'WHO postnatal care, 2022';

const always = () => 'A' as const;
const unlessMild = ({ detail }: SignFacts) =>
  detail.mild === true && detail.severe !== true ? ('B' as const) : ('A' as const);

function feverTier({ ageDays, detail, also }: SignFacts): 'A' | 'B' | 'C' {
  const { severe, temperatureC } = detail;
  const womb = also.has('foul-discharge') || also.has('abdominal-pain');
  if (severe === true || (womb && ageDays <= 10)) return 'A';
  return temperatureC !== undefined && temperatureC < 38 && !womb ? 'C' : 'B';
}

/** A red hot breast is told with fever or a flu-like feeling: beside a womb or a wound it counts as fever, the cautious reading. */
function isFeverish({ also }: SignFacts): boolean {
  return also.has('maternal-fever') || also.has('breast-red-fever');
}

function breastTier({ detail }: SignFacts): 'A' | 'B' | 'C' {
  if (detail.severe === true) return 'A';
  return detail.mild === true ? 'C' : 'B';
}

/**
 * Danger signs of a mother after birth; after six weeks they keep their tier. `severe` and `mild` stand for the graver and the
 * milder words of each row.
 * Source: beside each row. To be reviewed by a clinical lead.
 */
export const motherDanger: { readonly [Code in MotherSignCode]: DangerRow<Code> } = {
  bleeding: {
    code: 'bleeding',
    who: 'mother',
    ages: [],
    source: `${pcpnc}; an hour and clots: hospital lists after birth`,
    tier: unlessMild,
  },
  'headache-vision': { code: 'headache-vision', who: 'mother', ages: [], source: pnc, tier: unlessMild },
  'maternal-convulsion': {
    code: 'maternal-convulsion',
    who: 'mother',
    ages: [],
    source: `${pnc}; ${pcpnc}`,
    tier: always,
  },
  'maternal-fever': {
    code: 'maternal-fever',
    who: 'mother',
    ages: [10],
    source: `${pcpnc}; ${pnc}`,
    tier: feverTier,
  },
  breathless: { code: 'breathless', who: 'mother', ages: [], source: pnc, tier: always },
  'abdominal-pain': {
    code: 'abdominal-pain',
    who: 'mother',
    ages: [],
    source: pnc,
    tier: (facts) => (facts.detail.severe === true || isFeverish(facts) ? 'A' : 'B'),
  },
  'foul-discharge': {
    code: 'foul-discharge',
    who: 'mother',
    ages: [],
    source: pnc,
    tier: (facts) =>
      facts.detail.severe === true || isFeverish(facts) || facts.also.has('abdominal-pain') ? 'A' : 'B',
  },
  'breast-red-fever': {
    code: 'breast-red-fever',
    who: 'mother',
    ages: [],
    source: 'ABM Protocol 36, 2022',
    tier: breastTier,
  },
  'leg-swelling': {
    code: 'leg-swelling',
    who: 'mother',
    ages: [],
    source: pnc,
    tier: ({ detail, also }) =>
      detail.severe === true ||
      also.has('breathless') ||
      also.has('chest-pain') ||
      also.has('headache-vision')
        ? 'A'
        : 'B',
  },
  'chest-pain': { code: 'chest-pain', who: 'mother', ages: [], source: pnc, tier: always },
  wound: {
    code: 'wound',
    who: 'mother',
    ages: [],
    source: pnc,
    tier: (facts) =>
      facts.detail.severe === true || isFeverish(facts) || facts.also.has('bleeding') ? 'A' : 'B',
  },
  'self-harm': { code: 'self-harm', who: 'mother', ages: [], source: `${pnc}; WHO mhGAP`, tier: always },
  'harm-baby': { code: 'harm-baby', who: 'mother', ages: [], source: `${pnc}; WHO mhGAP`, tier: always },
  faint: { code: 'faint', who: 'mother', ages: [], source: pnc, tier: unlessMild },
};
