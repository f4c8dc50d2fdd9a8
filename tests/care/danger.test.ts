import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dangerTier, signTier } from '../../src/care/danger.ts';
import { babyDanger } from '../../src/care/danger-baby.ts';
import { motherDanger } from '../../src/care/danger-mother.ts';
import {
  babySignCodes,
  motherSignCodes,
  type Sign,
  type SignCode,
  type SignDetail,
  type Tier,
} from '../../src/care/signs.ts';
import { urgency } from '../../src/care/tier.ts';
import { breathsSign, motherTemperatureSign, temperatureSign } from '../../src/care/vital-signs.ts';

type Row = readonly [
  code: SignCode,
  ageDays: number,
  detail: SignDetail,
  also: readonly SignCode[],
  tier: Tier,
];

/** WHO/UNICEF IMCI 2014 and 2019, WHO postnatal care 2022, NICE NG143 and CG98; our caution where they are silent. */
const baby: readonly Row[] = [
  ['not-feeding', 59, { mild: true }, [], 'A'],
  ['not-feeding', 60, { mild: true }, [], 'B'],
  ['not-feeding', 60, {}, [], 'A'],
  ['convulsion', 400, {}, [], 'A'],
  ['fast-breathing', 59, {}, [], 'A'],
  ['fast-breathing', 60, {}, [], 'B'],
  ['fast-breathing', 30, { breathsPerMinute: 60 }, [], 'A'],
  ['fast-breathing', 30, { breathsPerMinute: 59 }, [], 'B'],
  ['fast-breathing', 30, { breathsPerMinute: 30 }, [], 'A'],
  ['fast-breathing', 30, { breathsPerMinute: 31 }, [], 'B'],
  ['fast-breathing', 200, { severe: true }, [], 'A'],
  ['fast-breathing', 200, { breathsPerMinute: 52 }, ['chest-indrawing'], 'A'],
  ['chest-indrawing', 200, {}, [], 'A'],
  ['lethargy', 200, {}, [], 'A'],
  ['fever', 59, { temperatureC: 37.5 }, [], 'A'],
  ['fever', 91, {}, [], 'A'],
  ['fever', 92, {}, [], 'B'],
  ['fever', 100, { temperatureC: 38.9 }, [], 'B'],
  ['fever', 100, { temperatureC: 39 }, [], 'A'],
  ['fever', 100, {}, ['stiff-neck-soft-spot'], 'A'],
  ['fever', 100, {}, ['eye-infection'], 'A'],
  ['fever', 100, {}, ['maternal-fever'], 'B'],
  ['cold', 59, {}, [], 'A'],
  ['cold', 60, {}, [], 'B'],
  ['cold', 10, { temperatureC: 35.4 }, [], 'A'],
  ['cold', 10, { temperatureC: 35.5 }, [], 'B'],
  ['jaundice', 0, {}, [], 'A'],
  ['jaundice', 1, {}, [], 'B'],
  ['jaundice', 14, {}, [], 'B'],
  ['jaundice', 30, {}, [], 'B'],
  ['jaundice', 100, {}, [], 'B'],
  ['jaundice', 5, { palmsOrSoles: true }, [], 'A'],
  ['jaundice', 100, { palmsOrSoles: true }, [], 'A'],
  ['jaundice', 5, {}, ['not-feeding'], 'A'],
  ['jaundice', 5, {}, ['lethargy'], 'A'],
  ['cord-skin-infection', 10, {}, [], 'B'],
  ['cord-skin-infection', 10, { severe: true }, [], 'A'],
  ['cord-skin-infection', 100, {}, ['fever'], 'A'],
  ['blood-in-stool', 59, {}, [], 'A'],
  ['blood-in-stool', 60, {}, [], 'B'],
  ['blood-in-stool', 60, { severe: true }, [], 'A'],
  ['dehydration', 59, {}, [], 'A'],
  ['dehydration', 60, {}, [], 'B'],
  ['dehydration', 60, { severe: true }, [], 'A'],
  ['persistent-vomiting', 300, {}, [], 'A'],
  ['no-urine', 10, {}, [], 'B'],
  ['no-urine', 10, { hours: 17 }, [], 'B'],
  ['no-urine', 10, { hours: 18 }, [], 'A'],
  ['no-urine', 10, { hours: 8 }, [], 'B'],
  ['no-urine', 10, { hours: 7 }, [], 'C'],
  ['no-urine', 91, { hours: 8 }, [], 'B'],
  ['no-urine', 92, { hours: 8 }, [], 'C'],
  ['no-urine', 5, { hours: 8 }, [], 'B'],
  ['no-urine', 4, { hours: 8 }, [], 'C'],
  ['no-urine', 100, { hours: 11 }, [], 'C'],
  ['no-urine', 100, { hours: 12 }, [], 'B'],
  ['no-urine', 100, {}, ['dehydration'], 'A'],
  ['faint', 100, {}, [], 'A'],
  ['stiff-neck-soft-spot', 100, {}, [], 'A'],
  ['rash-with-fever', 100, {}, [], 'A'],
  ['eye-infection', 27, {}, [], 'A'],
  ['eye-infection', 28, {}, [], 'B'],
  ['eye-infection', 10, { mild: true }, [], 'C'],
  ['newborn-bleeding', 5, {}, [], 'A'],
  ['swollen-belly', 5, {}, [], 'A'],
  ['pale-stools', 20, {}, [], 'B'],
];

