import type { Calendar } from '../../language/calendar.ts';
import type { LineId } from '../../dialog/line.ts';
import type { Store } from '../../store/store.ts';
import { type Entry, noUsage, plus, type Usage, usageOf } from './usage.ts';

/** The use of all lines of one language in one week. */
export interface WeekOfUse {
  readonly language: string;
  /** `2026-03-02`, the Monday that it begins with, or `week 3` of a played mother. */
  readonly week: string;
  /** Lines that the carrier was used for. */
  readonly mothers: number;
  readonly used: Usage;
}

const page = 1_000;
const dayMs = 86_400_000;

/** The Monday of a day, YYYY-MM-DD: weeks begin on Monday. Source: ISO 8601. */
export function mondayOf(day: string): string {
  const at = Date.parse(`${day}T00:00:00Z`);
  const sinceMonday = (new Date(at).getUTCDay() + 6) % 7;
  return new Date(at - sinceMonday * dayMs).toISOString().slice(0, 10);
}

/** Adds up weeks of lines, by language and week, both in order. */
export function weeksOf(): {
  add(language: string, weekOf: (at: number) => string | undefined, entries: readonly Entry[]): void;
  all(): readonly WeekOfUse[];
} {
  const weeks = new Map<string, { language: string; week: string; mothers: number; used: Usage }>();
  return {
    add: (language, weekOf, entries) => {
      const seen = new Set<string>();
      for (const { at, used } of usageOf(entries)) {
        const week = weekOf(at);
        if (week === undefined) continue;
        const key = `${language} ${week}`;
        const kept = weeks.get(key) ?? { language, week, mothers: 0, used: noUsage };
        kept.used = plus(kept.used, used);
        if (!seen.has(key)) kept.mothers += 1;
        seen.add(key);
        weeks.set(key, kept);
      }
    },
    all: () =>
      [...weeks.values()].sort(
        (a, b) =>
          a.language.localeCompare(b.language, 'en') || a.week.localeCompare(b.week, 'en', { numeric: true }),
      ),
  };
}

/** What the kept lines used, by language and week of the programme's clock, within days given (both counted). */
export async function keptWeeks(
  store: Store,
  calendar: Calendar,
  { from, until }: { readonly from?: string | undefined; readonly until?: string | undefined },
): Promise<readonly WeekOfUse[]> {
  const weeks = weeksOf();
  const weekOf = (at: number) => {
    const day = calendar.day(at);
    return (from !== undefined && day < from) || (until !== undefined && day > until)
      ? undefined
      : mondayOf(day);
  };
  for (let after: LineId | undefined; ; ) {
    const ids = await store.lineIds(page, after);
    for (const id of ids) {
      const kept = await store.load(id);
      if (kept === undefined) continue;
      const { language } = JSON.parse(kept.state) as { readonly language?: unknown };
      // A counsellor's own record speaks no language and costs only its sign-in codes.
      if (typeof language === 'string') weeks.add(language, weekOf, await entriesOf(store, id));
    }
    after = ids.at(-1);
    if (ids.length < page) return weeks.all();
  }
}

async function entriesOf(store: Store, id: LineId): Promise<readonly Entry[]> {
  const entries: Entry[] = [];
  for (let after = 0; ; ) {
    const some = await store.journal(id, page, after);
    for (const { at, kind, body } of some) entries.push({ at, kind, body: JSON.parse(body) });
    after = some.at(-1)?.seq ?? after;
    if (some.length < page) return entries;
  }
}
