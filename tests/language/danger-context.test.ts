import { describe, expect, it } from 'vitest';
import { readDanger } from '../../src/language/danger/index.ts';
import { phrases, signsAskedOrTold, signsIn } from './danger-phrases.ts';

describe('what is not a danger', () => {
  it.each([
    'no fever',
    'no fever, vomiting or fits',
    'bukhar nahi hai',
    'ताप नाही',
    'उल्टी दस्त कुछ नहीं',
    'fit ali nahi',
    'fit and fine',
    'his clothes fit him well',
    'he is in a blue blanket',
    'pili dal khayi',
    'peeli potty karta hai',
    'the weather is very hot',
    'khana thanda ho gaya',
    'dying to sleep',
    'sleeping well',
    'she bleeds me dry',
    '9 6 4 0',
    'sab thik hai',
    '8 baar doodh piya',
    'wet nappies 6',
    'temperature is 36.8',
    'yes',
    'हाँ',
    '९ ६ ४ ०',
    'thank you didi',
    'baby had fever last week, now fine',
    'pichle mahine bukhar tha ab theek hai',
    'bukhar utar gaya',
    'my neighbour’s baby has fever, mine is fine',
    'how do i know if a baby has fever, just asking',
    'रक्त तपासणी केली',
  ])('finds nothing in "%s"', (text) => {
    expect(signsIn(text)).toEqual([]);
  });
});

describe('what is a danger all the same', () => {
  it.each([
    ['baby fever is not coming down', 'baby fever'],
    ['bacche ka bukhar nahi utar raha', 'baby fever'],
    ['बाळाचा ताप उतरत नाही', 'baby fever'],
    ['not only fever, baby has fits', 'baby convulsion'],
    ['no fever but not feeding', 'baby not-feeding'],
    ['not vomiting, only fever', 'baby fever'],
    ['bukhar nahi par doodh nahi pi raha', 'baby not-feeding'],
    ['everything is fine. i dont want to live', 'mother self-harm'],
    ['bleeding stopped and started again, very heavy', 'mother bleeding'],
  ])('reads "%s" as %s', (text, sign) => {
    expect(signsAskedOrTold(text)).toContain(sign);
  });

  it.each(['i do not want to kill myself', 'no thoughts of suicide', 'marne ka khayal nahi hai'])(
    'never lets thoughts of harm go, though denied: "%s"',
    (text) => {
      expect(signsAskedOrTold(text)).toContain('mother self-harm');
    },
  );

  it('asks of whom when nobody is named', () => {
    expect(signsIn('bukhar hai')).toEqual(['baby fever?', 'mother maternal-fever?']);
  });

  it('asks about a fit of another family’s child', () => {
    expect(signsIn('my friend’s baby has fits')).toContain('baby convulsion?');
  });
});

describe('what is told beside a sign', () => {
  const detail = (text: string, code: string) =>
    readDanger(text, phrases).signs.find((sign) => sign.code === code)?.detail;

  it.each([
    // (F - 32) × 5/9, the definition of the Fahrenheit scale: 101 F is 38.3 C, 102 F is 38.9 C.
    ['baby temp 101F', 38.3],
    ['baby ko 102 bukhar', 38.9],
    ['baby 39.2', 39.2],
    ['बाळाला ३८.५ ताप', 38.5],
  ])('reads the temperature in "%s"', (text, celsius) => {
    expect(detail(text, 'fever')?.temperatureC).toBe(celsius);
  });

  it('reads a low temperature as cold', () => {
    expect(detail('baby temperature 34.9', 'cold')?.temperatureC).toBe(34.9);
  });

  it('reads breaths, hours without urine, and yellow palms', () => {
    expect(detail('baby is breathing 65 times a minute', 'fast-breathing')?.breathsPerMinute).toBe(65);
    expect(detail('8 ghante se susu nahi', 'no-urine')?.hours).toBe(8);
    expect(detail('baby palms are yellow', 'jaundice')?.palmsOrSoles).toBe(true);
  });

  it('sends a worried text without a sign on as worried', () => {
    expect(readDanger('please call me i am worried', phrases)).toEqual({ signs: [], worried: true });
  });
});
