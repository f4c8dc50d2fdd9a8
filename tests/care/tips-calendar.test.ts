import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { daysInMonth } from '../../src/care/age.ts';
import { tipCoverage } from '../../src/care/tips/tip-coverage.ts';
import { daysToNextTip, type Tip, type TipFacts, tipRun, tipsByAge } from '../../src/care/tips/index.ts';
import { languages, mothers, tipNamed, tips } from './tips.ts';

const at = tipsByAge(tips);
type Her = Omit<TipFacts, 'ageDays' | 'month'>;

/** Age in days at which each tip is told to her, from the day she joins. */
function toldAt(her: Her, joinedAtDays: number): ReadonlyMap<string, number> {
  const factsAt = (ageDays: number): TipFacts => ({
    ...her,
    ageDays,
    month: 1 + (Math.floor(ageDays / 31) % 12),
  });
  const days = [...tipRun(at, factsAt, joinedAtDays)];
  return new Map(
    days.flatMap(({ facts, chosen }) =>
      chosen === undefined ? [] : [[chosen.tip.id, facts.ageDays] as const],
    ),
  );
}

const kinds: readonly Her[] = (['veg', 'egg', 'all'] as const).flatMap((eats) =>
  [1, 2].flatMap((babies) =>
    [null, 34].flatMap((gestationWeeks) =>
      languages.map((language) => ({
        ...{ eats, babies, gestationWeeks, language },
        ...{ firstBaby: null, allergies: [], concerns: [] },
      })),
    ),
  ),
);
const firstWeek = [0, 1, 2, 3, 4, 5, 6];

/** What each kind is told from each day of the first week. */
const told = kinds.flatMap((her) => firstWeek.map((joined) => ({ her, joined, days: toldAt(her, joined) })));

describe('tips by age', () => {
  it('has a new tip for every mother in every week of the first year, and in every fortnight of the second', () => {
    for (const { eats, spans } of tipCoverage(tips, languages)) {
      expect(spans.filter(({ fromDays }) => fromDays < 364)).toHaveLength(52);
      expect([eats, spans.filter(({ fewest }) => fewest < 1)]).toEqual([eats, []]);
    }
  });

  it('leaves no mother without one, from whatever day she joins and whatever is known of her', () => {
    fc.assert(
      fc.property(mothers, fc.nat(728), fc.nat(11), (her, joined, born) => {
        for (const { facts, chosen } of tipRun(
          at,
          (ageDays) => ({ ...her, ageDays, month: ((born + Math.floor(ageDays / 31)) % 12) + 1 }),
          joined,
        ))
          expect([facts.ageDays, chosen === undefined]).toEqual([facts.ageDays, false]);
      }),
      { numRuns: 200 },
    );
  });

  it('finds the week that is left, and for whom', () => {
    const weekly = (from: number, eats: Tip['when']['eats']): Tip => ({
      ...{
        id: `w${from}${eats?.[0] ?? ''}`,
        topic: 'rest',
        fromDays: from,
        untilDays: from + 7,
        priority: 3,
      },
      ...{ when: { eats }, firstAfter: [], allergens: [], source: 'invented for the test' },
    });
    const all = Array.from({ length: 105 }, (_, week) => week * 7).flatMap((from) =>
      from < 28
        ? [1, 2, 3, 4].map((n): Tip => ({ ...weekly(from, undefined), id: `w${from}n${n}` }))
        : [weekly(from, ['veg']), weekly(from, ['egg', 'all'])],
    );
    const empty = (some: readonly Tip[]) =>
      tipCoverage(some, languages).map(({ eats, spans }) => [
        eats,
        ...spans.filter(({ fewest }) => fewest === 0).map(({ fromDays }) => fromDays),
      ]);
    expect(empty(all)).toEqual([['veg'], ['egg'], ['all']]);
    expect(empty(all.filter(({ id }) => id !== 'w140veg'))).toEqual([['veg', 140], ['egg'], ['all']]);
    expect(empty(all.filter(({ fromDays }) => fromDays !== 210))).toEqual([
      ['veg', 210],
      ['egg', 210],
      ['all', 210],
    ]);
  });

  it('comes at least weekly in the first year and at least fortnightly after', () => {
    for (let age = 0; age < 730; age++) expect(daysToNextTip(age)).toBeLessThanOrEqual(age < 364 ? 7 : 14);
  });
});

describe('dangers', () => {
  it('of newborn and mother are told in the first nine days to who joins at the birth', () => {
    for (const { joined, days } of told.filter((one) => one.her.gestationWeeks === null && one.joined < 5)) {
      for (const id of ['newborn-danger', 'yellow-skin', 'mother-danger'])
        expect([id, joined, (days.get(id) ?? 99) < 9]).toEqual([id, joined, true]);
    }
  });
});

describe('vaccination visits', () => {
  // India's national immunization schedule: at birth, 6, 10 and 14 weeks, 9 months, 16 months (to 24). Taken from table 1 of Health
  // Policy and Planning 2021;36(4):454-463, and the same ages on the schedule page of the Indian Institute of Technology Delhi's hospital
  // (seen, 2026-11-25). Upper ages there: oral polio at birth within 15 days.
  const visits = [
    ['six-week-vaccines', 6 * 7],
    ['ten-week-vaccines', 10 * 7],
    ['fourteen-week-vaccines', 14 * 7],
    ['nine-month-vaccines', Math.round(9 * daysInMonth)],
    ['sixteen-month-vaccines', Math.round(16 * daysInMonth)],
  ] as const;

  it.each(visits)('%s is told within two weeks of day %i, and never long before it', (id, dueDay) => {
    for (const { her, joined, days } of told) {
      const day = days.get(id);
      expect([id, her.eats, joined, day]).toEqual([id, her.eats, joined, expect.any(Number)]);
      expect(day).toBeGreaterThanOrEqual(dueDay - 14);
      expect(day).toBeLessThanOrEqual(dueDay + 14);
    }
  });

  it('asks about the vaccines of birth before the fifteenth day, the last for oral polio', () => {
    expect(tipNamed('birth-vaccines').untilDays).toBeLessThanOrEqual(15);
    for (const { days } of told) expect(days.get('birth-vaccines')).toBeLessThan(15);
  });

  it('looks through the card before two years, the end of the window of the second measles dose', () => {
    for (const { days } of told) expect(days.get('check-the-card')).toBeLessThan(24 * daysInMonth);
  });

  it('names no other ages for visits', () => {
    const named = tips.filter(({ id }) => id.endsWith('-vaccines')).map(({ id }) => id);
    expect(named.sort()).toEqual(['birth-vaccines', ...visits.map(([id]) => id)].sort());
  });
});
