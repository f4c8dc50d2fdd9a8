import type { LineState } from '../dialog/line.ts';
import type { World } from '../dialog/world.ts';
import type { Store } from '../store/store.ts';
import { type Listed, todaysList } from './todays-list.ts';

/** Alerts looked at for the list: more than a desk can reach in a day. */
const listedAtMost = 200;

/** The list of whom to reach first, read from the lines themselves. */
export async function readTodaysList(store: Store, world: World): Promise<readonly Listed[]> {
  const open = await store.openAlerts(listedAtMost);
  const ids = [...new Set(open.map((a) => a.lineId))];
  const lines = await Promise.all(
    ids.map(async (lineId) => {
      const stored = await store.load(lineId);
      return stored === undefined ? [] : [{ lineId, state: JSON.parse(stored.state) as LineState }];
    }),
  );
  return todaysList(lines.flat(), world);
}
