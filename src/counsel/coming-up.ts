import { ageInDays } from '../care/age.ts';
import { isMoodTalkDue } from '../care/mood.ts';
import { type ChosenTip, tipDue } from '../care/tips/index.ts';
import { isWeighingDue } from '../care/weighing-rhythm.ts';
import type { Due, LineState } from '../dialog/line.ts';
import { tipFacts } from '../dialog/tip-facts.ts';
import type { World } from '../dialog/world.ts';

/** Something that the line will do or ask by itself. */
export interface ComingUp {
  readonly kind: Exclude<Due['kind'], 'idle' | 'not-delivered'> | 'weighing' | 'talk';
  /** Epoch milliseconds; of a weighing or a talk about how she is the day alone counts: it comes with that day's questions. */
  readonly at: number;
  /** Place among the mothers of the phone; -1 when it is of nobody in particular. */
  readonly mother: number;
  /** The tip that would be told then, by what is known now; absent when none fits, or for another matter. */
  readonly tip?: ChosenTip;
}

/** Farther ahead nothing is worked out: her answers until then change it. Days; common practice, no source. */
const daysAhead = 60;

/**
 * Everything that comes up on a line by itself, soonest first.
 * @param world with her own calendar
 */
export function comingUp(state: LineState, world: World): readonly ComingUp[] {
  const planned = state.dues.flatMap((due): readonly ComingUp[] => {
    if (due.kind === 'idle' || due.kind === 'not-delivered') return [];
    const { kind, at } = due;
    if (kind === 'tip') return [{ kind, at, mother: due.mother, ...tipAt(state, due.mother, at, world) }];
    const mother =
      'mother' in due
        ? due.mother
        : 'alertId' in due
          ? (state.alerts.find((a) => a.id === due.alertId)?.mother ?? -1)
          : -1;
    return [{ kind, at, mother }];
  });
  const withCheckIns = planned
    .filter((coming) => coming.kind === 'check-in')
    .flatMap(({ at, mother }) => asksWith(state, mother, at, world));
  return [...planned, ...withCheckIns].sort((a, b) => a.at - b.at);
}

function tipAt(state: LineState, index: number, at: number, world: World): { readonly tip?: ChosenTip } {
  const mother = state.mothers[index];
  if (mother === undefined) return {};
  const facts = tipFacts(mother, index, state, { ...world, now: Math.max(at, world.now) });
  const tip = tipDue(world.content.tips, facts, mother.tipsTold ?? []);
  return tip === undefined ? {} : { tip };
}

/** What is asked beside the daily questions: on the day of the next ones, or when its own time comes after that. */
function asksWith(state: LineState, index: number, at: number, { calendar }: World): readonly ComingUp[] {
  const mother = state.mothers[index];
  const born = mother?.babies[0]?.bornOn;
  if (mother === undefined || born === undefined) return [];
  const first = calendar.day(at);
  const minute = calendar.minuteOfDay(at);
  const firstDay = (isDue: (ageDays: number) => boolean): number | undefined => {
    for (let ahead = 0; ahead <= daysAhead; ahead += 1) {
      const day = calendar.plusDays(first, ahead);
      if (isDue(Math.max(0, ageInDays(born, day)))) return ahead === 0 ? at : calendar.instant(day, minute);
    }
    return undefined;
  };
  const weighing = firstDay((age) => isWeighingDue(age, mother.weighingAskedAtDays));
  const talk = firstDay((age) => isMoodTalkDue(age, mother.talkedAtDays));
  return [
    ...(weighing === undefined ? [] : [{ kind: 'weighing', at: weighing, mother: index } as const]),
    ...(talk === undefined ? [] : [{ kind: 'talk', at: talk, mother: index } as const]),
  ];
}
