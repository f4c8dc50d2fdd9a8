import { readAnswer } from '../language/answers/index.ts';
import type { RestedCommand } from '../language/command-words.ts';
import type { RhythmWish } from './line.ts';
import type { World } from './world.ts';

const daysIn = { days: 1, weeks: 7, months: 30, years: 365 } as const;

/**
 * The wish of a text such as "PAUSE 5", "pause for 2 weeks", "HOUR 7" or "TIME 19:00", with the words in any language. Undefined
 * when what stands beside the word is no number of days or time of day: then the text means something else.
 */
export function wishOfText(told: RestedCommand, world: World): RhythmWish | undefined {
  const words = world.content.answerWords;
  const context = { today: world.calendar.day(world.now), language: told.language };
  if (told.command === 'hour') {
    const read = readAnswer(told.rest, { kind: 'time-of-day' }, words, context);
    if (read.kind !== 'read' || read.answer.kind !== 'time-of-day') return undefined;
    return { kind: 'hour', minuteOfDay: read.answer.minuteOfDay };
  }
  const count = readAnswer(told.rest, { kind: 'count', min: 1, max: 999 }, words, context);
  if (count.kind === 'read' && count.inRange && count.answer.kind === 'count' && count.sure) {
    const { value } = count.answer;
    if (typeof value === 'number') return { kind: 'rest', days: value };
  }
  const read = readAnswer(told.rest, { kind: 'age' }, words, context);
  if (read.kind !== 'read' || read.answer.kind !== 'age') return undefined;
  const { age } = read.answer;
  const days = Object.entries(daysIn).reduce(
    (sum, [unit, inDays]) => sum + (age[unit as keyof typeof daysIn] ?? 0) * inDays,
    0,
  );
  return days >= 1 ? { kind: 'rest', days: Math.round(days) } : undefined;
}
