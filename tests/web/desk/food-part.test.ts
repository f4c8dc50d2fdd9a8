import { describe, expect, it } from 'vitest';
import { groupsFromChoices } from '../../../src/care/diet/recall.ts';
import { nothingKept } from '../../../src/dialog/food-kept.ts';
import type { Mother } from '../../../src/dialog/line.ts';
import { openCalendar } from '../../../src/language/calendar.ts';
import { loadContent, loadDeskWords } from '../../../src/programme/load-content.ts';
import { foodPart } from '../../../src/web/desk/food-part.ts';
import { openSpeech } from '../../../src/web/desk/speech.ts';

const parts = {
  words: loadDeskWords(),
  content: loadContent(),
  calendar: openCalendar('Asia/Kolkata'),
  programme: { emergencyNumber: '112' },
};
const speechIn = (language: 'en' | 'hi') => openSpeech(parts, language, Date.UTC(2026, 10, 25));
const recall = (day: string) => ({
  day,
  groups: groupsFromChoices([[1, 2], null]),
  meals: 3,
  glassesOfWater: 8,
  iodisedSalt: true,
  sun: null,
  supplementsTaken: true,
  avoidedForBaby: null,
});
const dish = [...parts.content.food.dishes.byId.keys()][0] ?? '';
const mother = {
  eats: 'veg',
  food: {
    ...nothingKept,
    recalls: [recall('2026-11-20'), recall('2026-11-23')],
    offers: [
      { dish, day: '2026-11-20', cooked: false },
      { dish, day: '2026-11-23', cooked: true },
    ],
  },
} as unknown as Mother;

describe('what she eats, on the desk', () => {
  it('shows groups by day, what was missing, and dishes told and cooked', () => {
    const page = foodPart(mother, speechIn('en')).text;
    const { wording } = parts.content;
    expect(page).toContain(
      `${wording.say('foodGroup.grains', {}, 'en', 'text')}, ${wording.say('foodGroup.pulses', {}, 'en', 'text')}`,
    );
    expect(page).toMatch(/Often missing: [^<]*nuts/);
    expect(page).not.toMatch(/Often missing: [^<]*meat/);
    expect(page).toContain(wording.say(`dish.${dish}.name`, {}, 'en', 'text'));
    expect(page).toMatch(/told 2 times, cooked once/);
  });

  it('never gives one woman a count of groups', () => {
    expect(foodPart(mother, speechIn('en')).text).not.toMatch(/\b\d+ (of|\/) ?10\b|\bof ten\b/);
  });

  it('is in Hindi on the Hindi desk', () => {
    expect(foodPart(mother, speechIn('hi')).text).toContain(
      parts.content.wording.say('foodGroup.grains', {}, 'hi', 'text'),
    );
  });

  it('says that nothing was asked yet', () => {
    expect(foodPart({ eats: 'veg' } as unknown as Mother, speechIn('en')).text).toContain('Not asked yet');
  });
});
