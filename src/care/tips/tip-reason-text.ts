import type { TipReason, TipRule } from './tip-due.ts';

const months = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
];

const eating = {
  veg: 'without egg, fish or meat',
  egg: 'egg, but no fish or meat',
  all: 'everything',
} as const;

const before: Readonly<Record<TipRule, string>> = {
  concern: 'it answers a recent concern',
  must: 'it is of the first priority, which nobody must miss',
  topic: 'she heard less about its topic',
  'ends-sooner': 'its time is over sooner',
  priority: 'its priority is higher',
  name: 'all else is the same, and its name comes first',
};

/** One reason for a tip in plain English, for clinical leads and authors of tips. */
export function tipReasonText(reason: TipReason): string {
  switch (reason.code) {
    case 'age':
      return `The baby is ${days(reason.ageDays)} old; it fits from day ${reason.fromDays} to day ${reason.untilDays - 1}.`;
    case 'concern':
      return `After a recent concern: ${reason.concern}.`;
    case 'eats':
      return `She eats ${eating[reason.eats]}.`;
    case 'language':
      return `For the language ${reason.language}.`;
    case 'twins':
      return `She has ${reason.babies} babies.`;
    case 'preterm':
      return `Born at ${reason.gestationWeeks} weeks.`;
    case 'first-baby':
      return 'Her first baby.';
    case 'season':
      return `For the season: it is ${months[reason.month - 1] ?? ''}.`;
    case 'before':
      return `Before "${reason.otherId}": ${before[reason.rule]}.`;
    case 'only-one':
      return 'Nothing else is left to tell at this age.';
    default:
      return reason satisfies never;
  }
}

const days = (count: number): string => `${count} ${count === 1 ? 'day' : 'days'}`;
