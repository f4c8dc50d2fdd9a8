import { describe, expect, it } from 'vitest';
import { command } from '../../src/cli/check.ts';
import { coveragePicture } from '../../src/programme/check/tips.ts';
import { runCommand } from './run-command.ts';

describe('eightfeeds check', () => {
  it('draws how many tips are left to tell, a bar a week and then a bar a fortnight, for each way of eating', async () => {
    const { code, out } = await runCommand(command, []);
    expect(code).toBe(0);
    for (const eats of ['veg', 'egg', 'all']) {
      const [, year = '', second = ''] = new RegExp(`^ {2}${eats} {2}(\\S+) (\\S+)$`, 'mu').exec(out) ?? [];
      expect([eats, year.length, second.length]).toEqual([eats, 52, 27]);
      expect(year + second).toMatch(/^[▁▂▃▄▅▆▇█]+$/u);
    }
    expect(out).toMatch(/^\d+ flows, \d+ tips, \d+ languages: whole$/mu);
  });

  it('draws an exclamation mark where nothing is left, and no bar higher than eight', () => {
    const spans = [0, 1, 7, 8, 30].map((fewest, i) => ({ fromDays: i * 7, untilDays: i * 7 + 7, fewest }));
    const later = { fromDays: 364, untilDays: 378, fewest: 2 };
    expect(coveragePicture([{ eats: 'veg', spans: [...spans, later] }]).at(-1)).toBe('  veg  !▁▇██ ▂');
  });

  it('prints a JSON Schema of flows and of the calendar of tips', async () => {
    const schemaOf = async (...of: readonly string[]) =>
      JSON.parse((await runCommand(command, ['--schema', ...of])).out) as Record<
        string,
        Record<string, unknown>
      >;
    expect((await schemaOf())['properties']).toHaveProperty('steps');
    const tips = await schemaOf('tips');
    expect(tips['properties']).toHaveProperty('tips');
    expect(JSON.stringify(tips)).toContain('reason.pain-severe');
  });
});
