import { readFileSync } from 'node:fs';
import { parseDocument } from 'yaml';
import { z } from 'zod';
import { ConfigError } from '../../errors.ts';
import type { Usage } from './usage.ts';

const amount = z.number().min(0).max(1_000_000);

const pricesSchema = z.strictObject({
  currency: z.string().min(1).max(8),
  textOutSegment: amount.describe('one segment to a mother'),
  textInSegment: amount.default(0).describe('one segment from a mother, where the programme pays for it'),
  callMinute: amount.describe('one begun minute of a call to a mother'),
  counsellorSegment: amount.optional().describe('one segment to a counsellor; as to a mother unless set'),
  counsellorCall: amount.default(0).describe('one call to a counsellor'),
});

/** What the programme pays, in its own currency. */
export type Prices = z.infer<typeof pricesSchema>;

/**
 * Reads a price file (YAML).
 * @throws ConfigError with every problem, a sentence each
 */
export function loadPrices(path: string): Prices {
  let text: string;
  try {
    text = readFileSync(path, 'utf8');
  } catch (cause) {
    const code = (cause as NodeJS.ErrnoException).code ?? 'unknown fault';
    throw new ConfigError([`${path}: the price file cannot be read (${code}).`]);
  }
  const document = parseDocument(text);
  const wrong = document.errors[0];
  if (wrong !== undefined) throw new ConfigError([`${path}: ${wrong.message}`]);
  const read = pricesSchema.safeParse(document.toJS());
  if (!read.success)
    throw new ConfigError(read.error.issues.map((i) => `${path}: ${i.path.join('.')}: ${i.message}`));
  return read.data;
}

/** What the use costs. */
export function costOf(used: Usage, prices: Prices): number {
  return (
    used.segmentsOut * prices.textOutSegment +
    used.segmentsIn * prices.textInSegment +
    used.callMinutes * prices.callMinute +
    used.counsellorSegments * (prices.counsellorSegment ?? prices.textOutSegment) +
    used.counsellorCalls * prices.counsellorCall
  );
}
