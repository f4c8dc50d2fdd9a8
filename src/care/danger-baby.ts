import type { DangerRow, SignFacts } from './danger-row.ts';
import { daysInMonth } from './age.ts';
import type { BabySignCode } from './signs.ts';
import {
  fastBreaths,
  slowBreathsYoungInfant,
  temperatureCuts,
  threeMonthsDays,
  youngInfantDays,
} from './vital-signs.ts';

const imci = 'WHO/UNICEF IMCI, 2014 and 2019';
const imciPnc = 'WHO/UNICEF IMCI, 2014 and 2019; WHO postnatal care, 2022';
const newbornList = 'newborn danger list of a university course for rural health workers';

const always = () => 'A' as const;

/** Dry for this long is told as no urine: 8 h from day of life 6 to 3 months, else 12 h. Source: a national health service. */
function dryHours(ageDays: number): number {
  return ageDays >= 5 && ageDays < threeMonthsDays ? 8 : 12;
}

function fastBreathingTier({ youngInfant, detail, also, ageDays }: SignFacts): 'A' | 'B' {
  const breaths = detail.breathsPerMinute;
  if (detail.severe === true || also.has('chest-indrawing')) return 'A';
  if (!youngInfant) return 'B';
  // A count below the cut softens what she said, and never takes it back.
  return breaths === undefined || breaths >= fastBreaths(ageDays) || breaths <= slowBreathsYoungInfant
    ? 'A'
    : 'B';
}

function feverTier({ youngInfant, detail, also, ageDays }: SignFacts): 'A' | 'B' | 'C' {
  const { temperatureC } = detail;
  const measuredNormal = temperatureC !== undefined && temperatureC < temperatureCuts.fever;
  const high = temperatureC !== undefined && temperatureC >= temperatureCuts.highFever;
  if (detail.severe === true || high || also.size > 0) return 'A';
  if (measuredNormal) return youngInfant ? 'B' : 'C';
  return ageDays < threeMonthsDays ? 'A' : 'B';
}

function coldTier({ youngInfant, detail }: SignFacts): 'A' | 'B' {
  const { temperatureC } = detail;
  if (!youngInfant) return 'B';
  return temperatureC !== undefined && temperatureC >= temperatureCuts.cold ? 'B' : 'A';
}

function jaundiceTier({ detail, also, ageDays, feedsWell, youngInfant }: SignFacts): 'A' | 'B' {
  if (ageDays < 1 || detail.palmsOrSoles === true || detail.severe === true) return 'A';
  const weak = feedsWell === false || also.has('not-feeding') || also.has('lethargy');
  return youngInfant && weak ? 'A' : 'B';
}

function dryTier({ detail, also, ageDays }: SignFacts): 'A' | 'B' | 'C' {
  const { hours, severe } = detail;
  if (severe === true || also.size > 0 || (hours !== undefined && hours >= 18)) return 'A';
  return hours !== undefined && hours < dryHours(ageDays) ? 'C' : 'B';
}

/**
 * Danger signs of a baby to 24 months. `severe` and `mild` stand for the graver and the milder words of each row.
 * Source: beside each row; tiers where the source is silent are our caution. To be reviewed by a clinical lead.
 */
export const babyDanger: { readonly [Code in BabySignCode]: DangerRow<Code> } = {
  'not-feeding': {
    code: 'not-feeding',
    who: 'baby',
    ages: [youngInfantDays],
    source: imciPnc,
    tier: ({ youngInfant, detail }) =>
      !youngInfant && detail.mild === true && detail.severe !== true ? 'B' : 'A',
  },
  convulsion: { code: 'convulsion', who: 'baby', ages: [], source: imciPnc, tier: always },
  'fast-breathing': {
    code: 'fast-breathing',
    who: 'baby',
    ages: [youngInfantDays, 12 * daysInMonth],
    source: `${imci}; 30 breaths or fewer: ${newbornList}`,
    tier: fastBreathingTier,
  },
  'chest-indrawing': { code: 'chest-indrawing', who: 'baby', ages: [], source: imci, tier: always },
  lethargy: { code: 'lethargy', who: 'baby', ages: [], source: imciPnc, tier: always },
  fever: {
    code: 'fever',
    who: 'baby',
    ages: [youngInfantDays, threeMonthsDays],
    source: `${imciPnc}; under 3 months: NICE NG143`,
    tier: feverTier,
  },
  cold: { code: 'cold', who: 'baby', ages: [youngInfantDays], source: imciPnc, tier: coldTier },
  jaundice: {
    code: 'jaundice',
    who: 'baby',
    ages: [1, youngInfantDays],
    source: imciPnc,
    tier: jaundiceTier,
  },
  'cord-skin-infection': {
    code: 'cord-skin-infection',
    who: 'baby',
    ages: [],
    source: imci,
    tier: ({ detail, also }) => (detail.severe === true || also.has('fever') ? 'A' : 'B'),
  },
  'blood-in-stool': {
    code: 'blood-in-stool',
    who: 'baby',
    ages: [youngInfantDays],
    source: `${imci}; under 2 months: common practice`,
    tier: ({ youngInfant, detail }) => (youngInfant || detail.severe === true ? 'A' : 'B'),
  },
  dehydration: {
    code: 'dehydration',
    who: 'baby',
    ages: [youngInfantDays],
    source: imci,
    tier: ({ youngInfant, detail, feedsWell, also }) =>
      youngInfant ||
      detail.severe === true ||
      feedsWell === false ||
      also.has('not-feeding') ||
      also.has('lethargy')
        ? 'A'
        : 'B',
  },
  'persistent-vomiting': { code: 'persistent-vomiting', who: 'baby', ages: [], source: imci, tier: always },
  'no-urine': {
    code: 'no-urine',
    who: 'baby',
    ages: [5, threeMonthsDays],
    source: '8 and 12 hours: a national health service page for parents; the rest common practice',
    tier: dryTier,
  },
  faint: { code: 'faint', who: 'baby', ages: [], source: imci, tier: always },
  'stiff-neck-soft-spot': {
    code: 'stiff-neck-soft-spot',
    who: 'baby',
    ages: [],
    source: 'NICE NG143; WHO/UNICEF IMCI, 2014',
    tier: always,
  },
  'rash-with-fever': { code: 'rash-with-fever', who: 'baby', ages: [], source: 'NICE NG143', tier: always },
  'eye-infection': {
    code: 'eye-infection',
    who: 'baby',
    ages: [28],
    source: newbornList,
    tier: ({ ageDays, detail }) => {
      if (detail.mild === true && detail.severe !== true) return 'C';
      return ageDays < 28 ? 'A' : 'B';
    },
  },
  'newborn-bleeding': { code: 'newborn-bleeding', who: 'baby', ages: [], source: newbornList, tier: always },
  'swollen-belly': { code: 'swollen-belly', who: 'baby', ages: [], source: newbornList, tier: always },
  'pale-stools': { code: 'pale-stools', who: 'baby', ages: [], source: 'NICE CG98', tier: () => 'B' },
};
