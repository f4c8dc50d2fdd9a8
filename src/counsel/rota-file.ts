import { z } from 'zod';
import type { Counsellor } from '../dialog/world.ts';
import { ConfigError } from '../errors.ts';
import { type RotaPlan, weekdays } from './rota-plan.ts';

const minute = z
  .string()
  .regex(/^(([01]\d|2[0-3]):[0-5]\d|24:00)$/, 'must be a time of day as "HH:MM", in quotes')
  .transform((t) => (Number(t.slice(0, 2)) * 60 + Number(t.slice(3))) % 1440);
const day = z
  .string()
  .regex(/^\d{4}-\d{2}-\d{2}$/, 'must be a day as YYYY-MM-DD')
  .refine(isDay, 'is no day of the calendar');
const id = z.string().regex(/^[a-z][a-z0-9-]*$/, 'must be small letters, digits and dashes');
const area = z.string().trim().min(1).max(40);
const rising = z
  .array(z.number().int().min(1).max(2880))
  .min(3)
  .max(12)
  .refine((list) => list.every((m, i) => i === 0 || m > (list[i - 1] ?? 0)), 'must rise');

/** The rota file: who the counsellors are, and who is on duty when, on the programme's clock. */
const rotaFileSchema = z.strictObject({
  counsellors: z
    .array(
      z.strictObject({
        id,
        name: z.string().trim().min(1).max(20),
        phone: z.string().regex(/^\+[1-9]\d{6,14}$/, 'must be +country and digits, in quotes'),
        /** The first is the one she is written to in. */
        languages: z.array(z.string().min(2)).min(1),
        /** Areas whose mothers she sees; without it all. One name, or a list. */
        area: z.union([area, z.array(area).min(1)]).optional(),
        role: z.enum(['counsellor', 'lead', 'clinical']).default('counsellor'),
      }),
    )
    .min(1),
  week: z.array(
    z.strictObject({ who: id, days: z.array(z.enum(weekdays)).min(1), from: minute, to: minute }),
  ),
  swaps: z.array(z.strictObject({ day, from: id, to: id })).default([]),
  holidays: z.array(z.strictObject({ who: id, from: day, to: day })).default([]),
  climb: z.strictObject({ A: rising.optional(), B: rising.optional() }).default({}),
});

/** Counsellors in the order in which they are told, and their plan. */
export interface RotaFile {
  readonly counsellors: readonly Counsellor[];
  readonly plan: RotaPlan;
}

/**
 * Reads what stands in a rota file.
 * @param languages what the line speaks: a counsellor must be written to in one of them
 * @throws ConfigError with every problem, a sentence each, that begins with the file's name
 */
export function readRota(data: unknown, file: string, languages: readonly string[]): RotaFile {
  const read = rotaFileSchema.safeParse(data);
  if (!read.success) {
    throw new ConfigError(
      read.error.issues.map((i) => `${file}: ${i.path.map(String).join('.') || 'the file'} ${i.message}.`),
    );
  }
  const { counsellors, week, swaps, holidays, climb } = read.data;
  const problems: string[] = [];
  const ids = counsellors.map((c) => c.id);
  const names = counsellors.map((c) => c.name.toLowerCase());
  const phones = counsellors.map((c) => c.phone);
  for (const [what, all] of [
    ['id', ids],
    ['name', names],
    ['phone', phones],
  ] as const) {
    for (const twice of new Set(all.filter((one, i) => all.indexOf(one) !== i)))
      problems.push(`two counsellors have the same ${what}${what === 'phone' ? '' : ` "${twice}"`}.`);
  }
  for (const c of counsellors) {
    const first = c.languages[0] ?? '';
    if (!languages.includes(first))
      problems.push(`${c.id}: the line does not speak "${first}"; it speaks ${languages.join(', ')}.`);
  }
  if (!counsellors.some((c) => c.role === 'lead'))
    problems.push('nobody has the role "lead": an alert that nobody takes must come to somebody.');
  const known = (who: string, where: string) => {
    if (!ids.includes(who)) problems.push(`${where}: there is no counsellor "${who}".`);
  };
  week.forEach((s, i) => known(s.who, `week.${i}`));
  swaps.forEach((s, i) => [s.from, s.to].forEach((who) => known(who, `swaps.${i}`)));
  holidays.forEach((h, i) => {
    known(h.who, `holidays.${i}`);
    if (h.to < h.from) problems.push(`holidays.${i}: it ends before it begins.`);
  });
  if (problems.length > 0) throw new ConfigError(problems.map((p) => `${file}: ${p}`));
  return {
    counsellors: counsellors.map(
      (c): Counsellor => ({
        id: c.id,
        name: c.name,
        phone: c.phone,
        language: c.languages[0] ?? '',
        languages: c.languages,
        ...(c.area === undefined ? {} : { area: c.area }),
        lead: c.role !== 'counsellor',
        clinical: c.role === 'clinical',
      }),
    ),
    plan: {
      week: week.map((s) => ({ who: s.who, days: s.days, fromMinuteOfDay: s.from, toMinuteOfDay: s.to })),
      swaps,
      holidays: holidays.map((h) => ({ who: h.who, firstDay: h.from, lastDay: h.to })),
      climbMinutes: {
        ...(climb.A === undefined ? {} : { A: climb.A }),
        ...(climb.B === undefined ? {} : { B: climb.B }),
      },
    },
  };
}

function isDay(text: string): boolean {
  const at = Date.parse(`${text}T00:00:00Z`);
  return !Number.isNaN(at) && new Date(at).toISOString().slice(0, 10) === text;
}
