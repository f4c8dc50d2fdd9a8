import type { Wording } from '../../../src/language/wording.ts';
import { dayOf, daysLater, instantOf } from './her-clock.ts';
import { deedAfterMinutes, deeds, type MonthRules } from './expected.ts';
import type { InventedLine } from './mothers.ts';
import type { MonthLine, SentText } from './month-line.ts';

const minute = 60_000;

/** Joins and enrols, in her own language, at once. @throws Error when the line does not take her */
export async function enrol(line: MonthLine, of: InventedLine, rules: MonthRules): Promise<void> {
  const { wording, languages } = line.content;
  const number = languages.indexOf(of.language) + 1;
  const today = dayOf(of.zone, rules.startAt);
  for (const [i, mother] of of.mothers.entries()) {
    const began = await line.text(of.phone, i === 0 ? 'JOIN' : 'ANOTHER');
    if (began.includes('English')) await line.text(of.phone, String(number));
    const [year, month, day] = daysLater(today, -mother.ageDays).split('-').map(Number);
    await line.text(of.phone, `${day}-${month}-${year} ${mother.name}`);
    await line.text(of.phone, `1 ${mother.eats} ${mother.hour}`);
    const end = await line.text(of.phone, '1 2.9');
    const whens = ['today', 'tomorrow', 'later'].map((when) =>
      wording.say(`enrolment.done-${when}`, { time: `${mother.hour}:00`, day: '' }, of.language, 'text'),
    );
    if (!whens.some((words) => end.startsWith(words.slice(0, 18)) && end.includes(`${mother.hour}:00`)))
      throw new Error(`${of.phone} was not enrolled: "${end}"`);
  }
}

/** What she sends of her own accord in the month. */
export function plan(line: MonthLine, of: InventedLine, rules: MonthRules): void {
  const joined = dayOf(of.zone, rules.startAt + of.joinsAfterMinutes * minute);
  const on = (day: number, body: string) => {
    const at =
      instantOf(of.zone, daysLater(joined, day), (of.mothers[0]?.hour ?? 10) * 60) +
      deedAfterMinutes * minute;
    line.at(at, async () => void (await line.text(of.phone, body)));
  };
  switch (of.manner) {
    case 'rests':
      on(deeds.rests.day, `PAUSE ${deeds.rests.days}`);
      return;
    case 'away':
      on(deeds.away.from, 'PAUSE');
      on(deeds.away.until, 'RESUME');
      return;
    case 'moves':
      on(deeds.moves.day, 'HOUR 15:30');
      return;
    case 'no-tips':
      on(deeds['no-tips'].day, 'NO TIPS');
      return;
    case 'stops':
      on(deeds.stops.day, 'STOP');
      return;
    case 'danger':
      on(12, 'my baby has a fit');
      return;
    default:
      return;
  }
}

/** Whether she answers a check-in asked now. */
function answersNow(
  { manner, zone, joinsAfterMinutes }: InventedLine,
  rules: MonthRules,
  at: number,
): boolean {
  if (manner === 'silent') return false;
  const joined = dayOf(zone, rules.startAt + joinsAfterMinutes * minute);
  return manner !== 'fades' || dayOf(zone, at) < daysLater(joined, deeds.fades.day);
}

/** She gets a check-in and answers it, a text a minute, until nothing more is asked. */
export function answer(line: MonthLine, of: InventedLine, rules: MonthRules, got: SentText): void {
  if (!answersNow(of, rules, got.at)) return;
  const { wording } = line.content;
  const asks = questions(wording, of.language);
  const send = (at: number, body: string): void =>
    line.at(at, async () => {
      const reply = await line.text(of.phone, body);
      if (of.manner === 'half') return;
      const next = asks.find(([words]) => reply.includes(words));
      if (next !== undefined) send(line.now() + minute, next[1]);
    });
  send(got.at + of.answersAfterMinutes * minute, '9 3 6 4');
}

/** Questions of the check-in that can follow, with an answer that says that all is well. */
function questions(wording: Wording, language: string): readonly (readonly [string, string])[] {
  const baby = wording.say('baby.only', {}, language, 'text');
  const ask = (step: string) => wording.say(`ask.check-in.${step}.ask`, { baby }, language, 'text');
  return [
    [ask('body'), '1 1 0'],
    [ask('weigh'), '0'],
    [ask('mood'), '1 1'],
    [ask('support'), '1 1'],
  ];
}

/** A counsellor answers an alert at once and closes it when she has called. What is not urgent stays on her list. */
export function takeAlert(line: MonthLine, { to, body }: SentText): void {
  const code = /^NOW (\d{4})/.exec(body)?.[1];
  if (code === undefined) return;
  for (const [after, words] of [
    [1, code],
    [20, `${code} 1`],
  ] as const)
    line.at(line.now() + after * minute, async () => void (await line.text(to, words)));
}
