import type { AnswerValue, Asked, Reading } from '../language/asked.ts';

/** What `--as` may name, and the question that each stands for. */
export const askedNames = [
  'count',
  'hours',
  'yes-no',
  'choice',
  'multi-choice',
  'weight',
  'date',
  'age',
  'temperature',
  'time',
] as const;

export type AskedName = (typeof askedNames)[number];

export interface AskedOptions {
  readonly options: number;
  readonly past: boolean;
}

/**
 * The question for `--as`. Ranges are those of a day with a baby: to 40 feeds or nappies, to 48 hours, 300 g to 20 kg: wide
 * enough that only slips of the finger fall out. Common practice, no source.
 */
export function askedFor(name: AskedName, { options, past }: AskedOptions): Asked {
  switch (name) {
    case 'count':
      return { kind: 'count', min: 0, max: 40 };
    case 'hours':
      return { kind: 'hours', min: 0, max: 48 };
    case 'yes-no':
      return { kind: 'yes-no' };
    case 'choice':
      return { kind: 'choice', options };
    case 'multi-choice':
      return { kind: 'choices', options };
    case 'weight':
      return { kind: 'weight', minGrams: 300, maxGrams: 20_000 };
    case 'date':
      return { kind: 'date', past };
    case 'age':
      return { kind: 'age' };
    case 'temperature':
      return { kind: 'temperature' };
    case 'time':
      return { kind: 'time-of-day' };
    default:
      return name satisfies never;
  }
}

function plainValue(answer: AnswerValue): unknown {
  switch (answer.kind) {
    case 'count':
    case 'hours':
    case 'yes-no':
    case 'choice':
    case 'choices':
      return answer.value;
    case 'weight':
      return { grams: answer.grams };
    case 'date':
      return answer.date;
    case 'age':
      return answer.age;
    case 'temperature':
      return answer.celsius;
    case 'time-of-day':
      return `${String(Math.floor(answer.minuteOfDay / 60)).padStart(2, '0')}:${String(answer.minuteOfDay % 60).padStart(2, '0')}`;
    case 'words':
      return answer.text;
    default:
      return answer satisfies never;
  }
}

/** `{value, sure}` as written out; null when she must be asked again. `inRange` only when it is false. */
export function writtenReading(reading: Reading): { value: unknown; sure: boolean; inRange?: false } {
  if (reading.kind !== 'read') return { value: null, sure: false };
  const { answer, sure, inRange } = reading;
  return { value: plainValue(answer), sure, ...(inRange ? {} : { inRange }) };
}
