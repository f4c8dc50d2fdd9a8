import { z } from 'zod';
import { babySignCodes, motherSignCodes } from '../../care/signs.ts';
import { ContentError } from '../../errors.ts';

const phrase = z.union([
  z.string().min(1),
  z.strictObject({
    say: z.string().min(1),
    gap: z.int().min(0).max(12).optional(),
    unless: z.string().min(1).optional(),
    unsure: z.boolean().optional(),
    alone: z.boolean().optional(),
    mild: z.boolean().optional(),
    severe: z.boolean().optional(),
    palmsOrSoles: z.boolean().optional(),
  }),
]);

const sign = z
  .strictObject({
    baby: z.enum(babySignCodes).optional(),
    mother: z.enum(motherSignCodes).optional(),
    unknown: z.enum(['baby', 'mother', 'both']).optional(),
    lasting: z.boolean().optional(),
    whoever: z.boolean().optional(),
    phrases: z.array(phrase).min(1),
  })
  .refine((entry) => entry.baby !== undefined || entry.mother !== undefined, {
    message: 'give the sign code under "baby", "mother" or both',
  });

const dangerFile = z.strictObject({
  language: z.string().min(2).optional(),
  reviewed: z.string().optional(),
  words: z
    .record(z.string().regex(/^[a-z][a-z-]*$/u), z.array(z.union([z.string().min(1), z.number()])))
    .default({}),
  shorts: z.record(z.string().min(1), z.string().min(2)).default({}),
  plain: z.array(z.string()).default([]),
  harmless: z.array(z.string().min(1)).default([]),
  signs: z.array(sign).default([]),
});

/** One language's danger phrases as a file holds them: named word lists, plain words, harmless sayings, and signs. */
export type DangerFile = z.infer<typeof dangerFile>;
export type SignEntry = DangerFile['signs'][number];
export type PhraseEntry = SignEntry['phrases'][number];

/** Checks the shape of one file. @throws ContentError naming the file and the place of each mistake. */
export const readDangerFile = (data: unknown, file: string): DangerFile => {
  const read = dangerFile.safeParse(data);
  if (read.success) return read.data;
  throw new ContentError(
    read.error.issues.map(
      (issue) => `${file}, ${issue.path.map(String).join('.') || 'top'}: ${issue.message}`,
    ),
  );
};
