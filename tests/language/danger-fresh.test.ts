import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readDanger } from '../../src/language/danger/index.ts';
import { phrases } from './danger-phrases.ts';

interface Row {
  readonly id: string;
  readonly text: string;
  readonly tier: string;
  readonly ask?: boolean;
  readonly batch: number;
  readonly signs: readonly { readonly code: string; readonly who: string }[];
}

const rows = readFileSync(new URL('./fixtures/danger.fresh.jsonl', import.meta.url), 'utf8')
  .split('\n')
  .filter((line) => line !== '')
  .map((line) => JSON.parse(line) as Row);
const batches = [...new Set(rows.map((row) => row.batch))];

/** Labels: the clinical rules named in fixtures/README.md; written before the batch was read. */
describe.each(batches)('batch %i of invented texts', (batch) => {
  const mine = rows.filter((row) => row.batch === batch);

  it('finds or asks about every danger', () => {
    const missed = mine.filter(
      (row) => row.signs.length > 0 && readDanger(row.text, phrases).signs.length === 0,
    );
    expect(missed.map((row) => row.text)).toEqual([]);
  });

  it('is silent on harmless texts, an unsure reading counting as half a false alarm', () => {
    const harmless = mine.filter((row) => row.signs.length === 0);
    const alarms = harmless.map((row) => {
      const { signs } = readDanger(row.text, phrases);
      return signs.length === 0 ? 0 : signs.some((sign) => sign.sure) ? 1 : 0.5;
    });
    const share = 1 - alarms.reduce<number>((sum, alarm) => sum + alarm, 0) / harmless.length;
    expect(share).toBeGreaterThanOrEqual(0.94);
  });
});
