import { parseArgs } from 'node:util';
import { z } from 'zod';
import { signTier } from '../care/danger.ts';
import { mostUrgent } from '../care/tier.ts';
import { type AnswerWords, readAnswer } from '../language/answers/index.ts';
import type { Asked, ReadingContext } from '../language/asked.ts';
import { type DangerPhrases, readDanger } from '../language/danger/index.ts';
import { loadAnswerWords, loadDangerPhrases } from '../programme/load-content.ts';
import type { Command, CommandIo } from './command.ts';
import { BadLine, eachJsonLine } from './json-lines.ts';
import { type AskedName, askedFor, askedNames, writtenReading } from './read-asked.ts';

const usage = `read [--as ${askedNames.join('|')}] [--options N] [--today YYYY-MM-DD] [--date-of birth]`;

const textLine = z.object({
  id: z.union([z.string(), z.number()]),
  text: z.string(),
  lang: z.string().nullish(),
  age_days: z.number().min(0).max(40_000).nullish(),
});

type TextLine = z.infer<typeof textLine>;

function textLineOf(line: unknown): TextLine {
  const result = textLine.safeParse(line);
  if (result.success) return result.data;
  const places = [...new Set(result.error.issues.map((issue) => issue.path.join('.') || 'the line'))];
  throw new BadLine(`wrong or missing: ${places.join(', ')}; needed is {"id": …, "text": "…"}`);
}

/** Signs with their tiers. An unsure sign has the tier it would have if it were so. */
function dangerOf({ id, text, age_days }: TextLine, phrases: DangerPhrases) {
  const { signs, worried } = readDanger(text, phrases);
  const tiered = signs.map(({ code, who, sure, matched, detail }) => {
    const alsoSigns = signs
      .filter((other) => other.who === who && other.code !== code)
      .map((other) => other.code);
    const { tier } = signTier({ code, who, detail }, { babyAgeDays: age_days ?? undefined, alsoSigns });
    return { code, who, tier, sure, matched };
  });
  const tier = tiered.length > 0 ? mostUrgent(tiered.map((sign) => sign.tier)) : worried ? 'C' : 'none';
  return { id, signs: tiered, tier };
}

const answerOf = ({ id, text, lang }: TextLine, asked: Asked, words: AnswerWords, today: string) => {
  const context: ReadingContext = { today, ...(typeof lang === 'string' ? { language: lang } : {}) };
  return { id, ...writtenReading(readAnswer(text, asked, words, context)) };
};

const isAskedName = (name: string): name is AskedName => (askedNames as readonly string[]).includes(name);

const isDay = (text: string): boolean =>
  /^\d{4}-\d{2}-\d{2}$/u.test(text) &&
  !Number.isNaN(Date.parse(text)) &&
  new Date(text).toISOString().startsWith(text);

/** Today where the command runs. */
function localToday(): string {
  const now = new Date();
  return new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
}

type Use =
  | { readonly kind: 'danger' }
  | { readonly kind: 'answer'; readonly asked: Asked; readonly today: string };

/** How the command is to be used, or what is wrong with how it was called. */
function useOf(args: readonly string[]): Use | string {
  let values: {
    as?: string | undefined;
    options?: string | undefined;
    today?: string | undefined;
    'date-of'?: string | undefined;
  };
  try {
    const text = { type: 'string' } as const;
    ({ values } = parseArgs({
      args: [...args],
      options: { as: text, options: text, today: text, 'date-of': text },
    }));
  } catch (error) {
    return error instanceof Error ? error.message : String(error);
  }
  const { as, options, today = localToday() } = values;
  if (!isDay(today)) return '--today needs a day of the calendar as YYYY-MM-DD';
  if (as === undefined) return { kind: 'danger' };
  if (!isAskedName(as)) return `--as must be one of ${askedNames.join(', ')}`;
  const needsOptions = as === 'choice' || as === 'multi-choice';
  const count = Number(options);
  if ((needsOptions || options !== undefined) && !(Number.isInteger(count) && count >= 1 && count <= 99)) {
    return `--as ${as} needs --options N, a whole number from 1 to 99`;
  }
  const dateOf = values['date-of'];
  if (dateOf !== undefined && dateOf !== 'birth') return '--date-of can only be birth';
  return { kind: 'answer', asked: askedFor(as, { options: count, past: dateOf === 'birth' }), today };
}

/** `eightfeeds read`: danger signs in texts, or with `--as` the answers in them; JSON lines in and out. */
export const command: Command = {
  summary: 'read danger signs, or answers, in texts',
  usage,
  async run(args: readonly string[], io: CommandIo): Promise<number> {
    const use = useOf(args);
    if (typeof use === 'string') {
      io.errors.write(`eightfeeds read: ${use}\neightfeeds ${usage}\n`);
      return 2;
    }
    if (use.kind === 'danger') {
      const phrases = loadDangerPhrases();
      return eachJsonLine(io, (line) => dangerOf(textLineOf(line), phrases));
    }
    const words = loadAnswerWords();
    return eachJsonLine(io, (line) => answerOf(textLineOf(line), use.asked, words, use.today));
  },
};
