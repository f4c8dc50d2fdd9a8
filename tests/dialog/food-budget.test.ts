import { describe, expect, it } from 'vitest';
import type { MadeDish } from '../../src/care/diet/substitution.ts';
import { askSays } from '../../src/dialog/asking.ts';
import { customPages } from '../../src/dialog/food-customs.ts';
import { type KeptDish, nothingKept } from '../../src/dialog/food-kept.ts';
import { dishMessages, keptOf } from '../../src/dialog/food-telling.ts';
import type { LineState, Mother } from '../../src/dialog/line.ts';
import { render } from '../../src/dialog/render.ts';
import { segmentBudget, segmentsOf } from '../../src/language/sms-segments.ts';
import { calendar, content, enrolled, monday, programme } from './conversation.ts';

const world = { now: monday, salt: 0, content, programme, calendar };
const base = enrolled().state;
const gsm = new Set(['en', 'hi-Latn']);

/** Two segments of 7-bit letters or three of UCS-2; a language in Latin letters is always 7-bit. */
function expectInBudget(text: string, language: string): void {
  const { encoding, segments } = segmentsOf(text);
  if (gsm.has(language)) expect(encoding, text).toBe('GSM-7');
  expect(segments, text).toBeLessThanOrEqual(segmentBudget[encoding]);
  expect(text).not.toMatch(/\{\{|undefined|null|NaN/u);
}

const lineOf = (
  language: string,
  dishes: readonly KeptDish[],
  chosen: number | null,
  at: number,
): LineState => {
  const cooking = { day: '2026-03-02', kitchen: [], unsure: [], dishes, chosen, at };
  const mothers = base.mothers.map((m): Mother => ({ ...m, eats: 'all', food: { ...nothingKept, cooking } }));
  return { ...base, language, mothers };
};

/** Each dish as it is known, and with the longest named food in each of its places. */
function waysOf(language: string): readonly MadeDish[] {
  const length = (id: string) => content.wording.say(`food.${id}`, {}, language, 'text').length;
  return [...content.food.dishes.byId.values()].flatMap((dish) => {
    const made = (longest: boolean): MadeDish => {
      const used = new Set<string>();
      const filled = dish.needs.map((slot) => {
        const free = slot.options.filter(({ food }) => !used.has(food));
        const sorted = longest ? [...free].sort((a, b) => length(b.food) - length(a.food)) : free;
        const option = sorted[0] ?? { food: '', grams: 0 };
        used.add(option.food);
        const own = slot.options[0]?.food ?? '';
        return { slot, ...option, insteadOf: option.food === own ? null : own };
      });
      const added = dish.mayAdd.flatMap((slot) => {
        const option = slot.options[0];
        return option === undefined || used.has(option.food) ? [] : [{ slot, ...option, insteadOf: null }];
      });
      return { dish, filled, added };
    };
    return [made(false), made(true)];
  });
}

describe.each(content.languages)('in %s', (language) => {
  it('tells every dish in messages that are within their budget', () => {
    for (const made of waysOf(language)) {
      const kept = keptOf(made, null);
      const state = lineOf(language, [kept], 0, 0);
      const messages = dishMessages(made, state.mothers[0] as Mother, state, world, 'text');
      expect(messages.length).toBeGreaterThan(made.dish.steps);
      expect(dishMessages(made, state.mothers[0] as Mother, state, world, 'voice')).toHaveLength(
        messages.length,
      );
      for (const at of messages.keys()) {
        const asking = standingOf('cook-step');
        const says = askSays(asking, lineOf(language, [kept], 0, at), world, 'text');
        expectInBudget(render(says, language, 'text', world), language);
      }
      const last = [{ key: 'kitchen.last', values: { step: messages.at(-1) ?? '' } }];
      expectInBudget(render(last, language, 'text', world), language);
    }
  }, 60_000);

  it('offers the three dishes with the longest names within the budget, one thing missing or not', () => {
    const name = (id: string) => content.wording.say(`dish.${id}.name`, {}, language, 'text');
    const longest = [...content.food.dishes.byId.keys()].sort((a, b) => name(b).length - name(a).length);
    const food = [...content.food.foods.keys()]
      .map((id) => ({ id, length: content.wording.say(`food.${id}`, {}, language, 'text').length }))
      .sort((a, b) => b.length - a.length);
    for (const missing of [null, food[0]?.id ?? '']) {
      const dishes = longest.slice(0, 3).map((dish) => ({ dish, foods: [], added: [], missing }));
      const says = askSays(standingOf('cook-pick'), lineOf(language, dishes, null, 0), world, 'text');
      expectInBudget(render(says, language, 'text', world), language);
    }
  });

  it('asks for the kitchen, page by page, in every month within the budget', () => {
    for (let month = 0; month < 12; month++) {
      const then = { ...world, now: Date.UTC(2026, month, 15, 6) };
      for (const step of content.dialogs.flows.get('cook')?.steps ?? []) {
        if (step.ask?.[0]?.kind !== 'menu') continue;
        for (const attempts of [0, 1, 2]) {
          const asking = { ...standingOf('cook'), step };
          const says = askSays(
            { ...asking, run: { ...asking.run, attempts } },
            lineOf(language, [], null, 0),
            then,
            'text',
          );
          expectInBudget(render(says, language, 'text', then), language);
        }
      }
    }
  });

  it('lists what mothers ask about within the budget, every one of it on a page', () => {
    const pages = customPages(content.food);
    expect(pages.flat().sort()).toEqual([...content.food.customs.keys()].sort());
    const flow = content.dialogs.flows.get('food-ask');
    const step = flow?.steps.find((s) => s.id === 'which');
    if (flow === undefined || step === undefined) throw new Error('no such step');
    for (const at of pages.keys()) {
      for (const attempts of [0, 1, 2]) {
        const run = { ...standingOf('food-ask').run, attempts, answers: { about: at + 1 } };
        const says = askSays(
          { kind: 'asking', flow, step, run },
          lineOf(language, [], null, 0),
          world,
          'text',
        );
        expectInBudget(render(says, language, 'text', world), language);
      }
    }
  });
});

/** A flow just opened, by a mother with one baby who is texting. */
function standingOf(flow: string) {
  const facts = {
    mother: base.mothers[0],
    languageCount: 4,
    languageKnown: true,
    motherCount: 1,
    weighingDue: false,
    talkDue: false,
  };
  const { at } = content.dialogs.step(null, { type: `OPEN.${flow}`, facts }, 0);
  const standing = content.dialogs.standing(at);
  if (standing.kind === 'quiet') throw new Error(`${flow} asks nothing`);
  return standing;
}
