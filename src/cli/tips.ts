import { tipReasonText } from '../care/tips/tip-reason-text.ts';
import { type Tip, tipRun, tipsByAge } from '../care/tips/index.ts';
import { readConfig } from '../config.ts';
import { openCalendar } from '../language/calendar.ts';
import { openWording } from '../language/wording.ts';
import { contentRoot, loadLanguages, localeFiles } from '../programme/load-content.ts';
import { loadTips, tipTextFile } from '../programme/load-tips.ts';
import type { Command } from './command.ts';
import { concernsAt, type TipsAsked, tipsAsked, tipsUsage } from './tips-asked.ts';

/**
 * The calendar of one mother: each tip that she would be told if every one reached her, on which day, in which words and why. For
 * clinical leads and authors, who try cases with it.
 */
export const command: Command = {
  summary: 'the tips that one mother would be told, day by day, and why each',
  usage: tipsUsage,
  run: (args, io) => {
    const languages = loadLanguages().map(({ code }) => code);
    const asked = tipsAsked(args, today(), languages);
    if (typeof asked === 'string') {
      io.errors.write(`eightfeeds tips: ${asked}\neightfeeds ${tipsUsage}\n`);
      return Promise.resolve(2);
    }
    const tips = loadTips(contentRoot, languages);
    const wording = openWording(localeFiles(contentRoot, tipTextFile));
    const { emergencyNumber } = readConfig({ EMERGENCY_NUMBER: io.env['EMERGENCY_NUMBER'] }).programme;
    let told = 0;
    for (const { ageDays, day, tip, why } of calendarOf(tips, asked)) {
      if (tip === undefined) {
        io.output.write(`${day}  ${daysOld(ageDays)}  nothing left to tell\n\n`);
        continue;
      }
      told++;
      const words = wording.say(`tips.${tip.id}`, { emergency: emergencyNumber }, asked.her.language, 'text');
      io.output.write(`${day}  ${daysOld(ageDays)}  ${tip.id}\n  ${words}\n`);
      io.output.write(`${why.map((line) => `  - ${line}`).join('\n')}\n  - Source: ${tip.source}.\n\n`);
    }
    io.output.write(`${told} tips\n`);
    return Promise.resolve(0);
  },
};

const daysOld = (count: number): string => `${count} ${count === 1 ? 'day' : 'days'}`;

interface CalendarDay {
  readonly ageDays: number;
  /** YYYY-MM-DD. */
  readonly day: string;
  readonly tip: Tip | undefined;
  readonly why: readonly string[];
}

function* calendarOf(tips: readonly Tip[], asked: TipsAsked): Generator<CalendarDay> {
  const calendar = openCalendar('UTC');
  const dayAt = (ageDays: number): string => calendar.plusDays(asked.bornOn, ageDays);
  const run = tipRun(
    tipsByAge(tips),
    (ageDays) => ({
      ...asked.her,
      ageDays,
      month: Number(dayAt(ageDays).slice(5, 7)),
      concerns: concernsAt(asked, ageDays),
    }),
    asked.joinedAtDays,
    asked.untilDays,
  );
  for (const { facts, chosen } of run) {
    yield {
      ageDays: facts.ageDays,
      day: dayAt(facts.ageDays),
      tip: chosen?.tip,
      why: (chosen?.why ?? []).map(tipReasonText),
    };
  }
}

/** Today where the command runs. */
function today(): string {
  const now = new Date();
  return new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
}
