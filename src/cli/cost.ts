import { parseArgs } from 'node:util';
import { readConfig } from '../config.ts';
import { openCalendar } from '../language/calendar.ts';
import { loadContent } from '../programme/load-content.ts';
import { playedMother } from '../programme/cost/played-mother.ts';
import { costOf, loadPrices, type Prices } from '../programme/cost/prices.ts';
import { noUsage, plus } from '../programme/cost/usage.ts';
import { keptWeeks, type WeekOfUse, weeksOf } from '../programme/cost/weekly.ts';
import type { Command, CommandIo } from './command.ts';
import { openStoreOf } from './open-store.ts';

const usage = 'cost [--prices <file>] [--from <day>] [--until <day>] [--planned [--weeks <n>]]';
const weekMs = 7 * 86_400_000;
const day = /^\d{4}-\d\d-\d\d$/;

/** `eightfeeds cost`: texts, segments and call minutes a mother and week, by language, and what they cost. */
export const command: Command = {
  summary: 'segments, calls and cost a mother and week, by language; --planned before there are mothers',
  usage,
  async run(args, io) {
    const asked = options(args);
    if (typeof asked === 'string') {
      io.errors.write(`eightfeeds cost: ${asked}\neightfeeds ${usage}\n`);
      return 2;
    }
    const prices = asked.prices === undefined ? undefined : loadPrices(asked.prices);
    const weeks = asked.planned ? planned(io, asked.weeks) : await kept(io, asked);
    if (weeks.length === 0) {
      io.errors.write('Nothing was sent or received in those days.\n');
      return 0;
    }
    io.output.write(table(weeks, prices));
    if (prices === undefined)
      io.errors.write('Without --prices nothing is known of money: prices.example.yaml shows such a file.\n');
    return 0;
  },
};

interface Options {
  readonly prices: string | undefined;
  readonly from: string | undefined;
  readonly until: string | undefined;
  readonly planned: boolean;
  readonly weeks: number;
}

/** What was asked for, or what is wrong with how it was asked. */
function options(args: readonly string[]): Options | string {
  try {
    const text = { type: 'string' } as const;
    const { values } = parseArgs({
      args: [...args],
      options: { prices: text, from: text, until: text, weeks: text, planned: { type: 'boolean' } },
    });
    const { prices, from, until, planned = false } = values;
    if ([from, until].some((d) => d !== undefined && !day.test(d)))
      return '--from and --until are days, YYYY-MM-DD';
    const weeks = Number(values.weeks ?? 26);
    if (!Number.isInteger(weeks) || weeks < 1 || weeks > 104) return '--weeks is a number from 1 to 104';
    return { prices, from, until, planned, weeks };
  } catch (error) {
    return error instanceof Error ? error.message : String(error);
  }
}

/** One mother in each language whose feeding goes well and who answers by text. */
function planned({ env, errors }: CommandIo, weeks: number): readonly WeekOfUse[] {
  const content = loadContent();
  const { programme } = readConfig({ TIME_ZONE: env['TIME_ZONE'] });
  const calendar = openCalendar(programme.timeZone);
  const from = Date.parse('2026-03-02T00:00:00Z');
  const all = weeksOf();
  for (const language of content.languages) {
    const entries = playedMother({ content, programme, calendar }, { language, from, weeks });
    const start = entries[0]?.at ?? from;
    all.add(language, (at) => `week ${Math.floor((at - start) / weekMs) + 1}`, entries);
  }
  errors.write('One mother a language, from the day after birth, feeding well and answering all by text.\n');
  return all.all();
}

async function kept({ env }: CommandIo, days: Options): Promise<readonly WeekOfUse[]> {
  const config = readConfig(env);
  const store = await openStoreOf(config);
  try {
    return await keptWeeks(store, openCalendar(config.programme.timeZone), days);
  } finally {
    await store.close();
  }
}

/** Each row is one language's week; after a language's weeks its sum, a mother and week. */
function table(weeks: readonly WeekOfUse[], prices: Prices | undefined): string {
  const money = prices === undefined ? [] : [`cost ${prices.currency}`, 'each'];
  const head = [
    'language',
    'week',
    'mothers',
    'texts out',
    'segments',
    'texts in',
    'segments',
    'calls',
    'minutes',
    'alerts',
    ...money,
  ];
  const row = ({ language, week, mothers, used }: WeekOfUse): readonly string[] => {
    const cost = prices === undefined ? 0 : costOf(used, prices);
    return [
      language,
      week,
      String(mothers),
      String(used.textsOut),
      String(used.segmentsOut),
      String(used.textsIn),
      String(used.segmentsIn),
      String(used.calls),
      String(used.callMinutes),
      String(used.counsellorSegments + used.counsellorCalls),
      ...(prices === undefined ? [] : [cost.toFixed(2), (cost / Math.max(1, mothers)).toFixed(2)]),
    ];
  };
  const languages = [...new Set(weeks.map((w) => w.language))];
  const rows = languages.flatMap((language) => {
    const its = weeks.filter((w) => w.language === language);
    return [...its.map(row), mean(its, prices)];
  });
  const widths = head.map((h, i) => Math.max(h.length, ...rows.map((r) => r[i]?.length ?? 0)));
  const line = (cells: readonly string[]) =>
    cells
      .map((c, i) => (i < 2 ? c.padEnd(widths[i] ?? 0) : c.padStart(widths[i] ?? 0)))
      .join('  ')
      .trimEnd();
  return `${[head, ...rows].map(line).join('\n')}\n`;
}

/** A mother and week of a language: all its weeks shared over the mothers of each. */
function mean(weeks: readonly WeekOfUse[], prices: Prices | undefined): readonly string[] {
  const used = weeks.map((w) => w.used).reduce(plus, noUsage);
  const shares = weeks.reduce((sum, w) => sum + w.mothers, 0);
  const each = (n: number) => (n / Math.max(1, shares)).toFixed(2);
  return [
    weeks[0]?.language ?? '',
    'a mother and week',
    '',
    each(used.textsOut),
    each(used.segmentsOut),
    each(used.textsIn),
    each(used.segmentsIn),
    each(used.calls),
    each(used.callMinutes),
    each(used.counsellorSegments + used.counsellorCalls),
    ...(prices === undefined ? [] : ['', each(costOf(used, prices))]),
  ];
}
