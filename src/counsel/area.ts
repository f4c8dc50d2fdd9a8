import type { LineState } from '../dialog/line.ts';
import type { Counsellor, Programme } from '../dialog/world.ts';
import { plainWords } from './counsellor-words.ts';

/** Who closed an alert can look at its mother for so long still: to mend a note, or to open it again. Common practice, no source. */
const afterwardsMs = 24 * 3_600_000;

/** The areas that a counsellor is limited to, as they are written in the rota; undefined when she sees every mother. Leads do. */
export function areasOf(counsellor: Counsellor): readonly string[] | undefined {
  const { area, lead } = counsellor;
  if (lead || area === undefined) return undefined;
  return typeof area === 'string' ? [area] : area;
}

/**
 * Whether mothers of an area are hers to care for.
 * @param area undefined: nobody knows it. Such a mother is everybody's: she must not be nobody's.
 */
export function worksIn(counsellor: Counsellor, area: string | undefined): boolean {
  const areas = areasOf(counsellor);
  return areas === undefined || area === undefined || areas.some((a) => isSameArea(a, area));
}

/** Names of areas are written by people: capitals and spaces make no other area. */
export function isSameArea(one: string, other: string): boolean {
  return plainWords(one) === plainWords(other);
}

/** The area of a line: what a counsellor or lead set, else the programme's own. */
export function areaOf(state: Pick<LineState, 'area'>, programme: Programme): string | undefined {
  return state.area ?? programme.area;
}

/**
 * Whether a counsellor may see a line's mothers and act on their alerts: those of her areas, and those whose alert she holds, is
 * offered, or closed within the last day. So a lead can hand over across areas in an emergency.
 * @param now epoch milliseconds
 */
export function maySee(
  counsellor: Counsellor,
  state: Pick<LineState, 'area' | 'alerts'>,
  world: { readonly programme: Programme; readonly now: number },
): boolean {
  if (worksIn(counsellor, areaOf(state, world.programme))) return true;
  return state.alerts.some((alert) => {
    const { acknowledgedBy, offeredTo = null, stage, steps } = alert;
    if (acknowledgedBy === null) return stage !== 'resolved' && offeredTo === counsellor.id;
    if (acknowledgedBy !== counsellor.id) return false;
    return stage !== 'resolved' || (steps.at(-1)?.at ?? 0) > world.now - afterwardsMs;
  });
}

/** The line with no area of its own: it lives where the programme does. */
export function withoutArea(state: LineState): LineState {
  const copy: { -readonly [K in keyof LineState]: LineState[K] } = { ...state };
  delete copy.area;
  return copy;
}

/** Every area that a counsellor or the programme itself has, each once, in the order of the rota. */
export function areasKnown(programme: Pick<Programme, 'counsellors' | 'area'>): readonly string[] {
  const named = programme.counsellors.flatMap(({ area = [] }) => area);
  const all = programme.area === undefined ? named : [...named, programme.area];
  return all.filter((area, i) => all.findIndex((other) => isSameArea(other, area)) === i);
}

/** The area that mothers whom she enrols are placed in: her first, or the programme's own when she has none. */
export function areaOfEnrolled(counsellor: Counsellor): string | undefined {
  const { area } = counsellor;
  return typeof area === 'string' ? area : area?.[0];
}
