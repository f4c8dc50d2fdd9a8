import type { Asked, Reading, ReadingContext } from '../asked.ts';
import { calendarDay } from './calendar.ts';
import { readAs, unclear } from './reading.ts';

/**
 * Keys pressed in a call. `*` stands for a decimal point. 1 is yes, 2 no, 3 'I don't know' where asked; several options are
 * pressed one after another and 0 is none; weights up to 10 are kilos and from 500 grams; dates are DDMMYYYY; times HHMM.
 * Dates need `context` when the year is left out (DDMM). Never throws.
 */
export function readKeys(digits: string, asked: Asked, context?: ReadingContext): Reading {
  const pressed = digits.replace(/#+$/u, '');
  if (!/^\d{1,12}(\*\d{1,3})?$/u.test(pressed)) return unclear;
  const value = Number(pressed.replace('*', '.'));
  const whole = Number.isInteger(value) && !pressed.includes('*');
  switch (asked.kind) {
    case 'count':
      return whole
        ? readAs({ kind: 'count', value }, true, value >= asked.min && value <= asked.max)
        : unclear;
    case 'hours':
      return readAs({ kind: 'hours', value }, true, value >= asked.min && value <= asked.max);
    case 'yes-no':
      if (pressed === '1' || pressed === '2') return readAs({ kind: 'yes-no', value: pressed === '1' });
      return pressed === '3' && asked.unsure === true ? readAs({ kind: 'yes-no', value: 'unsure' }) : unclear;
    case 'choice':
      return whole ? readAs({ kind: 'choice', value }, true, value >= 1 && value <= asked.options) : unclear;
    case 'choices': {
      if (!whole) return unclear;
      if (pressed === '0') return readAs({ kind: 'choices', value: [] });
      const options = [...new Set([...pressed].map(Number))].sort((a, b) => a - b);
      if (options[0] === 0) return unclear;
      return readAs(
        { kind: 'choices', value: options },
        true,
        options.every((option) => option <= asked.options),
      );
    }
    case 'weight': {
      const grams = Math.round(value <= 10 ? value * 1000 : value);
      if (value > 10 && value < 500) return unclear;
      return readAs({ kind: 'weight', grams }, true, grams >= asked.minGrams && grams <= asked.maxGrams);
    }
    case 'date':
      return whole ? keyedDate(pressed, asked.past, context) : unclear;
    case 'age':
      return whole ? readAs({ kind: 'age', age: { days: value } }, false) : unclear;
    case 'temperature':
      return keyedTemperature(pressed, value);
    case 'time-of-day': {
      const hour = pressed.length <= 2 ? value : Math.floor(value / 100);
      const minute = pressed.length <= 2 ? 0 : value % 100;
      if (!whole || pressed.length > 4 || hour > 23 || minute > 59) return unclear;
      return readAs(
        { kind: 'time-of-day', minuteOfDay: hour * 60 + minute },
        pressed.length === 4 || hour > 12,
      );
    }
    case 'words':
      return unclear;
    default:
      return asked satisfies never;
  }
}

function keyedDate(pressed: string, past: boolean, context: ReadingContext | undefined): Reading {
  const [day, month] = [Number(pressed.slice(0, 2)), Number(pressed.slice(2, 4))];
  let date: string | undefined;
  if (pressed.length === 8) date = calendarDay(Number(pressed.slice(4)), month, day);
  if (pressed.length === 6) date = calendarDay(2000 + Number(pressed.slice(4)), month, day);
  if (pressed.length === 4 && context !== undefined) {
    const year = Number(context.today.slice(0, 4));
    const days = [0, 1, 2, 3, 4, 5, 6, 7, 8].map((back) => calendarDay(year - back, month, day));
    date = days.find((candidate) => candidate !== undefined && candidate <= context.today);
  }
  if (date === undefined || (past && context !== undefined && date > context.today)) return unclear;
  return readAs({ kind: 'date', date });
}

/** '385' and '1014' are keyed without the point: a keypad has none that everyone knows. */
function keyedTemperature(pressed: string, value: number): Reading {
  const degrees = !pressed.includes('*') && value >= 300 ? value / 10 : value;
  const celsius = degrees >= 86 && degrees <= 113 ? ((degrees - 32) * 5) / 9 : degrees;
  if (celsius < 30 || celsius > 45) return unclear;
  return readAs({ kind: 'temperature', celsius: Math.round(celsius * 10) / 10 }, true);
}
