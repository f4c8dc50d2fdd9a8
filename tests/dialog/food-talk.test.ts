import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mayEat } from '../../src/care/diet/her-food.ts';
import { foodHistory } from '../../src/dialog/food-history.ts';
import { foodOf, lineFood } from '../../src/dialog/food-of-her.ts';
import { avoidedFoods, isDietDue } from '../../src/dialog/food-recall.ts';
import { namesOnlyFood } from '../../src/dialog/food-questions.ts';
import type { LineState, Mother } from '../../src/dialog/line.ts';
import {
  calendar,
  content,
  conversation,
  day,
  enrolled,
  monday,
  place,
  programme,
  said,
} from './conversation.ts';

const world = { now: monday, salt: 0, content, programme, calendar };
const motherOf = (state: LineState): Mother => state.mothers[0] as Mother;
const cookingOf = (state: LineState) => foodOf(motherOf(state)).cooking;

/** What is offered now that somebody on this line may not eat. */
function forbidden(state: LineState): readonly string[] {
  const her = lineFood(state);
  return (cookingOf(state)?.dishes ?? [])
    .flatMap(({ foods, added }) => [...foods, ...added])
    .filter((id) => {
      const food = content.food.foods.get(id);
      return food === undefined || !mayEat(food, her);
    });
}

const withFood = (state: LineState, part: Partial<Mother>): LineState => ({
  ...state,
  mothers: state.mothers.map((m) => ({ ...m, ...part })),
});

describe('what is offered to her', () => {
  it('never holds a food that she avoids, is allergic to or does not eat, stand-ins included', () => {
    const ids = [...content.food.foods.keys()];
    const name = (id: string) => content.wording.say(`food.${id}`, {}, 'en', 'text');
    const start = enrolled().state;
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.constantFrom(...ids), { minLength: 3, maxLength: 14 }),
        fc.uniqueArray(fc.constantFrom(...ids), { maxLength: 12 }),
        fc.uniqueArray(fc.constantFrom('milk', 'peanut', 'egg', 'gluten', 'sesame', 'soya', 'fish'), {
          maxLength: 2,
        }),
        fc.constantFrom('veg', 'egg', 'all'),
        (kitchen, avoids, allergies, eats) => {
          const before = foodOf(motherOf(start));
          const talk = conversation(withFood(start, { eats, food: { ...before, avoids, allergies } }));
          talk.text('cook');
          talk.text(kitchen.map(name).join(', '));
          expect(forbidden(talk.state)).toEqual([]);
          if (cookingOf(talk.state)?.dishes.length === 0) return;
          talk.text('1');
          const lacking = cookingOf(talk.state)?.dishes[0]?.foods[0];
          if (lacking === undefined) return;
          talk.text(`no ${name(lacking)}`);
          expect(forbidden(talk.state)).toEqual([]);
        },
      ),
      { numRuns: 150 },
    );
  });

  it('on a shared phone is what both mothers may eat', () => {
    const state = enrolled().state;
    const [asha] = state.mothers;
    if (asha === undefined) throw new Error('no mother');
    const two = {
      ...state,
      mothers: [
        { ...asha, eats: 'all' as const },
        { ...asha, name: 'Rekha' },
      ],
    };
    const her = lineFood(two);
    expect(her.eats).toBe('veg');
    const talk = conversation(two);
    talk.text('cook');
    talk.text('egg, onion, tomato, chicken, rice, spinach, besan');
    expect(cookingOf(talk.state)?.dishes.length).toBeGreaterThan(0);
    expect(forbidden(talk.state)).toEqual([]);
  });

  it('is not offered again at once when there is something else', () => {
    const talk = enrolled();
    const list = 'besan, spinach, rice, moong dal, tomato, wheat flour, potato, curd, onion';
    talk.text(list);
    const first = cookingOf(talk.state)?.dishes.map(({ dish }) => dish) ?? [];
    expect(first).toHaveLength(3);
    talk.text('0');
    talk.text(list);
    const second = cookingOf(talk.state)?.dishes.map(({ dish }) => dish) ?? [];
    expect(second.filter((dish) => first.includes(dish))).toEqual([]);
    expect(foodHistory(motherOf(talk.state)).dishes).toHaveLength(6);
  });

  it('names what stands in when she lacks one thing in the middle of it', () => {
    const talk = enrolled();
    talk.text('spinach, besan');
    talk.text('1');
    const reply = talk.text('no spinach');
    const dish = cookingOf(talk.state)?.dishes[0];
    expect(dish?.dish).toBe('greens-cheela');
    expect(dish?.foods[1]).not.toBe('spinach');
    const instead = said(`food.${dish?.foods[1]}`);
    expect(reply).toContain(said('dishTalk.instead', { food: said('food.spinach'), instead }));
  });
});

