import { daysInMonth } from '../../care/age.ts';
import type { Alert, Mother } from '../../dialog/line.ts';
import type { Content, Programme } from '../../dialog/world.ts';
import type { Calendar } from '../../language/calendar.ts';
import type { Wording } from '../../language/wording.ts';

/** The desk in one language: its own words, and those it shares with the line. */
export interface Speech {
  readonly language: string;
  say(key: string, values?: Readonly<Record<string, string | number>>): string;
  /** One of a family of words; `other` of that family for what has no words yet, so that a page never fails for it. */
  one(family: string, name: string, values?: Readonly<Record<string, string | number>>): string;
  /** The hour today; day and hour otherwise. */
  time(at: number): string;
  day(day: string): string;
  /** The local day of an instant: today, or as `day` says it. */
  dayOf(at: number): string;
  /** How long since `at`: minutes, hours, then days. */
  since(at: number): string;
  age(days: number): string;
  /** "Asha", or that no name is kept. */
  name(mother: Mother | undefined): string;
  /** What an alert is about, without her own words. */
  reasons(alert: Alert): string;
  outcome(outcome: string): string;
  /** What the line says too: a food group, a food, a dish, a tip. The bare name where there are no words. */
  shared(family: string, name: string): string;
}

const minuteMs = 60_000;
const locales: Readonly<Record<string, string>> = { en: 'en-GB', hi: 'hi-IN' };

/** The languages that the desk can be read in. */
export const deskLanguages = ['en', 'hi'] as const;
export type DeskLanguage = (typeof deskLanguages)[number];

export function openSpeech(
  parts: {
    readonly words: Wording;
    readonly content: Content;
    readonly calendar: Calendar;
    readonly programme: Pick<Programme, 'emergencyNumber'>;
  },
  language: DeskLanguage,
  now: number,
): Speech {
  const { words, content, calendar } = parts;
  const emergency = parts.programme.emergencyNumber;
  const say: Speech['say'] = (key, values = {}) => words.say(key, values, language, 'text');
  const shared = (family: string, name: string) =>
    content.wording.has(`${family}.${name}`, content.languages[0] ?? 'en')
      ? content.wording.say(`${family}.${name}`, { emergency }, language, 'text')
      : name;
  const format = (options: Intl.DateTimeFormatOptions) =>
    new Intl.DateTimeFormat(locales[language], { timeZone: calendar.timeZone, ...options });
  const hour = { hour: '2-digit', minute: '2-digit', hourCycle: 'h23' } as const;
  const date = { weekday: 'short', day: 'numeric', month: 'short' } as const;
  const today = calendar.day(now);
  const speech: Speech = {
    language,
    say,
    shared,
    one: (family, name, values) =>
      say(words.has(`${family}.${name}`, 'en') ? `${family}.${name}` : `${family}.other`, values),
    time: (at) => format(calendar.day(at) === today ? hour : { ...date, ...hour }).format(at),
    day: (day) =>
      new Intl.DateTimeFormat(locales[language], { timeZone: 'UTC', ...date }).format(
        Date.parse(`${day}T00:00:00Z`),
      ),
    dayOf: (at) => {
      const day = calendar.day(at);
      return day === today ? say('today.day') : speech.day(day);
    },
    since: (at) => {
      const minutes = Math.max(0, Math.floor((now - at) / minuteMs));
      if (minutes < 100) return say('for.minutes', { count: minutes });
      if (minutes < 48 * 60) return say('for.hours', { count: Math.floor(minutes / 60) });
      return say('for.days', { count: Math.floor(minutes / (24 * 60)) });
    },
    age: (days) => {
      if (days < 28) return say('age.days', { count: Math.max(0, days) });
      if (days < 92) return say('age.weeks', { count: Math.floor(days / 7) });
      return say('age.months', { count: Math.floor(days / daysInMonth) });
    },
    name: (mother) => mother?.name ?? say('who.unnamed'),
    reasons: (alert) =>
      [
        ...new Set([
          ...alert.signs.map(({ who, code }) => shared(`sign.${who}`, code)),
          ...alert.reasons.map((code) => shared('reason', code)),
        ]),
      ].join(', '),
    outcome: (outcome) => speech.one('outcome', outcome),
  };
  return speech;
}

/** The hour of an instant alone, where the day stands above it. */
export function hourOnly(at: number, calendar: Calendar): string {
  const minute = calendar.minuteOfDay(at);
  return `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;
}

/** A number on a list, where others may look over her shoulder: its last three digits. */
export function maskedNumber(phone: string): string {
  return `…${phone.slice(-3)}`;
}

/** A number to read and dial: groups of at most five digits. */
export function spacedNumber(phone: string): string {
  return phone.replace(/^(\+\d{2})(\d+?)(\d{5})$/, '$1 $2 $3');
}
