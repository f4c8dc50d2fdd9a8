import { type AnswerTaken, takeOne } from './asking.ts';
import type { Doubt } from './dialog-context.ts';
import type { Asking } from './dialog-steps.ts';
import { answerKey } from './flow.ts';
import type { AnswerScalar, LineState } from './line.ts';
import { missingFields } from './machine.ts';
import { shareByBaby } from './share-by-baby.ts';
import type { World } from './world.ts';

/** Reads a text as the answer to what she is asked; what it tells of another of her babies is kept for that one. */
export function takeText(asking: Asking, text: string, state: LineState, world: World): AnswerTaken {
  const { flow, step, run } = asking;
  const babies = flow.flow === 'enrolment' ? [] : (state.mothers[state.writing]?.babies ?? []);
  const names = babies.map((b) => b.name);
  const shares =
    step.each === 'baby' && run.doubt === null
      ? shareByBaby(text, names, run.baby, step.ask?.length ?? 0)
      : undefined;
  if (shares === undefined) return takeAgain(asking, text, state, world);
  const read: Record<string, AnswerScalar> = {};
  let doubt: Doubt | null = null;
  for (const { baby, words } of shares) {
    const fields = new Set((step.ask ?? []).map((f) => answerKey(step, f.field, baby)));
    // Of a baby that was told before, this is the correction.
    const before = Object.entries(run.answers).filter(([key]) => baby >= run.baby || !fields.has(key));
    const own = { ...asking, run: { ...run, baby, answers: Object.fromEntries(before) } };
    const taken = takeOne(own, words, state, world);
    Object.assign(read, taken.read);
    if (baby === run.baby) doubt = taken.doubt;
  }
  return { read, doubt };
}

/**
 * Where only a part is asked again, or a value is doubted, people often send the whole answer once more: then that is taken
 * instead, when every figure of it is plain.
 */
function takeAgain(asking: Asking, text: string, state: LineState, world: World): AnswerTaken {
  const { step, run } = asking;
  const taken = takeOne(asking, text, state, world);
  const fields = step.ask ?? [];
  const isPart = run.doubt !== null || missingFields(step, run).length < fields.length;
  if (!isPart || Object.keys(taken.read).length > 0 || taken.doubt !== null) return taken;
  const keys = new Set(fields.map((f) => answerKey(step, f.field, run.baby)));
  const answers = Object.fromEntries(Object.entries(run.answers).filter(([key]) => !keys.has(key)));
  const whole = takeOne({ ...asking, run: { ...run, answers, doubt: null } }, text, state, world);
  const figures = fields.filter((f) => f.kind !== 'words' && !f.optional);
  const isWhole =
    figures.length > 1 &&
    whole.doubt === null &&
    figures.every((f) => answerKey(step, f.field, run.baby) in whole.read);
  return isWhole ? whole : taken;
}
