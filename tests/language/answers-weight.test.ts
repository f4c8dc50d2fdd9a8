import { describe, expect, it } from 'vitest';
import { asked, told } from './answer-reading.ts';

const grams = (text: string): unknown => told(text, asked.weight);

describe('a weight', () => {
  it.each([
    ['3 kilo 200', 3200],
    ['3 kg 200 gm', 3200],
    ['3kg200', 3200],
    ['3.2', 3200],
    ['3,2', 3200],
    ['3 200', 3200],
    ['3,200', 3200],
    ['3200', 3200],
    ['३.२ किलो', 3200],
    ['३२०० ग्रॅम', 3200],
    ['teen kilo do sau gram', 3200],
    ['तीन किलो दोनशे ग्रॅम', 3200],
    ['teen kilo donshe gram', 3200],
    ['3 kilo do so gram', 3200],
    ['2 kilo 9 sau', 2900],
    ['do hazar nau sau', 2900],
    ['two kilo eight hundred grams', 2800],
    ['two point eight kg', 2800],
    ['3½ kg', 3500],
    ['kg 3.2', 3200],
    ['bachche ka vajan 3.1 hai', 3100],
    ['about 3 kilo', 3000],
    ['a kilo', 1000],
    ['3.4 kg (3400 g)', 3400],
    ['.5 kg', 500],
    ['3 कि.ग्रा.', 3000],
  ])('"%s" is %i g', (text, value) => {
    expect(grams(text)).toBe(value);
  });

  // The market words of north and west India: sava is a quarter more, paune a quarter less, sadhe a half more, dedh 1.5,
  // dhai 2.5, pav a quarter kilo. Common usage; meanings as in any Hindi or Marathi dictionary, from memory.
  it.each([
    ['sava teen kilo', 3250],
    ['सवा तीन किलो', 3250],
    ['सव्वा तीन किलो', 3250],
    ['savva tin kilo', 3250],
    ['sawa kilo', 1250],
    ['paune teen kilo', 2750],
    ['पौने तीन किलो', 2750],
    ['पावणेतीन किलो', 2750],
    ['pavne tin kilo', 2750],
    ['sadhe teen kilo', 3500],
    ['साढ़े तीन किलो', 3500],
    ['साडेतीन किलो', 3500],
    ['sadetin kilo', 3500],
    ['sadhe 3', 3500],
    ['dedh kilo', 1500],
    ['डेढ़ किलो', 1500],
    ['दीड किलो', 1500],
    ['deed kilo', 1500],
    ['dhai kilo', 2500],
    ['ढाई किलो', 2500],
    ['अडीच किलो', 2500],
    ['adich kilo', 2500],
    ['aadha kilo', 500],
    ['do pav', 500],
    ['teen kilo ek pav', 3250],
    ['sadhe teen sau gram', 350],
    ['teen kilo dhai sau gram', 3250],
    ['dedh hazar gram', 1500],
  ])('"%s" is %i g', (text, value) => {
    expect(grams(text)).toBe(value);
  });

  // 1 lb = 453.59237 g exactly, 1 oz = 1/16 lb: NIST Handbook 44 (2024), appendix C.
  it.each([
    ['7 lb', 7 * 453.59237],
    ['7 lb 8 oz', 7.5 * 453.59237],
    ['6lbs 4oz', 6.25 * 453.59237],
    ['six pounds', 6 * 453.59237],
    ['100 ounces', 6.25 * 453.59237],
  ])('"%s" is turned to whole grams', (text, exact) => {
    expect(grams(text)).toBe(Math.round(exact));
  });

  it.each([
    ['10', 10_000],
    ['500', 500],
    ['0.9', 900],
  ])('a bare %s is told by its size', (text, value) => {
    expect(grams(text)).toBe(value);
  });

  it.each([
    '10.5',
    '11',
    '50',
    '499',
    '3200 or 3300',
    '3200,3300',
    'do teen kilo',
    '3-4 kg',
    '3 kg se 4 kg',
    '2.8 now 3.1',
    '2 kilo 5',
    '3 kilo abc gram',
    'thik hai',
    '',
  ])('"%s" is asked again', (text) => {
    expect(grams(text)).toBe('unclear');
  });

  it('reads an impossible weight and says so', () => {
    expect(grams('32 kg')).toEqual({ outOfRange: 32_000 });
    expect(grams('100 gram')).toEqual({ outOfRange: 100 });
  });

  it('asks back where part of it is guessed', () => {
    expect(grams('3 kilo 50')).toEqual({ doubtful: 3050 });
    expect(grams('7 lb 8')).toEqual({ doubtful: Math.round(7.5 * 453.59237) });
    expect(grams('3kq')).toEqual({ doubtful: 3000 });
    expect(grams('more than 3 kg')).toEqual({ doubtful: 3000 });
  });
});