/** WHO PCPNC 2015, WHO postnatal care 2022, ABM Protocol 36, WHO mhGAP. */
const mother: readonly Row[] = [
  ['foul-discharge', 5, {}, ['breast-red-fever'], 'A'],
  ['abdominal-pain', 5, {}, ['breast-red-fever'], 'A'],
  ['wound', 5, {}, ['breast-red-fever'], 'A'],
  ['breast-red-fever', 5, {}, ['wound'], 'B'],
  ['bleeding', 3, {}, [], 'A'],
  ['bleeding', 3, { mild: true }, [], 'B'],
  ['headache-vision', 200, {}, [], 'A'],
  ['headache-vision', 6, { mild: true }, [], 'B'],
  ['maternal-convulsion', 3, { mild: true }, [], 'A'],
  ['maternal-fever', 5, {}, [], 'B'],
  ['maternal-fever', 5, { severe: true }, [], 'A'],
  ['maternal-fever', 10, {}, ['foul-discharge'], 'A'],
  ['maternal-fever', 11, {}, ['foul-discharge'], 'B'],
  ['maternal-fever', 10, {}, ['abdominal-pain'], 'A'],
  ['maternal-fever', 20, { temperatureC: 38 }, [], 'B'],
  ['maternal-fever', 20, { temperatureC: 37.9 }, [], 'C'],
  ['breathless', 3, {}, [], 'A'],
  ['chest-pain', 3, {}, [], 'A'],
  ['abdominal-pain', 20, {}, [], 'B'],
  ['abdominal-pain', 20, { severe: true }, [], 'A'],
  ['abdominal-pain', 20, {}, ['maternal-fever'], 'A'],
  ['foul-discharge', 20, {}, [], 'B'],
  ['foul-discharge', 20, {}, ['maternal-fever'], 'A'],
  ['breast-red-fever', 12, {}, [], 'B'],
  ['breast-red-fever', 12, { severe: true }, [], 'A'],
  ['breast-red-fever', 12, { mild: true }, [], 'C'],
  ['leg-swelling', 12, {}, [], 'B'],
  ['leg-swelling', 12, {}, ['breathless'], 'A'],
  ['leg-swelling', 12, {}, ['chest-pain'], 'A'],
  ['leg-swelling', 12, {}, ['headache-vision'], 'A'],
  ['wound', 12, {}, [], 'B'],
  ['wound', 12, {}, ['maternal-fever'], 'A'],
  ['self-harm', 300, { mild: true }, [], 'A'],
  ['harm-baby', 300, { mild: true }, [], 'A'],
  ['faint', 3, {}, [], 'A'],
  ['faint', 3, { mild: true }, [], 'B'],
];

describe('danger signs', () => {
  it.each(baby)('baby: %s at %i days %o with %o is %s', (code, ageDays, detail, alsoSigns, tier) => {
    expect(signTier({ code, who: 'baby', detail }, { babyAgeDays: ageDays, alsoSigns }).tier).toBe(tier);
  });

  it.each(mother)('mother: %s at %i days %o with %o is %s', (code, motherDays, detail, alsoSigns, tier) => {
    expect(signTier({ code, who: 'mother', detail }, { motherDays, alsoSigns }).tier).toBe(tier);
  });

  it('has a row with a source for every code', () => {
    expect(Object.keys(babyDanger).sort()).toEqual([...babySignCodes].sort());
    expect(Object.keys(motherDanger).sort()).toEqual([...motherSignCodes].sort());
    for (const [code, row] of [...Object.entries(babyDanger), ...Object.entries(motherDanger)]) {
      expect(row.code).toBe(code);
      expect(row.source).toMatch(/[A-Za-z]{3}/);
    }
  });

  it('reads an unknown age as that of a newborn', () => {
    expect(signTier({ code: 'fever', who: 'baby' }, {}).tier).toBe('A');
    expect(signTier({ code: 'fast-breathing', who: 'baby' }, {}).tier).toBe('A');
  });
});

