import type { LineId, LineState } from '../dialog/line.ts';
import type { Counsellor, World } from '../dialog/world.ts';
import type { Store } from '../store/store.ts';
import { maySee } from './area.ts';
import { type Listed, todaysList } from './todays-list.ts';

/** Alerts looked at for the list: more than a desk can reach in a day. */
const listedAtMost = 200;

/**
 * The list of whom to reach first, read from the lines themselves.
 * @param reader only mothers whom she may see; everybody's without it
 */
export async function readTodaysList(
  store: Store,
  world: World,
  reader?: Counsellor,
): Promise<readonly Listed[]> {
  const seen = new Map<LineId, LineState | undefined>();
  const look = async (lineId: LineId): Promise<void> => {
    if (seen.has(lineId)) return;
    const stored = await store.load(lineId);
    const state = stored === undefined ? undefined : (JSON.parse(stored.state) as LineState);
    const isHers = state !== undefined && (reader === undefined || maySee(reader, state, world));
    seen.set(lineId, isHers ? state : undefined);
  };
  // Many of other areas must not crowd out hers: looked further until there are enough of hers.
  for (let limit = listedAtMost; ; limit *= 4) {
    const open = await store.openAlerts(limit);
    await Promise.all([...new Set(open.map((a) => a.lineId))].map(look));
    const hers = open.filter((a) => seen.get(a.lineId) !== undefined);
    if (hers.length < listedAtMost && open.length === limit) continue;
    const ids = [...new Set(hers.slice(0, listedAtMost).map((a) => a.lineId))];
    const lines = ids.flatMap((lineId) => {
      const state = seen.get(lineId);
      return state === undefined ? [] : [{ lineId, state }];
    });
    return todaysList(lines, world);
  }
}
