import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { mayEat } from '../../src/care/diet/her-food.ts';
import { foodHistory } from '../../src/dialog/food-history.ts';
import { foodOf, herFood } from '../../src/dialog/food-of-her.ts';
import type { Mother } from '../../src/dialog/line.ts';
import { segmentBudget, segmentsOf } from '../../src/language/sms-segments.ts';
import { expectTheSameOnEachStore, onEachStore } from './each-store.ts';
import { type JourneyLine, journeyLine, numbers } from './journey-line.ts';
import { type CallStep, type Phone, phoneOf } from './people.ts';

const day = 86_400_000;
/** Monday 2 March 2026, 10:00 in India. */
const monday = Date.UTC(2026, 2, 2, 4, 30);

/** How a mother of each language writes a birth day, her kitchen and her question. Invented words. */
const ways = [
  {
    code: 'en',
    script: 'Latin',
    born: '20 Feb Asha',
    cook: 'what can I cook?',
    kitchen: 'spinach, gram flour and rice',
    powder: 'can I take shatavari powder?',
    leftOut: 'brinjal',
  },
  {
    code: 'hi',
    script: 'Devanagari',
    born: '20 फरवरी आशा',
    cook: 'क्या बनाऊं?',
    kitchen: 'पालक बेसन चावल',
    powder: 'क्या शतावरी ले सकती हूं?',
    leftOut: 'बैंगन',
  },
  {
    code: 'hi-Latn',
    script: 'Latin',
    born: '20 Feb Asha',
    cook: 'kya banau?',
    kitchen: 'palek besan chawal',
    powder: 'kya shatavari le sakti hu',
    leftOut: 'baingan',
  },
  {
    code: 'mr',
    script: 'Devanagari',
    born: '20 फेब्रुवारी आशा',
    cook: 'काय बनवू?',
    kitchen: 'पालक बेसन तांदूळ',
    powder: 'शतावरी घ्यावी का',
    leftOut: 'वांगी',
  },
] as const;

