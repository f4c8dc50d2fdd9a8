import { foodHistory } from '../../dialog/food-history.ts';
import type { Mother } from '../../dialog/line.ts';
import { type Html, html } from './html.ts';
import type { Speech } from './speech.ts';

/** Days and dishes shown: what she can speak of with the mother in one talk. */
const shownDays = 8;
const shownDishes = 6;

/** What she ate, by day and food group, what was missing, and dishes told and cooked. It names no verdict. */
export function foodPart(mother: Mother, speech: Speech): Html {
  const { say } = speech;
  const { days, gaps, dishes, avoids } = foodHistory(mother);
  if (days.length === 0 && dishes.length === 0) return html`<p>${say('food.none')}</p>`;
  const groups = (names: readonly string[]) =>
    names.map((name) => speech.shared('foodGroup', name)).join(', ');
  return html`${gaps.length > 0 && html`<p>${say('food.gaps')} ${groups(gaps.slice(0, 4).map((g) => g.group))}</p>`}
    ${avoids.length > 0 && html`<p>${say('food.avoids')} ${avoids.map((id) => speech.shared('food', id)).join(', ')}</p>`}
    ${
      days.length > 0 &&
      html`<div class="scroll" tabindex="0" role="group" aria-label="${say('food.title')}"><table><thead><tr><th>${say('day')}</th><th>${say('food.eaten')}</th><th>${say('food.open')}</th></tr></thead>
    <tbody>${days
      .slice(-shownDays)
      .map(
        ({ day, eaten, open }) =>
          html`<tr><td class="day">${speech.day(day)}</td><td>${groups(eaten)}</td><td>${groups(open)}</td></tr>`,
      )
      .reverse()}</tbody></table></div>`
    }
    ${dishes.length > 0 && html`<p>${say('food.dishes')}</p><ul class="plain">${dishes.slice(0, shownDishes).map(({ dish, offered, cooked }) => html`<li>${speech.shared('dish', `${dish}.name`)}: ${say('food.offered', { count: offered })}${cooked > 0 && html`, ${say('food.cooked', { count: cooked })}`}</li>`)}</ul>`}
    <p class="soft">${say('food.no-verdict')}</p>`;
}
