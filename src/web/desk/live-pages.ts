import { maySee } from '../../counsel/area.ts';
import { isCounsellorRecord } from '../../counsel/counsellor-record.ts';
import { readTodaysList } from '../../counsel/read-todays-list.ts';
import type { LineId, LineState } from '../../dialog/line.ts';
import type { DeskPages } from './desk-pages.ts';
import type { DeskParts } from './desk-parts.ts';
import { openLive } from './live.ts';
import type { Reading } from './reading.ts';
import { markOf, todayList } from './today-page.ts';

/** The list is sent again after so long without a change, so that waiting times stay true. */
const freshMs = 5 * 60_000;

/** Live updates: today's list as it changes, and word that something new is on a mother's page. */
export function addLivePages(desk: DeskParts, reading: Reading, { router, now }: DeskPages): void {
  const live = openLive((onChange) => desk.line.watch(onChange));

  router.get('/live', async (request, response) => {
    const who = await reading.signedIn(request, 'look');
    if (who === undefined) {
      response.status(204).end(); // A browser that gets this does not ask again.
      return;
    }
    // The page came with this list a moment ago.
    let sent = String(request.query['mark']);
    let sentAt = desk.wallNow();
    live.connect(request, response, {
      isWelcome: async () => (await reading.signedIn(request, 'look')) !== undefined,
      news: async () => {
        const list = await readTodaysList(desk.store, now(), who.counsellor);
        const mark = markOf(list);
        const at = desk.wallNow();
        if (mark === sent && at - sentAt < freshMs) return undefined;
        const reader = await reading.signedIn(request, 'look');
        if (reader === undefined) return undefined;
        [sent, sentAt] = [mark, at];
        return { event: 'list', data: { html: todayList(list, reader, now()).text } };
      },
    });
  });

  router.get('/live/:line', async (request, response) => {
    const { line } = request.params;
    const lineId = line as LineId;
    const isHers = async (): Promise<boolean> => {
      const who = await reading.signedIn(request, 'look');
      if (who === undefined || !/^[\w-]{10,64}$/.test(line)) return false;
      const stored = await desk.store.load(lineId);
      if (stored === undefined || isCounsellorRecord(stored.state)) return false;
      return maySee(who.counsellor, JSON.parse(stored.state) as LineState, now());
    };
    if (!(await isHers())) {
      response.status(204).end();
      return;
    }
    const shown = Number(request.query['version']);
    let told = false;
    live.connect(request, response, {
      lineId,
      isWelcome: isHers,
      news: async () => {
        const stored = told ? undefined : await desk.store.load(lineId);
        if (stored === undefined || !(stored.version > shown)) return undefined;
        told = true;
        return { event: 'news', data: {} };
      },
    });
  });
}
