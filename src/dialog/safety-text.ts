import { change, type Draft, dropDues, minuteMs, note, setDue } from './draft.ts';
import type { LineEvent } from './event.ts';
import { endCalling, isDangerOpen, ringHer } from './ring-her.ts';

/** A safety text of which no word came for so long is said by call. Common practice, no source. */
const deliveredWithinMinutes = 2;

/** The id of a direct reply, without the line's: its receipts come back with it. */
export function replyId(turns: number): string {
  return `${turns}.reply`;
}

/** A safety text that goes out with this turn is watched until it arrives. A later one takes the place of an earlier. */
export function watchSafetyText(draft: Draft, event: LineEvent): void {
  const { state, world, purpose, says } = draft;
  const isText = event.kind === 'text' || event.kind === 'due';
  if (!isText || purpose !== 'safety' || says.length === 0) return;
  const id = event.kind === 'text' ? replyId(state.turns) : `${state.turns}.0`;
  change(draft, { safetyText: { id, mother: state.writing, says: [...says] } });
  // She is not rung for the day's questions now; they stand where they stopped.
  if (state.calling?.why === 'question') endCalling(draft);
  setDue(draft, { kind: 'not-delivered', at: world.now + deliveredWithinMinutes * minuteMs });
}

/** It arrived: nobody rings her for it any more. */
export function safetyTextArrived(draft: Draft, id: string): void {
  if (draft.state.safetyText?.id !== id) return;
  forgetSafetyText(draft);
  if (draft.state.calling?.why === 'safety' && !draft.state.calling.confirmed) endCalling(draft);
}

/** It will not arrive, or no word came: the same words are said by call. */
export function callForSafetyText(draft: Draft, id?: string): void {
  const waiting = draft.state.safetyText ?? null;
  if (waiting === null || (id !== undefined && waiting.id !== id)) return;
  // A person has closed it meanwhile: she was spoken to.
  if (!isDangerOpen(draft)) return forgetSafetyText(draft);
  note(draft, 'safety-text-not-delivered', {});
  dropDues(draft, (d) => d.kind === 'not-delivered');
  if (draft.state.calling?.why !== 'safety') ringHer(draft, 'safety', waiting.says);
  else change(draft, { calling: { ...draft.state.calling, says: waiting.says } });
}

/** She has heard the words. */
export function forgetSafetyText(draft: Draft): void {
  change(draft, { safetyText: null });
  dropDues(draft, (d) => d.kind === 'not-delivered');
}