describe.each(onEachStore(ways))('the food of a mother who writes $code, on $on', (way) => {
  const { code, script, born, on } = way;
  let line: JourneyLine;
  let asha: Phone;
  const said = (key: string, values: Record<string, string | number> = {}) =>
    line.content.wording.say(key, values, code, 'text');
  const spoken = (key: string, values: Record<string, string | number> = {}) =>
    line.content.wording.say(key, values, code, 'voice');
  const mother = async (): Promise<Mother> => (await line.state(numbers.mother))?.mothers[0] as Mother;

  /** In her script, nothing left to fill in, and within what one message may cost. */
  const expectReadable = (text: string): string => {
    expect(text).not.toBe('');
    expect(text).not.toMatch(/\{\{|\uFFFD|undefined|null/u);
    const { encoding, segments } = segmentsOf(text);
    expect(encoding, text).toBe(script === 'Latin' ? 'GSM-7' : 'UCS-2');
    expect(segments, text).toBeLessThanOrEqual(segmentBudget[encoding]);
    return text;
  };
  const expectSpeakable = ({ words }: CallStep): string => {
    expect(words).not.toMatch(/\{\{|\uFFFD|undefined|null|[%&/=+]/u);
    if (code === 'en') expect(words).toMatch(/\p{Script=Latin}/u);
    else expect(words.replace(line.programme.name, '')).not.toMatch(/\p{Script=Latin}{3}/u);
    return words;
  };
  /** Nothing offered to her holds anything that she may not eat. */
  const expectHers = async (): Promise<void> => {
    const her = await mother();
    const { foods } = line.content.food;
    for (const dish of foodOf(her).cooking?.dishes ?? []) {
      for (const id of [...dish.foods, ...dish.added]) {
        const food = foods.get(id);
        expect(food !== undefined && mayEat(food, herFood(her)), id).toBe(true);
      }
    }
  };

  beforeEach(async () => {
    line = await journeyLine(monday, on);
    asha = phoneOf(line, numbers.mother, 'asha');
    await asha.text('JOIN');
    await asha.text(String(line.content.languages.indexOf(code) + 1));
    await asha.text(born);
    await asha.text('1 1 10');
    await asha.text('1 2.9');
  });
  afterEach(() => {
    expect(line.troubles).toEqual([]);
    return line.close();
  });

  it('cooks by text: her list, three dishes at most, then one message at a time', async () => {
    expect(expectReadable(await asha.text(way.cook))).toBe(said('ask.cook.kitchen.ask'));
    const offer = expectReadable(await asha.text(way.kitchen));
    await expectHers();
    const kitchen = foodOf(await mother()).cooking;
    expect(kitchen?.kitchen).toEqual(expect.arrayContaining(['spinach', 'besan', 'rice']));
    const dishes = kitchen?.dishes ?? [];
    expect(dishes.length).toBeGreaterThan(0);
    expect(dishes.length).toBeLessThanOrEqual(3);
    dishes.forEach(({ dish }, at) => {
      expect(offer).toContain(`${at + 1} ${said(`dish.${dish}.name`)}`);
    });
    let told = expectReadable(await asha.text('1'));
    expect(told).toContain(said(`dish.${dishes[0]?.dish}.name`));
    for (let step = 0; foodOf(await mother()).cooking !== null; step++) {
      expect(step).toBeLessThan(12);
      told = expectReadable(await asha.text('0'));
    }
    expect(told).toContain(said('kitchen.last', { step: '' }));
    expect(foodHistory(await mother()).dishes).toContainEqual({
      dish: dishes[0]?.dish,
      offered: 1,
      cooked: 1,
    });
  });

  it('takes a list of foods that she sends by herself as her kitchen', async () => {
    expectReadable(await asha.text(way.kitchen));
    expect(foodOf(await mother()).cooking?.dishes.length).toBeGreaterThan(0);
  });

  it('cooks by keypad, from pages of foods', async () => {
    await asha.ring();
    await asha.answer();
    expectSpeakable(await asha.press('*'));
    expect(expectSpeakable(await asha.press('8'))).toContain(spoken('field.foodKey.ask'));
    let step = await asha.press('1');
    for (const keys of ['12#', '12#', '123#', '1#']) {
      expect(expectSpeakable(step)).toContain('1');
      step = await asha.press(keys);
    }
    const cooking = foodOf(await mother()).cooking;
    expect(cooking?.dishes.length).toBeGreaterThan(0);
    await expectHers();
    expect(expectSpeakable(step)).toContain(spoken(`dish.${cooking?.dishes[0]?.dish}.name`));
    step = await asha.press('1');
    for (let presses = 0; foodOf(await mother()).cooking !== null; presses++) {
      expect(presses).toBeLessThan(12);
      expectSpeakable(step);
      step = await asha.press('1');
    }
    expect(expectSpeakable(step)).toContain(spoken('kitchen.last', { step: '' }));
  });

  it('asks about a powder by text: what is known, what makes milk, when to ask the counsellor', async () => {
    const reply = expectReadable(await asha.text(way.powder));
    expect(reply).toContain(said('custom.shatavari.known'));
    expect(reply).toContain(said('customTalk.drain'));
    expect(reply).not.toContain(said('customTalk.fine-food'));
    await line.forward(10_000);
    const [after = ''] = asha.received();
    expect(expectReadable(after)).toContain(said('customTalk.ask'));
    expect(after).toContain(said('customTalk.gains'));
  });

  it('asks about a powder by keypad', async () => {
    await asha.ring();
    await asha.answer();
    await asha.press('*');
    await asha.press('8');
    expect(expectSpeakable(await asha.press('2'))).toContain(spoken('field.about.ask'));
    expect(expectSpeakable(await asha.press('1'))).toContain(spoken('custom.shatavari.name'));
    const told = expectSpeakable(await asha.press('1'));
    expect(told).toContain(spoken('custom.shatavari.known'));
    expect(told).toContain(spoken('customTalk.drain'));
    expect(told).toContain(spoken('customTalk.ask'));
  });

  it('tells by text what she ate, and gets one small step that fits her', async () => {
    expect(expectReadable(await asha.text('FOOD'))).toBe(said('ask.food-menu.choose.ask'));
    expect(expectReadable(await asha.text('3'))).toBe(said('ask.diet.first.ask'));
    expect(expectReadable(await asha.text('1 2'))).toBe(said('ask.diet.second.ask'));
    expect(expectReadable(await asha.text('4'))).toBe(said('ask.diet.rest.ask'));
    const reply = expectReadable(await asha.text(`3 6 1 2 1 ${way.leftOut}`));
    expect(reply).toContain(said('customTalk.drain'));
    expect(reply).not.toMatch(/\d/u);
    const her = await mother();
    const history = foodHistory(her);
    expect(history.days).toEqual([
      { day: '2026-03-01', eaten: ['grains', 'pulses', 'vegetables'], open: [] },
    ]);
    expect(history.recalls[0]).toMatchObject({
      meals: 3,
      glassesOfWater: 6,
      iodisedSalt: true,
      sun: false,
      supplementsTaken: true,
      avoidedForBaby: way.leftOut,
    });
    expect(herFood(her).avoids).toEqual(['brinjal']);
    // Vegetarian: no gap of meat or eggs is ever counted.
    expect(history.gaps.map(({ group }) => group)).not.toContain('flesh');
    expect(history.gaps.map(({ group }) => group)).not.toContain('eggs');
  });

  it('tells by keypad what she ate', async () => {
    await asha.text('FOOD');
    await asha.text('3');
    await asha.ring();
    let step = await asha.answer();
    expect(expectSpeakable(step)).toContain(spoken('field.ateFirst.ask'));
    for (const keys of ['12#', '0#', '3#', '8#', '3', '1', '2', '2']) {
      expect(step.keysTo).toBeDefined();
      step = await asha.press(keys);
      expectSpeakable(step);
    }
    expect(step.words).toContain(spoken('customTalk.drain'));
    expect(foodHistory(await mother()).recalls[0]).toMatchObject({
      groups: { grains: true, pulses: true, nuts: false, eggs: false, fruits: false },
      meals: 3,
      glassesOfWater: 8,
      iodisedSalt: null,
      sun: true,
      supplementsTaken: false,
      avoidedForBaby: null,
    });
  });

  it('is asked what she ate after a check-in, in a message of its own, at most twice a week', async () => {
    const asked: number[] = [];
    for (let on = 1; on <= 21; on++) {
      await line.forward(day);
      asha.received();
      let reply = await asha.text('9 3 6 4');
      reply = await asha.text('1 1 0');
      if (reply.includes(said('ask.check-in.weigh.ask', { baby: said('baby.only') }))) {
        reply = await asha.text(`${(2.9 + 0.03 * on).toFixed(2)} 1`);
      }
      for (let more = 0; more < 2 && /1 1/u.test(reply); more++) reply = await asha.text('1 1');
      await line.forward(300_000);
      const texts = asha.received();
      if (!texts.includes(said('ask.diet.first.ask'))) continue;
      asked.push(on);
      texts.forEach(expectReadable);
      await asha.text('1 2 4');
      await asha.text('2 4 5');
      expectReadable(await asha.text('3 8 1 1 1 0'));
    }
    expect(asked.length).toBeGreaterThanOrEqual(3);
    for (const on of asked) {
      expect(asked.filter((other) => other >= on && other < on + 7).length).toBeLessThanOrEqual(2);
    }
  });
});

expectTheSameOnEachStore();
