import type { z } from 'zod';
import type { ContentFile } from './content-file.ts';
import { customAnswer, openCustoms } from './customs.ts';
import type { dishesFile } from './dishes.ts';
import type { Foods } from './foods.ts';
import { type LanguageTexts, overBudget, section, textAt } from './language-texts.ts';

/** Each part of an answer about a food, powder or custom goes out as one message. */
export function answerProblems(
  customsText: ContentFile,
  texts: LanguageTexts,
  foods: Foods,
): readonly string[] {
  const her = { eats: 'all', avoids: [], allergies: [] } as const;
  const text = (key: string): string => String(textAt(texts.customs, key.split('.')) ?? '');
  return [...openCustoms(customsText.data, foods).values()].flatMap((custom) => {
    const { parts, asked } = customAnswer(custom, her, foods);
    const list = asked.map(text).join(', ');
    return parts.flatMap((part) => {
      const said = part.map((key) => text(key).replace('{{list}}', list)).join(' ');
      const at = ['custom', custom.id, 'known'];
      return overBudget(said, 'message').map((what) => texts.customs.problem(at, `the answer: ${what}`));
    });
  });
}

/** The menu of the three dishes with the longest names, and what to take for each dish with the longest that can stand in, are one message each. */
export function menuProblems(
  dishes: z.infer<typeof dishesFile>['dishes'],
  texts: LanguageTexts,
): readonly string[] {
  const names = section(texts.foods, 'food');
  const measures = section(texts.foods, 'measure');
  const talk = section(texts.dishes, 'dishTalk');
  const called = (id: string): string => String(textAt(texts.dishes, ['dish', id, 'name']) ?? '');
  const longest = (all: readonly string[]): string =>
    all.reduce((long, one) => (one.length > long.length ? one : long), '');
  const three = Object.keys(dishes)
    .map(called)
    .sort((a, b) => b.length - a.length)
    .slice(0, 3);
  const menu = (talk['pick'] ?? '').replace(
    '{{list}}',
    three.map((name, at) => `${at + 1} ${name}`).join(', '),
  );
  const problems = overBudget(menu, 'message').map((what) =>
    texts.dishes.problem(['dishTalk', 'pick'], what),
  );
  for (const [id, dish] of Object.entries(dishes)) {
    const list = dish.needs.map(({ food, amount, measure, instead }) => {
      const name = longest([food, ...Object.keys(instead ?? {})].map((one) => names[one] ?? ''));
      return `${name} ${amount} ${measures[measure] ?? ''}`;
    });
    const take = (talk['needs'] ?? '')
      .replace('{{dish}}', called(id))
      .replace('{{list}}', list.join(', '))
      .replace('{{minutes}}', String(dish.minutes));
    problems.push(
      ...overBudget(take, 'message').map((what) =>
        texts.dishes.problem(['dish', id, 'name'], `what to take: ${what}`),
      ),
    );
  }
  return problems;
}
