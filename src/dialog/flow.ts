import { z } from 'zod';
import { menuKinds } from './menu-kinds.ts';

/** The shape of a flow file (`flows/*.yaml`). Published as JSON Schema by `eightfeeds check --schema`. */

const fieldName = z.string().regex(/^[a-z][a-zA-Z]*$/);
const stepName = z.string().regex(/^[a-z][a-z-]*$/);

const fieldSchema = z
  .strictObject({
    field: fieldName,
    kind: z.enum([
      'count',
      'hours',
      'yes-no',
      'choice',
      'weight',
      'date',
      'time-of-day',
      'words',
      'language',
      'mother',
      'choices',
      'menu',
      'kitchen',
      'go-on',
    ]),
    min: z.number().optional().describe('count, hours: smallest answer; weight: grams'),
    max: z.number().optional().describe('count, hours: largest answer; weight: grams; words: letters'),
    options: z
      .number()
      .int()
      .min(2)
      .max(9)
      .optional()
      .describe('choice, choices: how many; a menu fits a keypad'),
    of: z.enum(menuKinds).optional().describe('menu: whose names it holds'),
    several: z.boolean().optional().describe('menu: more than one may be chosen'),
    past: z.boolean().optional().describe('date: lies in the past'),
    optional: z
      .boolean()
      .optional()
      .describe('may be skipped with 0; not asked again when a text leaves it out'),
    needs: fieldName.optional().describe('asked only when that field of the same step was not skipped'),
    unsure: z.boolean().optional().describe('yes-no: "I cannot tell" is an answer of its own'),
  })
  .describe('One answer of a step');

const routeSchema = z.union([
  stepName,
  z.array(z.strictObject({ when: z.string().optional(), to: stepName })).min(1),
]);

const stepSchema = z
  .strictObject({
    id: stepName,
    each: z.literal('baby').optional().describe('asked once for each baby'),
    ask: z.array(fieldSchema).min(1).max(6).optional(),
    unclear: z.enum(['ask-again', 'leave-open']).optional().describe('leave-open: no second try'),
    do: z.array(z.string()).min(1).optional().describe('named acts, in order'),
    say: z.array(z.string()).min(1).optional().describe('names of texts, in order'),
    next: routeSchema.optional().describe('absent: the flow ends here'),
  })
  .describe('Asks, acts, or says; then goes on');

export const flowSchema = z.strictObject({
  flow: stepName,
  aside: z.boolean().optional().describe('returns to where she was when it ends'),
  idleHours: z
    .number()
    .positive()
    .max(72)
    .describe('closed after so long without an answer; what was answered is kept'),
  waits: z.boolean().optional().describe('idle: asked once more and kept open, instead of closed'),
  onIdle: z.array(z.string()).optional().describe('acts when it is closed for being idle'),
  steps: z.array(stepSchema).min(1),
});

export type Flow = z.infer<typeof flowSchema>;
export type Step = Flow['steps'][number];
export type Field = z.infer<typeof fieldSchema>;

/** The field's key among the answers of a run: per-baby fields carry `#` and the baby's index. */
export function answerKey(step: Step, field: string, baby: number): string {
  return step.each === 'baby' ? `${field}#${baby}` : field;
}
