import { ageInDays } from '../care/age.ts';
import type { Sign } from '../care/signs.ts';
import type { Alert, LineState, Mother, Say } from '../dialog/line.ts';
import type { World } from '../dialog/world.ts';

/** The longest piece of a mother's own words in an alert text, in characters: the rest is read on the mother's page. */
const wordsShown = 60;

/** What a counsellor is told of an alert: who, the baby's age, what was said, the number to call, the code; or less (`isBrief`). */
export function alertSay(state: LineState, alert: Alert, world: World, language: string): Say {
  const brief = isBrief(world);
  return {
    key: `alert.${brief ? 'brief' : 'text'}.${alert.tier}${alert.confirmed ? '' : '-unconfirmed'}`,
    values: brief ? briefValues(state, alert, world, language) : alertValues(state, alert, world, language),
  };
}

/**
 * Whether texts that nobody asked for hold no name, no number and nothing of what was told: others may read them on her phone.
 * The answer to her own text has all of it.
 */
export function isBrief({ programme }: Pick<World, 'programme'>): boolean {
  return programme.alertTextDetail === 'code';
}

/** The code, and "a mother, baby 8 days". */
export function briefValues(
  state: LineState,
  alert: Alert,
  world: World,
  language: string,
): Record<string, string | number> {
  const { code, codeSpoken } = alertValues(state, alert, world, language);
  const mother = state.mothers[alert.mother];
  const nameless = mother === undefined ? undefined : { ...mother, name: null };
  return { code: code ?? '', codeSpoken: codeSpoken ?? '', who: whoWords(state, nameless, world, language) };
}

export function alertValues(
  state: LineState,
  alert: Alert,
  world: World,
  language: string,
): Record<string, string | number> {
  return {
    code: alert.code,
    codeSpoken: [...alert.code].join(' '),
    who: whoWords(state, state.mothers[alert.mother], world, language),
    what: whatWords(alert, world, language),
    phone: state.phone,
    phoneSpoken: [...state.phone].join(' '),
  };
}

/** "Asha, baby 8 days" in the counsellor's language. */
export function whoWords(
  state: LineState,
  mother: Mother | undefined,
  world: World,
  language: string,
): string {
  const { wording } = world.content;
  const told = (key: string, values: Say['values'] = {}) => wording.say(key, values, language, 'text');
  const name = mother?.name ?? told('who.unnamed');
  const baby = mother?.babies[0];
  if (mother === undefined || baby === undefined) {
    return state.mothers.length > 1 ? told('who.shared') : told('who.unknown');
  }
  return told('who.with-baby', {
    name,
    age: ageWords(ageInDays(baby.bornOn, world.calendar.day(world.now)), world, language),
  });
}

/** An age in days as the counsellor says it: days to four weeks, weeks to three months, then months. */
function ageWords(days: number, world: World, language: string): string {
  const { wording } = world.content;
  if (days < 28) return wording.say('age.days', { count: Math.max(0, days) }, language, 'text');
  if (days < 92) return wording.say('age.weeks', { count: Math.floor(days / 7) }, language, 'text');
  return wording.say('age.months', { count: Math.floor(days / 30.4375) }, language, 'text');
}

function whatWords(alert: Alert, world: World, language: string): string {
  const { wording } = world.content;
  const signs = alert.signs.map((s) => wording.say(signKey(s), {}, language, 'text'));
  const reasons = alert.reasons.map((r) => wording.say(`reason.${r}`, {}, language, 'text'));
  const named = [...new Set([...signs, ...reasons])].slice(0, alert.words === '' ? 3 : 2).join(', ');
  if (alert.words === '') return named;
  const letters = [...alert.words.replace(/\s+/g, ' ').trim()];
  const words =
    letters.length > wordsShown ? `${letters.slice(0, wordsShown - 3).join('')}...` : letters.join('');
  return named === ''
    ? wording.say('alert.words', { words }, language, 'text')
    : wording.say('alert.named', { named, words }, language, 'text');
}

export function signKey(sign: Pick<Sign, 'code' | 'who'>): string {
  return `sign.${sign.who}.${sign.code}`;
}
