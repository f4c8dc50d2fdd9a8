import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Tip, type TipFacts, tipDue, tipRun, tipsByAge } from '../../src/care/tips/index.ts';
import { facts, mothers, tipNamed, tips } from './tips.ts';

const ids = tips.map(({ id }) => id);
const someTold = fc.subarray(ids);

const plain: TipFacts = {
  ageDays: 40,
  babies: 1,
  gestationWeeks: null,
  firstBaby: null,
  eats: 'veg',
  allergies: [],
  concerns: [],
  month: 11,
  language: 'hi',
};

const made = (id: string, part: Partial<Tip> = {}): Tip => ({
  ...{ id, topic: 'rest', fromDays: 0, untilDays: 100, priority: 3 },
  ...{ when: {}, firstAfter: [], allergens: [], source: 'invented for the test' },
  ...part,
});

describe('the tip that is due', () => {
  it('was never told, lies in its window, and is not for somebody else', () => {
    fc.assert(
      fc.property(facts, someTold, (her, told) => {
        const chosen = tipDue(tips, her, told);
        if (chosen === undefined) return;
        const { tip } = chosen;
        const { when } = tip;
        expect(told).not.toContain(tip.id);
        expect(her.ageDays).toBeGreaterThanOrEqual(tip.fromDays);
        expect(her.ageDays).toBeLessThan(tip.untilDays);
        expect(when.eats ?? [her.eats]).toContain(her.eats);
        expect(when.months ?? [her.month]).toContain(her.month);
        if (when.twins !== undefined) expect(her.babies > 1).toBe(when.twins);
        if (when.preterm !== undefined)
          expect(her.gestationWeeks !== null && her.gestationWeeks < 37).toBe(when.preterm);
        if (when.firstBaby !== undefined) expect(her.firstBaby).toBe(when.firstBaby);
        if (when.concerns !== undefined)
          expect(when.concerns.filter((one) => her.concerns.includes(one))).not.toEqual([]);
        expect((when.unless ?? []).filter((one) => her.concerns.includes(one))).toEqual([]);
        expect(tip.allergens.filter((one) => her.allergies.includes(one))).toEqual([]);
      }),
      { numRuns: 500 },
    );
  });

  it('is the same whatever the order of the file, of what was told and of what concerns her', () => {
    const shuffled = <T>(all: readonly T[]) => fc.shuffledSubarray([...all], { minLength: all.length });
    fc.assert(
      fc.property(facts, someTold, shuffled(tips), (her, told, otherOrder) => {
        const mirrored = {
          ...her,
          concerns: [...her.concerns].reverse(),
          allergies: [...her.allergies].reverse(),
        };
        expect(tipDue(otherOrder, mirrored, [...told].reverse())).toEqual(tipDue(tips, her, told));
      }),
      { numRuns: 300 },
    );
  });

  it('does not change with ids told that are no longer in the calendar', () => {
    fc.assert(
      fc.property(facts, someTold, fc.array(fc.string()), (her, told, gone) => {
        const unknown = gone.filter((id) => !ids.includes(id));
        expect(tipDue(tips, her, [...told, ...unknown])).toEqual(tipDue(tips, her, told));
      }),
    );
  });

  it('is never told twice to any mother, from whatever day she joins', () => {
    const at = tipsByAge(tips);
    fc.assert(
      fc.property(mothers, fc.nat(729), fc.integer({ min: 0, max: 11 }), (her, joined, born) => {
        const run = tipRun(
          at,
          (ageDays) => ({ ...her, ageDays, month: ((born + Math.floor(ageDays / 31)) % 12) + 1 }),
          joined,
        );
        const told = [...run].flatMap(({ chosen }) => chosen?.tip.id ?? []);
        expect(new Set(told).size).toBe(told.length);
      }),
    );
  });

  it.each([
    [
      'a recent concern before everything',
      { firstAfter: ['reason.pain-severe'], priority: 5 },
      { priority: 1 },
      'concern',
    ],
    ['the first priority before an earlier end', { priority: 1 }, { untilDays: 41 }, 'must'],
    [
      'an earlier end before a priority that is not the first',
      { untilDays: 60, priority: 5 },
      { priority: 2 },
      'ends-sooner',
    ],
    ['a higher priority when both end together', { priority: 2 }, { priority: 4 }, 'priority'],
    ['the name when all else is the same', {}, {}, 'name'],
  ] as const)('puts %s', (_what, first, second, rule) => {
    const [a, b] = [made('a', first), made('b', second)];
    const her: TipFacts = { ...plain, concerns: ['reason.pain-severe'] };
    for (const file of [
      [a, b],
      [b, a],
    ]) {
      const chosen = tipDue(file, her, []);
      expect(chosen?.tip.id).toBe('a');
      expect(chosen?.why.at(-1)).toEqual({ code: 'before', rule, otherId: 'b' });
    }
  });

  it('turns to a topic she has heard less about, counting only what still fits her age', () => {
    const file = [
      made('told', { topic: 'play' }),
      made('over', { topic: 'rest', untilDays: 30 }),
      made('play', { topic: 'play', untilDays: 60 }),
      made('rest', { topic: 'rest' }),
    ];
    const chosen = tipDue(file, plain, ['told', 'over']);
    expect(chosen?.tip.id).toBe('rest');
    expect(chosen?.why.at(-1)).toEqual({ code: 'before', rule: 'topic', otherId: 'play' });
  });

  it('says why: the age, then what is hers, then what set it before the next', () => {
    const file = [
      made('hers', {
        when: { eats: ['veg'], twins: true, preterm: true, firstBaby: true, months: [11], languages: ['hi'] },
        firstAfter: ['reason.feeds-few'],
      }),
    ];
    const her: TipFacts = {
      ...plain,
      ...{ babies: 2, gestationWeeks: 34, firstBaby: true, concerns: ['reason.feeds-few'] },
    };
    expect(tipDue(file, her, [])?.why).toEqual([
      { code: 'age', ageDays: 40, fromDays: 0, untilDays: 100 },
      { code: 'concern', concern: 'reason.feeds-few' },
      { code: 'eats', eats: 'veg' },
      { code: 'twins', babies: 2 },
      { code: 'preterm', gestationWeeks: 34 },
      { code: 'first-baby' },
      { code: 'season', month: 11 },
      { code: 'language', language: 'hi' },
      { code: 'only-one' },
    ]);
  });

  it.each([
    [{ preterm: true }, { gestationWeeks: 36 }, true],
    [{ preterm: true }, { gestationWeeks: 37 }, false],
    [{ preterm: true }, { gestationWeeks: null }, false],
    [{ preterm: false }, { gestationWeeks: null }, true],
    [{ firstBaby: true }, { firstBaby: null }, false],
    [{ firstBaby: false }, { firstBaby: null }, false],
    [{ twins: false }, { babies: 1 }, true],
    [{ twins: true }, { babies: 3 }, true],
    [{ unless: ['reason.gain-slow'] }, { concerns: ['reason.gain-slow'] }, false],
    [{ languages: ['mr'] }, { language: 'hi' }, false],
  ] as const)('reads %j for %j', (when, part, fits) => {
    expect(tipDue([made('one', { when })], { ...plain, ...part }, []) !== undefined).toBe(fits);
  });

  it('begins on the first day of its window and is over on the last', () => {
    const one = [made('one', { fromDays: 10, untilDays: 20 })];
    const at = (ageDays: number) => tipDue(one, { ...plain, ageDays }, [])?.tip.id;
    expect([9, 10, 19, 20].map(at)).toEqual([undefined, 'one', 'one', undefined]);
  });

  it('says nothing that makes little milk sound usual while the milk is in doubt', () => {
    const doubtful = [
      'reason.gain-slow',
      'reason.weight-falling',
      'reason.wet-few',
      'reason.feeds-few',
    ] as const;
    for (const id of [
      'soft-breasts',
      'why-babies-cry',
      'evening-feeds',
      'six-week-spurt',
      'three-month-spurt',
    ]) {
      for (const concern of doubtful) {
        const tip = tipNamed(id);
        const her = { ...plain, ageDays: tip.fromDays, concerns: [concern] };
        expect([id, concern, tipDue([tip], her, [])]).toEqual([id, concern, undefined]);
      }
    }
  });
});
