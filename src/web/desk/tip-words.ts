import type { ChosenTip, TipReason } from '../../care/tips/index.ts';
import { type Html, html } from './html.ts';
import type { Speech } from './speech.ts';

/** A tip in the language of the desk, and why it is this one. She gets it in her own language. */
export function tipPart({ tip, why }: ChosenTip, speech: Speech): Html {
  const { say } = speech;
  return html`<details><summary>${speech.shared('tips', tip.id)}</summary><ul>${why.map((reason) => html`<li>${whyWords(reason, speech)}</li>`)}</ul><p class="soft">${say('tip.source', { source: tip.source })}</p></details>`;
}

/** One reason in words, with its figures. */
function whyWords(reason: TipReason, speech: Speech): string {
  const { say } = speech;
  switch (reason.code) {
    case 'age':
      return say('tip.why.age', {
        age: speech.age(reason.ageDays),
        from: speech.age(reason.fromDays),
        until: speech.age(reason.untilDays),
      });
    case 'concern':
      return say('tip.why.concern', { concern: concernWords(reason.concern, speech) });
    case 'eats':
      return say('tip.why.eats', { eats: say(`eats.${reason.eats}`) });
    case 'language':
      return say('tip.why.language', { language: speech.one('speaks', reason.language) });
    case 'twins':
      return say('tip.why.twins');
    case 'preterm':
      return say('tip.why.preterm', { weeks: reason.gestationWeeks });
    case 'first-baby':
      return say('tip.why.first-baby');
    case 'season':
      return say('tip.why.season', { month: monthName(reason.month, speech) });
    case 'before':
      return speech.one('tip.why.before', reason.rule);
    case 'only-one':
      return say('tip.why.only-one');
    default:
      return reason satisfies never;
  }
}

/** `sign.baby.fever`, `reason.wet-few` and `answer.some-pain` by the words that the line or the desk has for them. */
function concernWords(concern: string, speech: Speech): string {
  const cut = concern.lastIndexOf('.');
  const [family, name] = [concern.slice(0, cut), concern.slice(cut + 1)];
  return family === 'answer' ? speech.one('answer', name) : speech.shared(family, name);
}

function monthName(month: number, { language }: Speech): string {
  return new Intl.DateTimeFormat(language, { month: 'long', timeZone: 'UTC' }).format(
    Date.UTC(2026, month - 1, 1),
  );
}
