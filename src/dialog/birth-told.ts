import { changeMother, type Draft, note } from './draft.ts';
import type { LineEvent } from './event.ts';

/**
 * What a counsellor learned of the birth of a mother's babies. The weeks are those of all of them: twins are born together. Nothing is said
 * to her; from now on the weights are read by the corrected age, and the tips are chosen by it.
 */
export function keepBirth(draft: Draft, event: Extract<LineEvent, { kind: 'birth' }>): void {
  const { mother: index, firstBaby, weeks, by } = event;
  const mother = draft.state.mothers[index];
  if (mother === undefined) return;
  const babies = mother.babies.map((baby) => ({ ...baby, gestationWeeks: weeks }));
  changeMother(draft, index, { babies, firstBaby });
  note(draft, 'birth', { mother: index, firstBaby, weeks, by });
}