describe('a text about food while nothing is asked', () => {
  it.each([
    ['is shatavari good for milk?', 'shatavari'],
    ['methi ke laddoo khau?', 'fenugreek-seeds'],
    ['gond laddoo', 'edible-gum'],
    ['शतावरी घ्यावी का', 'shatavari'],
    ['क्या मैं जीरा पानी पी सकती हूं', 'cumin-water'],
    ['can i drink beer', 'alcohol'],
    ['shahad de sakte hain kya', 'honey-ghutti'],
  ])('answers "%s"', (body, custom) => {
    const talk = enrolled();
    expect(talk.text(body)).toContain(said(`custom.${custom}.known`));
    expect(place(talk.state)).toBe('quiet');
  });

  it.each([
    'doodh kam aa raha hai',
    'milk is less today',
    'baby does not drink milk',
    'मेरा दूध कम है',
    'दूध कमी येते',
    'baby drinks water',
    'milk powder for baby',
    'pani kam piti hu',
    'gas',
    '9 3 6 4',
    'thank you',
    'hello',
  ])('is not taken for a question about a food: "%s"', (body) => {
    const talk = enrolled();
    talk.text(body);
    expect(talk.journal.filter(({ kind }) => kind === 'asked-about-food' || kind === 'kitchen')).toEqual([]);
  });

  it('never goes before a danger, in the middle of a dish or of a question', () => {
    for (const before of [[], ['cook'], ['spinach, besan'], ['spinach, besan', '1'], ['food', '3']]) {
      const talk = enrolled();
      for (const body of before) talk.text(body);
      expect(talk.text('baby has fever after methi, can i eat methi?')).toContain('112');
      expect(talk.openAlerts().length + (talk.state.unconfirmed === null ? 0 : 1)).toBeGreaterThan(0);
    }
  });

  it('reads a food whose name is like a danger word as the food, only where nothing but food is said', () => {
    const talk = enrolled();
    talk.text('palak besan anda');
    expect(place(talk.state)).toBe('cook-pick/dish');
    expect(talk.state.alerts).toEqual([]);
    // With a word beside that is no food, misspelt, or alone when nobody asked, it may be what it looks like.
    expect(namesOnlyFood('palak besan anda', ['besan'], false, world)).toBe(true);
    expect(namesOnlyFood('besan nahi hai', ['besan'], true, world)).toBe(true);
    expect(namesOnlyFood('besan', ['besan'], false, world)).toBe(false);
    expect(namesOnlyFood('palak besan anda bachcha', ['besan'], true, world)).toBe(false);
    expect(namesOnlyFood('palak bezan anda', ['bezan'], true, world)).toBe(false);
    expect(namesOnlyFood('palak anda besudh', ['besudh'], true, world)).toBe(false);
  });
});

describe('what she keeps away from', () => {
  it.each([
    ['brinjal', ['brinjal']],
    ['baingan nahi', ['brinjal']],
    ['वांगी', ['brinjal']],
  ])('is read from "%s"', (text, avoids) => {
    expect(avoidedFoods(text, world).avoids).toEqual(avoids);
  });

  it('is the whole group when she names it by its everyday name', () => {
    for (const text of ['dal', 'दाल', 'डाळ', 'daal nahi khati']) {
      const { avoids } = avoidedFoods(text, world);
      expect(avoids).toEqual(expect.arrayContaining(['toor-dal', 'moong-dal', 'masoor-dal', 'chana-dal']));
    }
    expect(avoidedFoods('fish', world).avoids).toEqual(expect.arrayContaining(['rohu', 'katla', 'bangda']));
  });

  it('is everything of the allergen when she says allergy', () => {
    expect(avoidedFoods('peanut allergy', world).allergies).toContain('peanut');
    expect(avoidedFoods('अंडे से एलर्जी', world).allergies).toContain('egg');
  });
});

describe('when she is asked what she ate', () => {
  it('begins on the seventh day and comes at most twice in seven days', () => {
    const mother = motherOf(enrolled().state);
    const days = Array.from({ length: 60 }, (_, i) => new Date(monday + i * day).toISOString().slice(0, 10));
    let askedOn: readonly string[] = [];
    const asked = days.filter((today) => {
      const due = isDietDue({ ...mother, food: { ...foodOf(mother), askedOn } }, today);
      if (due) askedOn = [...askedOn, today].slice(-2);
      return due;
    });
    // Tara was born on 26 February.
    expect(asked[0]).toBe('2026-03-05');
    for (const from of days) {
      const to = new Date(Date.parse(from) + 6 * day).toISOString().slice(0, 10);
      expect(asked.filter((on) => on >= from && on <= to).length).toBeLessThanOrEqual(2);
    }
    expect(asked.length).toBeGreaterThanOrEqual(14);
  });

  it('keeps a check-in under it: what she answered is judged when both fall silent', () => {
    const talk = enrolled();
    talk.wait(day);
    talk.text('1 10 0 0');
    expect(place(talk.state)).toBe('check-in/body');
    talk.text('cook');
    expect(place(talk.state)).toBe('cook/kitchen');
    talk.wait(8 * 3_600_000);
    expect(motherOf(talk.state).checkIns.at(-1)?.answers).toMatchObject({ 'feeds#0': 1, 'wet#0': 0 });
    expect(talk.openAlerts().length).toBeGreaterThan(0);
  });

  it('reads a line that was saved before food was asked', () => {
    const talk = enrolled();
    expect(motherOf(talk.state).food).toBeUndefined();
    expect(foodHistory(motherOf(talk.state))).toMatchObject({ days: [], dishes: [], avoids: [] });
    talk.text('spinach, besan');
    expect(cookingOf(talk.state)?.dishes.length).toBeGreaterThan(0);
  });
});
