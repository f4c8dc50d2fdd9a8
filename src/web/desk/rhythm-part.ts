import { z } from 'zod';
import type { Mother, RhythmWish } from '../../dialog/line.ts';
import { isTimeZone } from '../../language/calendar.ts';
import { formToken, type Reader } from './frame.ts';
import { type Html, html } from './html.ts';

/** Days of rest that can be chosen; '' until she says so. */
const rests = ['3', '7', '14', '30', ''] as const;

/** What a counsellor settles for a mother who asked her: another hour, a rest, tips or none, by call or by text. */
export const rhythmForm = z.discriminatedUnion('what', [
  z.strictObject({
    proof: z.string(),
    what: z.literal('hour'),
    hour: z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/),
  }),
  z.strictObject({ proof: z.string(), what: z.literal('rest'), days: z.enum(rests) }),
  z.strictObject({ proof: z.string(), what: z.literal('zone'), zone: z.string().max(40).refine(isTimeZone) }),
  z.strictObject({ proof: z.string(), what: z.enum(['resume', 'tips', 'no-tips', 'by-call', 'by-text']) }),
]);

export function wishOf(form: z.infer<typeof rhythmForm>): RhythmWish {
  switch (form.what) {
    case 'hour':
      return { kind: 'hour', minuteOfDay: Number(form.hour.slice(0, 2)) * 60 + Number(form.hour.slice(3)) };
    case 'rest':
      return { kind: 'rest', days: form.days === '' ? null : Number(form.days) };
    case 'resume':
      return { kind: 'resume' };
    case 'zone':
      return { kind: 'zone', zone: form.zone };
    case 'by-call':
    case 'by-text':
      return { kind: 'way', by: form.what === 'by-call' ? 'call' : 'text' };
    default:
      return { kind: 'tips', wanted: form.what === 'tips' };
  }
}

/** How she is written to, and what a counsellor can change of it. */
export function rhythmPart(
  mother: Mother,
  now: { readonly rests: boolean; readonly noTips: boolean; readonly zone: string },
  path: string,
  { speech, proof }: Reader,
): Html {
  const { say } = speech;
  const minute = mother.checkInMinuteOfDay;
  const hour = `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;
  const form = (what: string, content: Html) =>
    html`<form method="post" action="${path}/rhythm" class="field">${formToken(proof)}<input type="hidden" name="what" value="${what}">${content}</form>`;
  const daysOf = (days: string) =>
    days === '' ? say('rhythm.until-she-says') : say('age.days', { count: Number(days) });
  return html`<details><summary>${say('rhythm.change')}</summary>
    ${form('hour', html`<label for="hour">${say('rhythm.hour')}</label><p class="acts"><input id="hour" name="hour" type="time" value="${hour}" required><button>${say('area.keep')}</button></p>`)}
    ${
      now.rests
        ? form('resume', html`<button>${say('rhythm.resume')}</button>`)
        : form(
            'rest',
            html`<label for="rest">${say('rhythm.rest')}</label><p class="acts"><select id="rest" name="days">${rests.map((days) => html`<option value="${days}">${daysOf(days)}</option>`)}</select><button>${say('rhythm.rest-now')}</button></p>`,
          )
    }
    ${form(now.noTips ? 'tips' : 'no-tips', html`<button>${say(now.noTips ? 'rhythm.tips-on' : 'rhythm.tips-off')}</button>`)}
    ${form(mother.askedBy === 'call' ? 'by-text' : 'by-call', html`<button>${say(mother.askedBy === 'call' ? 'rhythm.by-text' : 'rhythm.by-call')}</button>`)}
    ${form('zone', html`<label for="zone">${say('rhythm.zone')}</label><p class="acts"><input id="zone" name="zone" value="${now.zone}" maxlength="40" required autocomplete="off" spellcheck="false"><button>${say('area.keep')}</button></p>`)}
    <p class="soft">${say('rhythm.dangers')}</p></details>`;
}
