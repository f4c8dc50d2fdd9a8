import { z } from 'zod';
import { type ContentText, openContent, schemaProblems } from '../diet/content-file.ts';
import { allergens } from '../diet/foods.ts';
import { type TipConcern, tipConcerns } from './tip-concern.ts';
import { lastTipDay } from './tip-rhythm.ts';
import { type Tip, type TipConditions, tipTopics } from './tip.ts';

const name = z.string().regex(/^[a-z][a-z0-9-]*$/, 'use small letters, digits and dashes');
/** A concern, or the name of a group of them. */
const concern = z.string().meta({ examples: [...tipConcerns] });
const day = z.int().min(0).max(lastTipDay);

const conditionsSchema = z.strictObject({
  eats: z
    .array(z.enum(['veg', 'egg', 'all']))
    .min(1)
    .optional(),
  languages: z.array(z.string()).min(1).optional(),
  twins: z.boolean().optional(),
  preterm: z.boolean().optional(),
  'first-baby': z.boolean().optional(),
  months: z.array(z.int().min(1).max(12)).min(1).optional(),
  concerns: z.array(concern).min(1).optional(),
  unless: z.array(concern).min(1).optional(),
});

const tipSchema = z.strictObject({
  topic: z.enum(tipTopics),
  days: z.tuple([day, day]),
  priority: z.int().min(1).max(5),
  when: conditionsSchema.optional(),
  'first-after': z.array(concern).optional(),
  allergens: z.array(z.enum(allergens)).optional(),
  source: z.string().min(10, 'name the publication and year, or write "common practice, no source"'),
});

/** What `flows/tips.yaml` may hold. */
export const tipsFile = z.strictObject({
  'concern-groups': z.record(name, z.array(z.enum(tipConcerns)).min(1)).optional(),
  tips: z.record(name, tipSchema),
});

type TipRow = z.infer<typeof tipSchema>;
type TipsData = z.infer<typeof tipsFile>;

/** The known name that a mistyped one may stand for; undefined: none is near. */
type Nearest = (name: string, known: readonly string[]) => string | undefined;

/**
 * Reads the calendar of tips.
 * @param languages codes of the languages that the line has
 * @returns the tips in the order of the file, and everything wrong with it, each with its line
 */
export function readTips(
  text: ContentText,
  languages: readonly string[],
  nearest: Nearest,
): { readonly tips: readonly Tip[]; readonly problems: readonly string[] } {
  const { file, problems } = openContent(text);
  const found = problems.length > 0 ? problems : schemaProblems(file, tipsFile);
  const read = tipsFile.safeParse(file.data);
  if (found.length > 0 || !read.success) return { tips: [], problems: found };
  const known = [...tipConcerns, ...Object.keys(read.data['concern-groups'] ?? {})];
  const unknown = (kind: string, one: string, among: readonly string[]): string => {
    const near = nearest(one, among);
    return `no ${kind} named "${one}"${near === undefined ? '' : `. Did you mean "${near}"?`}`;
  };
  const wrongIn = (list: readonly string[], among: readonly string[], kind: string): readonly string[] =>
    list.filter((one) => !among.includes(one)).map((one) => unknown(kind, one, among));
  const rows = Object.entries(read.data.tips);
  const problemOf = (id: string, at: readonly string[], what: string): string =>
    file.problem(['tips', id, ...at], what);
  return {
    tips: rows.map(([id, row]) => tipOf(id, row, read.data['concern-groups'] ?? {})),
    problems: rows.flatMap(([id, row]) => [
      ...(row.days[0] < row.days[1]
        ? []
        : [problemOf(id, ['days'], `the window is empty: ${row.days[0]} is not before ${row.days[1]}`)]),
      ...listsOf(row).flatMap(({ at, list }) =>
        wrongIn(list, known, 'concern').map((what) => problemOf(id, at, what)),
      ),
      ...wrongIn(row.when?.languages ?? [], languages, 'language').map((what) =>
        problemOf(id, ['when', 'languages'], what),
      ),
    ]),
  };
}

function listsOf(
  row: TipRow,
): readonly { readonly at: readonly string[]; readonly list: readonly string[] }[] {
  return [
    { at: ['when', 'concerns'], list: row.when?.concerns ?? [] },
    { at: ['when', 'unless'], list: row.when?.unless ?? [] },
    { at: ['first-after'], list: row['first-after'] ?? [] },
  ];
}

function tipOf(id: string, row: TipRow, groups: NonNullable<TipsData['concern-groups']>): Tip {
  const spelled = (names: readonly string[]): readonly TipConcern[] =>
    names.flatMap((one) => groups[one] ?? tipConcerns.filter((c) => c === one));
  const { concerns, unless, 'first-baby': firstBaby, ...rest } = row.when ?? {};
  const when: TipConditions = {
    ...rest,
    firstBaby,
    concerns: concerns === undefined ? undefined : spelled(concerns),
    unless: unless === undefined ? undefined : spelled(unless),
  };
  return {
    id,
    topic: row.topic,
    fromDays: row.days[0],
    untilDays: row.days[1],
    priority: row.priority,
    when,
    firstAfter: spelled(row['first-after'] ?? []),
    allergens: row.allergens ?? [],
    source: row.source,
  };
}
