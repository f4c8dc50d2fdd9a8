import { z } from 'zod';

/** A step as logged: a webhook, a turn or a send. Fields that are of no use for following are kept to be shown. */
const step = z.looseObject({
  time: z.number(),
  msg: z.enum(['webhook', 'turn', 'send']),
  trace: z.string().optional(),
  root: z.string().optional(),
  message: z.string().optional(),
  carrierId: z.string().optional(),
  outbox: z.array(z.string()).optional(),
});

export type Step = Readonly<z.infer<typeof step>>;

/** A line of the log as a step; undefined for all else, such as what a container writes around it. */
export function readLogLine(text: string): Step | undefined {
  if (!text.includes('"msg":')) return undefined;
  try {
    return step.safeParse(JSON.parse(text)).data;
  } catch {
    return undefined; // Half a line, or another program's: a log is read as far as it can be.
  }
}

/**
 * All steps that hang together with one of the names: from what came in to the messages that it caused and their receipts, and
 * back. In order of time, and at the same millisecond as they stand in the log.
 */
export function followed(steps: readonly Step[], names: readonly string[]): readonly Step[] {
  const byName = new Map<string, Step[]>();
  for (const each of steps)
    for (const name of namesOf(each)) {
      const known = byName.get(name);
      if (known === undefined) byName.set(name, [each]);
      else known.push(each);
    }
  const found = new Set<Step>();
  const seen = new Set<string>();
  const waiting = [...names];
  for (let name = waiting.pop(); name !== undefined; name = waiting.pop()) {
    if (seen.has(name)) continue;
    seen.add(name);
    for (const each of byName.get(name) ?? []) {
      found.add(each);
      waiting.push(...namesOf(each));
    }
  }
  return steps.filter((each) => found.has(each)).sort((a, b) => a.time - b.time);
}

/** One step for a reader: time, what, and its fields as they stand in the log. */
export function stepWords(each: Step): string {
  const { time, msg, ...rest } = each;
  const hidden: ReadonlySet<string> = new Set(['level', 'pid', 'hostname']);
  const fields = Object.entries(rest).flatMap(([name, value]) =>
    hidden.has(name) ? [] : [`${name}=${typeof value === 'string' ? value : JSON.stringify(value)}`],
  );
  return [new Date(time).toISOString(), msg.padEnd(7), ...fields].join(' ');
}

/** A line's id is none of them: it would tie together all that ever happened to a mother. */
function namesOf({ trace, root, message, carrierId, outbox = [] }: Step): readonly string[] {
  return [trace, root, message, carrierId, ...outbox].filter((name) => name !== undefined);
}
