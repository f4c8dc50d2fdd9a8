import { z } from 'zod';
import { ContentError } from '../../errors.ts';
import { type Allergen, allergens, type Foods } from './foods.ts';
import { type HerFood, mayEat } from './her-food.ts';

export const asks = [
  'sugar-medicine',
  'blood-thinner',
  'pregnancy',
  'thyroid',
  'asthma',
  'allergy',
  'heart',
  'illness',
] as const;

const customSchema = z.strictObject({
  kind: z.enum(['food', 'powder', 'custom', 'harm']),
  'ask-more': z.array(z.enum(asks)).default([]),
  allergens: z.array(z.enum(allergens)).default([]),
  foods: z.array(z.string()).default([]),
});

export const customsFile = z.strictObject({
  customs: z.record(z.string().regex(/^[a-z][a-z-]*$/), customSchema),
});

/**
 * A food, powder or custom that mothers ask about. food: welcome as food; powder: a dose, never advised by the line; custom: respected
 * unless it harms; harm: advised against.
 */
export interface Custom {
  readonly id: string;
  readonly kind: 'food' | 'powder' | 'custom' | 'harm';
  /** What to tell the counsellor first, besides what everyone is asked. */
  readonly askMore: readonly (typeof asks)[number][];
  readonly allergens: readonly Allergen[];
  readonly foods: readonly string[];
}

export type Customs = ReadonlyMap<string, Custom>;

/**
 * Reads `flows/customs.yaml` against the foods.
 * @throws ContentError with a sentence for each thing wrong
 */
export function openCustoms(data: unknown, foods: Foods, file = 'flows/customs.yaml'): Customs {
  const read = customsFile.safeParse(data);
  if (!read.success) {
    throw new ContentError(
      read.error.issues.map((issue) => `${file}: ${issue.path.join('.')}: ${issue.message}`),
    );
  }
  const rows = Object.entries(read.data.customs);
  const problems = rows.flatMap(([id, row]) =>
    row.foods
      .filter((food) => !foods.has(food))
      .map((food) => `${file}: customs.${id}.foods: no food named "${food}" in foods.yaml`),
  );
  if (problems.length > 0) throw new ContentError(problems);
  return new Map(
    rows.map(([id, row]) => [
      id,
      { id, kind: row.kind, askMore: row['ask-more'], allergens: row.allergens, foods: row.foods },
    ]),
  );
}

/** What the text `customTalk.ask` puts to everyone. */
const askedOfAll: readonly string[] = ['pregnancy', 'thyroid', 'blood-thinner', 'allergy'];

/** The answer as names of texts, in two parts of one message each; `asked`: names of what fills "{{list}}" of `customTalk.ask-more`. */
export interface CustomAnswer {
  readonly parts: readonly (readonly string[])[];
  readonly asked: readonly string[];
  /** True when it is not for her as she eats: the counsellor is asked before anything is tried. */
  readonly notForHer: boolean;
}

/**
 * What is told of one thing she asked about: what is known in one line, when it is fine, that a well-drained breast makes milk; then when to ask
 * the counsellor, and that it can be left off once the baby gains. Nothing is recommended as medicine: no dose is in any text.
 * A food that she may not eat is never called fine.
 */
export function customAnswer(custom: Custom, her: HerFood, foods: Foods): CustomAnswer {
  const notForHer =
    custom.allergens.some((allergen) => her.allergies.includes(allergen)) ||
    custom.foods.some((id) => {
      const food = foods.get(id);
      return food !== undefined && !mayEat(food, her);
    });
  const asked = custom.askMore.filter((ask) => !askedOfAll.includes(ask)).map((ask) => `customAsk.${ask}`);
  const more = asked.length > 0 ? ['customTalk.ask-more'] : [];
  const known = `custom.${custom.id}.known`;
  const drain = 'customTalk.drain';
  const gains = 'customTalk.gains';
  switch (custom.kind) {
    case 'food':
      return {
        parts: [
          notForHer ? [known, drain] : [known, 'customTalk.fine-food', drain],
          ['customTalk.ask', ...more, gains],
        ],
        asked,
        notForHer,
      };
    case 'powder':
      return {
        parts: [
          [known, 'customTalk.fine-powder', drain],
          ['customTalk.ask', ...more, gains],
        ],
        asked,
        notForHer,
      };
    case 'custom':
      return {
        parts: [[known, 'customTalk.fine-custom', drain], ...(more.length > 0 ? [more] : [])],
        asked,
        notForHer,
      };
    case 'harm':
      return { parts: [[known, 'customTalk.fine-harm']], asked: [], notForHer };
  }
}
