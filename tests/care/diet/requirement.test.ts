import { describe, expect, it } from 'vitest';
import { openRequirements, requirementFor, stageAt } from '../../../src/care/diet/requirement.ts';
import { ContentError } from '../../../src/errors.ts';
import { requirements, yamlOf } from './content.ts';

describe('what she needs', () => {
  it('adds 600 kcal to six months and 520 after', () => {
    // ICMR-NIN 2010, unchanged in 2020, as quoted in a secondary article. The bases 1660 and 2130 kcal (55 kg) are from memory.
    const early = requirementFor(requirements, { stage: '0-6', feeding: 'exclusive', babies: 1 });
    const late = requirementFor(requirements, { stage: '7-12', feeding: 'exclusive', babies: 1 });
    expect(early.energyKcal).toEqual({ low: 2260, likely: 2495, high: 2730 });
    expect(late.energyKcal).toEqual({ low: 2180, likely: 2415, high: 2650 });
    // FAO/WHO/UNU 2007, from memory: +19 g, then +12.5 g.
    expect(early.proteinG.likely - late.proteinG.likely).toBeCloseTo(6.5, 6);
    expect(early.flags).toContain('from-memory');
  });

  it('keeps the figures of the tables for the others', () => {
    // FAO/WHO in Adv Nutr 2018;9:295S: folate 500, vitamin A 850, vitamin C 70, B12 2.8. US/Canada DRI: choline 550, ALA 1.3.
    const { others } = requirementFor(requirements, { stage: '7-12', feeding: 'partial', babies: 1 });
    expect(others).toMatchObject({
      folate: { low: 500, high: 500 },
      vitaminA: { low: 850, high: 850 },
      vitaminC: { low: 70, high: 70 },
      vitaminB12: { low: 2.8, high: 2.8 },
      choline: { low: 550, high: 550 },
      ala: { low: 1.3, high: 1.3 },
    });
    expect(others.iron).toMatchObject({ low: 10, high: 30 });
  });

  it('is wider with partial feeding and with twins, and says that this was worked out', () => {
    const partial = requirementFor(requirements, { stage: '0-6', feeding: 'partial', babies: 1 });
    expect(partial.energyKcal).toEqual({ low: 1660 + 300, likely: (1960 + 2730) / 2, high: 2730 });
    expect(partial.flags).toContain('partial-feeding-worked-out');
    const twins = requirementFor(requirements, { stage: '0-6', feeding: 'exclusive', babies: 2 });
    expect(twins.energyKcal).toEqual({ low: 1660 + 900, likely: (2560 + 3330) / 2, high: 2130 + 1200 });
    expect(twins.flags).toContain('several-babies-worked-out');
    expect(() => requirementFor(requirements, { stage: '0-6', feeding: 'exclusive', babies: 0 })).toThrow(
      RangeError,
    );
  });

  it('goes by the age of the baby, and has no figure after a year', () => {
    expect([0, 182, 183, 365, 366].map(stageAt)).toEqual(['0-6', '0-6', '7-12', '7-12', null]);
    expect(() => stageAt(-1)).toThrow(RangeError);
  });

  it('can be set by the programme, and is refused when it makes no sense', () => {
    const data = structuredClone(yamlOf('flows/requirements.yaml')) as {
      others: { iron: { low: number; high: number } };
    };
    data.others.iron = { ...data.others.iron, low: 23, high: 23 };
    expect(openRequirements(data).others.iron.low).toBe(23);
    data.others.iron.low = 50;
    expect(() => openRequirements(data)).toThrow(ContentError);
  });
});
