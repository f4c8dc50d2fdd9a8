/**
 * How the texts of one line fared: by month, receiver, language and hour of the day on the phone's clock. Each row counts what was
 * written to the outbox, what was delivered, what the carrier could not deliver and what was never sent; the rest is without word.
 */
export type DeliveryTally = Readonly<Record<string, DeliveryCounts>>;

export interface DeliveryCounts {
  readonly written: number;
  readonly delivered: number;
  readonly lost: number;
  readonly notSent: number;
}

/** What a row is of. */
export interface DeliveryRow {
  /** YYYY-MM. */
  readonly month: string;
  readonly to: 'mother' | 'counsellor';
  readonly language: string;
  /** 0 to 23. */
  readonly hour: number;
}

export const noDeliveries: DeliveryCounts = { written: 0, delivered: 0, lost: 0, notSent: 0 };

export function rowName({ month, to, language, hour }: DeliveryRow): string {
  return `${month} ${to === 'mother' ? 'm' : 'c'} ${language} ${String(hour).padStart(2, '0')}`;
}

export function rowOf(name: string): DeliveryRow {
  const [month = '', to, language = '', hour] = name.split(' ');
  return { month, to: to === 'c' ? 'counsellor' : 'mother', language, hour: Number(hour) };
}

/** Counts one more, or one less, in a row. Rows of months before the last two are dropped, so that a line's state stays small. */
export function count(
  tally: DeliveryTally,
  row: string,
  change: Partial<Record<keyof DeliveryCounts, 1 | -1>>,
): DeliveryTally {
  const old = tally[row] ?? noDeliveries;
  const counts = {
    written: old.written + (change.written ?? 0),
    delivered: old.delivered + (change.delivered ?? 0),
    lost: old.lost + (change.lost ?? 0),
    notSent: old.notSent + (change.notSent ?? 0),
  };
  const months = [...new Set([...Object.keys(tally), row].map((r) => r.slice(0, 7)))].sort().slice(-2);
  return Object.fromEntries(
    Object.entries({ ...tally, [row]: counts }).filter(([name]) => months.includes(name.slice(0, 7))),
  );
}

/** Where a status counts: an end in one column, everything on the way in none. */
export function columnOf(status: string): 'delivered' | 'lost' | 'notSent' | undefined {
  if (status === 'delivered' || status === 'read') return 'delivered';
  if (status === 'not-sent') return 'notSent';
  const isEnd = ['failed', 'undelivered', 'canceled', 'partially_delivered'].includes(status);
  return isEnd ? 'lost' : undefined;
}

/** Sums tallies of many lines, row by row. */
export function sumOf(tallies: Iterable<DeliveryTally>): DeliveryTally {
  const sum = new Map<string, DeliveryCounts>();
  for (const tally of tallies) {
    for (const [row, counts] of Object.entries(tally)) {
      const old = sum.get(row) ?? noDeliveries;
      sum.set(row, {
        written: old.written + counts.written,
        delivered: old.delivered + counts.delivered,
        lost: old.lost + counts.lost,
        notSent: old.notSent + counts.notSent,
      });
    }
  }
  return Object.fromEntries([...sum].sort(([a], [b]) => (a < b ? -1 : 1)));
}
