import type { LineId, LineState } from '../dialog/line.ts';
import type { Counsellor, World } from '../dialog/world.ts';
import { zoneOf } from '../dialog/zone.ts';
import { type Calendar, openCalendar } from '../language/calendar.ts';
import type { Store } from '../store/store.ts';
import { maySee } from './area.ts';
import { type ComingUp, comingUp } from './coming-up.ts';
import { isCounsellorRecord } from './counsellor-record.ts';

/** One matter of one line. */
export interface ComingOnLine extends ComingUp {
  readonly lineId: LineId;
  readonly state: LineState;
}

export interface ComingPage {
  /** Soonest first. */
  readonly matters: readonly ComingOnLine[];
  /** The line after which the next page begins; absent on the last one. */
  readonly after?: LineId;
}

/** Lines looked at for one page: a page must not read through a whole country while somebody waits for it. */
const linesAPage = 2_000;
const atOnce = 200;

/**
 * What comes up for the mothers whom `reader` may see until an instant, from the lines themselves; of a large programme one page
 * after the other.
 * @param untilAt epoch milliseconds, not included
 */
export async function readComingUp(
  store: Store,
  world: World,
  reader: Counsellor,
  untilAt: number,
  from?: LineId,
): Promise<ComingPage> {
  const matters: ComingOnLine[] = [];
  const calendars = new Map<string, Calendar>();
  let after = from;
  for (let looked = 0; looked < linesAPage; looked += atOnce) {
    const ids = await store.lineIds(atOnce, after);
    const lines = await Promise.all(ids.map((id) => store.load(id)));
    for (const [i, stored] of lines.entries()) {
      const lineId = ids[i];
      if (stored === undefined || lineId === undefined || isCounsellorRecord(stored.state)) continue;
      const state = JSON.parse(stored.state) as LineState;
      if (!maySee(reader, state, world)) continue;
      const hers = worldOf(state, world, calendars);
      for (const coming of comingUp(state, hers)) {
        if (coming.at < untilAt) matters.push({ ...coming, lineId, state });
      }
    }
    after = ids.at(-1);
    if (ids.length < atOnce) {
      after = undefined;
      break;
    }
  }
  return { matters: matters.sort((a, b) => a.at - b.at), ...(after === undefined ? {} : { after }) };
}

/** The world as a turn of this line would have it: on her own clock. */
export function worldOf(state: LineState, world: World, calendars: Map<string, Calendar> = new Map()): World {
  const zone = zoneOf(state, state.phone, world.programme);
  if (zone === world.calendar.timeZone) return world;
  const calendar = calendars.get(zone) ?? openCalendar(zone);
  calendars.set(zone, calendar);
  return { ...world, calendar, dutyCalendar: world.dutyCalendar ?? world.calendar };
}