/** WHO/UNICEF IMCI 2014: 60, 50 and 40 breaths; 37.5 and 35.5 C under the arm. WHO PCPNC 2015: 38.0 C in the mother. */
describe('temperature and breaths against age', () => {
  const breaths: readonly (readonly [number, number, boolean])[] = [
    [60, 59, true],
    [59, 59, false],
    [50, 60, true],
    [49, 60, false],
    [50, 365, true],
    [49, 365, false],
    [40, 366, true],
    [39, 366, false],
    [30, 59, true],
    [31, 59, false],
    [30, 60, false],
  ];
  it.each(breaths)('%i breaths at %i days: a sign is %s', (count, ageDays, isSign) => {
    expect(breathsSign(count, ageDays)?.code === 'fast-breathing').toBe(isSign);
  });

  const temperatures: readonly (readonly [number, number, string | undefined])[] = [
    [37.5, 59, 'fever'],
    [37.4, 59, undefined],
    [37.5, 400, 'fever'],
    [36.5, 59, undefined],
    [36.4, 59, 'cold'],
    [35.5, 60, undefined],
    [35.4, 60, 'cold'],
  ];
  it.each(temperatures)('%d C at %i days makes %s', (celsius, ageDays, code) => {
    expect(temperatureSign(celsius, ageDays)?.code).toBe(code);
  });

  it('knows her own fever from 38.0 C', () => {
    expect(motherTemperatureSign(38)?.code).toBe('maternal-fever');
    expect(motherTemperatureSign(37.9)).toBeUndefined();
  });
});

const babySign = fc.constantFrom(...babySignCodes).map((code): Sign => ({ code, who: 'baby' }));
const motherSign = fc.constantFrom(...motherSignCodes).map((code): Sign => ({ code, who: 'mother' }));
const detail: fc.Arbitrary<SignDetail> = fc.record(
  {
    temperatureC: fc.double({ min: 34, max: 42, noNaN: true }),
    breathsPerMinute: fc.integer({ min: 10, max: 120 }),
    hours: fc.integer({ min: 0, max: 48 }),
    severe: fc.boolean(),
    mild: fc.boolean(),
    palmsOrSoles: fc.boolean(),
  },
  { requiredKeys: [] },
);
const someSign = fc
  .tuple(fc.oneof(babySign, motherSign), detail)
  .map(([sign, d]): Sign => ({ ...sign, detail: d }));

describe('what holds for any told signs', () => {
  it('never answers a told sign with none', () => {
    fc.assert(
      fc.property(someSign, fc.integer({ min: 0, max: 730 }), (sign, days) => {
        expect(signTier(sign, { babyAgeDays: days, motherDays: days }).tier).not.toBe('none');
      }),
    );
  });

  it('never gets calmer when one more sign is told', () => {
    fc.assert(
      fc.property(
        fc.array(someSign, { maxLength: 4 }),
        someSign,
        fc.integer({ min: 0, max: 730 }),
        (signs, more, days) => {
          const context = { babyAgeDays: days, motherDays: days };
          const before = dangerTier(signs, context);
          const after = dangerTier([...signs, more], context);
          expect(urgency(after.tier)).toBeGreaterThanOrEqual(urgency(before.tier));
          expect(after.tier).not.toBe('none');
          expect(after.reasons).toHaveLength(signs.length + 1);
        },
      ),
    );
  });

  it('never gets calmer as the baby gets younger, for a bare code', () => {
    fc.assert(
      fc.property(babySign, fc.nat(730), fc.nat(730), (sign, a, b) => {
        const younger = signTier(sign, { babyAgeDays: Math.min(a, b) }).tier;
        const older = signTier(sign, { babyAgeDays: Math.max(a, b) }).tier;
        expect(urgency(younger)).toBeGreaterThanOrEqual(urgency(older));
      }),
    );
  });
});
