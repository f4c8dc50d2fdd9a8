import { z } from 'zod';
import type { Mother } from '../../dialog/line.ts';
import { formToken, type Reader } from './frame.ts';
import { type Html, html } from './html.ts';

const fewestWeeks = 22;
const mostWeeks = 44;

/** What a counsellor learned of a birth; empty: not known. */
export const birthForm = z.strictObject({
  proof: z.string(),
  first: z.enum(['', 'yes', 'no']),
  weeks: z.union([
    z.literal(''),
    z
      .string()
      .regex(/^\d\d$/)
      .refine((weeks) => Number(weeks) >= fewestWeeks && Number(weeks) <= mostWeeks),
  ]),
});

/** Null: not known. */
export function birthOf({ first, weeks }: z.infer<typeof birthForm>): {
  readonly firstBaby: boolean | null;
  readonly weeks: number | null;
} {
  return { firstBaby: first === '' ? null : first === 'yes', weeks: weeks === '' ? null : Number(weeks) };
}

/** What is known of the birth, for a counsellor to write down. */
export function birthPart(mother: Mother, path: string, { speech, proof }: Reader): Html {
  const { say } = speech;
  const first = mother.firstBaby ?? null;
  const choice = (value: string, words: string, isChosen: boolean) =>
    isChosen
      ? html`<option value="${value}" selected>${words}</option>`
      : html`<option value="${value}">${words}</option>`;
  const weeks = mother.babies.map((baby) => baby.gestationWeeks).find((known) => known !== null) ?? '';
  return html`<details><summary>${say('birth.change')}</summary><form method="post" action="${path}/birth" class="field">${formToken(proof)}
    <label for="first">${say('birth.first-baby')}</label><select id="first" name="first">${choice('', say('birth.not-known'), first === null)}${choice('yes', say('birth.yes'), first === true)}${choice('no', say('birth.no'), first === false)}</select>
    <label for="weeks">${say('birth.weeks')}</label><p class="acts"><input id="weeks" name="weeks" type="number" min="${fewestWeeks}" max="${mostWeeks}" value="${weeks}" placeholder="${say('birth.not-known')}"><button>${say('area.keep')}</button></p>
    <p class="soft">${say('birth.why')}</p></form></details>`;
}
