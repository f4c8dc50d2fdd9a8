import { areaOf, isSameArea, withoutArea } from '../counsel/area.ts';
import { counsellorById } from '../counsel/rota.ts';
import { tell } from '../counsel/telling.ts';
import { type Draft, note } from './draft.ts';
import type { LineEvent } from './event.ts';

/**
 * A lead says in which area the mothers of a line live. What nobody has taken yet is told to who is on duty there at once: until
 * now it was told to others. Anybody but a lead changes nothing.
 */
export function place(draft: Draft, { by, area }: Extract<LineEvent, { kind: 'place' }>): void {
  const { programme } = draft.world;
  if (counsellorById(programme, by)?.lead !== true) return;
  const before = areaOf(draft.state, programme);
  draft.state = area === null ? withoutArea(draft.state) : { ...draft.state, area };
  const after = areaOf(draft.state, programme);
  note(draft, 'placed', { by, area });
  if (before === after || (before !== undefined && after !== undefined && isSameArea(before, after))) return;
  for (const alert of draft.state.alerts)
    if ((alert.stage === 'raised' || alert.stage === 'notified') && alert.tier !== 'C') tell(draft, alert);
}
