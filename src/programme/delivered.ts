import {
  type DeliveryCounts,
  type DeliveryTally,
  noDeliveries,
  rowOf,
  sumOf,
} from '../dialog/delivery-tally.ts';
import type { LineId } from '../dialog/line.ts';
import type { Store } from '../store/store.ts';

/** Lines read at once. */
const page = 200;

/** How the texts of all lines fared in the last two months. Reads every line: for a command, never while a mother waits. */
export async function readDeliveries(store: Pick<Store, 'lineIds' | 'load'>): Promise<DeliveryTally> {
  let all: DeliveryTally = {};
  for (let after: LineId | undefined; ; ) {
    const ids = await store.lineIds(page, after);
    const tallies: DeliveryTally[] = [all];
    for (const id of ids) {
      const kept = await store.load(id);
      const state =
        kept === undefined ? {} : (JSON.parse(kept.state) as { readonly delivery?: DeliveryTally });
      if (state.delivery !== undefined) tallies.push(state.delivery);
    }
    all = sumOf(tallies);
    after = ids.at(-1);
    if (ids.length < page) return all;
  }
}

/** One line of what was delivered. */
export interface DeliveredRow extends DeliveryCounts {
  readonly to: 'mother' | 'counsellor';
  readonly language: string;
  /** 0 to 23; null: of all hours. */
  readonly hour: number | null;
  /** Written and neither delivered, lost nor left unsent: no word came. */
  readonly withoutWord: number;
  /** Of those that the carrier took, 0 to 1; null when it took none. */
  readonly share: number | null;
}

/**
 * By receiver and language, its hours and then their sum.
 * @param month YYYY-MM; all that is kept without it
 */
export function deliveredRows(tally: DeliveryTally, month?: string): readonly DeliveredRow[] {
  const cells = Object.entries(tally)
    .map(([name, counts]) => ({ ...rowOf(name), counts }))
    .filter((cell) => month === undefined || cell.month === month);
  const groups = [...new Set(cells.map(({ to, language }) => `${to} ${language}`))].sort().reverse();
  return groups.flatMap((group) => {
    const its = cells.filter(({ to, language }) => `${to} ${language}` === group);
    const [to, language = ''] = group.split(' ') as [DeliveredRow['to'], string];
    const hours = [...new Set(its.map(({ hour }) => hour))].sort((a, b) => a - b);
    const row = (hour: number | null) => {
      const counts = its.filter((cell) => hour === null || cell.hour === hour).map((cell) => cell.counts);
      return withShare(to, language, hour, counts);
    };
    return [...hours.map(row), row(null)];
  });
}

function withShare(
  to: DeliveredRow['to'],
  language: string,
  hour: number | null,
  all: readonly DeliveryCounts[],
): DeliveredRow {
  const sum = all.reduce(
    (a, b) => ({
      written: a.written + b.written,
      delivered: a.delivered + b.delivered,
      lost: a.lost + b.lost,
      notSent: a.notSent + b.notSent,
    }),
    noDeliveries,
  );
  const tookOver = sum.written - sum.notSent;
  const withoutWord = Math.max(0, tookOver - sum.delivered - sum.lost);
  return { to, language, hour, ...sum, withoutWord, share: tookOver > 0 ? sum.delivered / tookOver : null };
}
