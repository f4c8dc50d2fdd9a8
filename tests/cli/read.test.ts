import { PassThrough, Readable } from 'node:stream';
import { text as all } from 'node:stream/consumers';
import { describe, expect, it } from 'vitest';
import { command } from '../../src/cli/read.ts';

/** Runs the command over lines, given as objects or as they are. */
async function run(args: readonly string[], lines: readonly unknown[]) {
  const input = Readable.from(
    lines.map((line) => `${typeof line === 'string' ? line : JSON.stringify(line)}\n`),
  );
  const [output, errors] = [new PassThrough(), new PassThrough()];
  const [out, err] = [all(output), all(errors)];
  const code = await command.run(args, { input, output, errors, env: {} });
  output.end();
  errors.end();
  return {
    code,
    errors: await err,
    results: (await out)
      .split('\n')
      .filter((line) => line !== '')
      .map((line) => JSON.parse(line) as unknown),
  };
}

const value = async (args: readonly string[], text: string) =>
  (await run(args, [{ id: 1, text }])).results[0];

describe('eightfeeds read --as', () => {
  it.each([
    [['count'], '8 baar', { value: 8, sure: true }],
    [['count'], '8-10', { value: { min: 8, max: 10 }, sure: true }],
    [['count'], '100', { value: 100, sure: true, inRange: false }],
    [['count'], 'hello', { value: null, sure: false }],
    [['yes-no'], 'haan ji', { value: true, sure: true }],
    [['yes-no'], '2', { value: false, sure: true }],
    [['yes-no'], 'pata nahi', { value: null, sure: false }],
    [['choice', '--options', '3'], 'teesra', { value: 3, sure: true }],
    [['multi-choice', '--options', '5'], '1 aur 3', { value: [1, 3], sure: true }],
    [['multi-choice', '--options', '5'], 'koi nahi', { value: [], sure: true }],
    [['weight'], 'sava teen kilo', { value: { grams: 3250 }, sure: true }],
    [['weight'], '3 kilo 50', { value: { grams: 3050 }, sure: false }],
    [['date', '--today', '2026-03-10'], '5 march', { value: '2026-03-05', sure: true }],
    [['date', '--today', '2026-03-10', '--date-of', 'birth'], 'kal', { value: '2026-03-09', sure: true }],
    [['date', '--today', '2026-03-10', '--date-of', 'birth'], '11/3/2026', { value: null, sure: false }],
    [['age'], '2 hafte 3 din', { value: { weeks: 2, days: 3 }, sure: true }],
    [['temperature'], '101', { value: 38.3, sure: true }],
    [['time'], 'shaam 5 baje', { value: '17:00', sure: true }],
    [['hours'], 'dhai ghante', { value: 2.5, sure: true }],
  ])('%j "%s"', async (as, text, expected) => {
    expect(await value(['--as', ...as], text)).toEqual({ id: 1, ...expected });
  });

  it('names bad lines by number, reads the others in order, and ends with 1', async () => {
    const { code, results, errors } = await run(
      ['--as', 'count'],
      [
        { id: 'a', text: '8' },
        '{not json',
        '',
        { id: 'b' },
        { id: 'c', text: 'secret 9', age_days: 'x' },
        '7',
        { id: 'd', text: 'nau', lang: 'hi-Latn' },
      ],
    );
    expect(code).toBe(1);
    expect(results).toEqual([
      { id: 'a', value: 8, sure: true },
      { id: 'd', value: 9, sure: true },
    ]);
    expect(errors.match(/line \d+/gu)).toEqual(['line 2', 'line 4', 'line 5', 'line 6']);
    expect(errors).not.toContain('secret');
  });

  it('ends with 0 on good lines and on none', async () => {
    expect(await run(['--as', 'count'], [{ id: 1, text: '?' }])).toMatchObject({ code: 0, errors: '' });
    expect(await run(['--as', 'count'], [])).toMatchObject({ code: 0, results: [] });
  });

  it.each([
    [['--as', 'colour']],
    [['--as', 'choice']],
    [['--as', 'choice', '--options', '0']],
    [['--as', 'date', '--today', '2026-02-30']],
    [['--as', 'date', '--date-of', 'death']],
    [['--what']],
    [['extra']],
  ])('%j is wrong use: 2, and how to use it', async (args) => {
    const { code, errors, results } = await run(args, [{ id: 1, text: '1' }]);
    expect(code).toBe(2);
    expect(errors).toContain('--as count|');
    expect(results).toEqual([]);
  });
});

describe('eightfeeds read', () => {
  it('writes the signs of danger with their tiers', async () => {
    const { code, results } = await run(
      [],
      [
        { id: 'x', text: 'my baby had fits', age_days: 5 },
        { id: 'y', text: '9 6 4 0' },
      ],
    );
    expect(code).toBe(0);
    expect(results[0]).toMatchObject({
      id: 'x',
      tier: 'A',
      signs: [{ code: 'convulsion', who: 'baby', tier: 'A', sure: true }],
    });
    expect(results[1]).toEqual({ id: 'y', signs: [], tier: 'none' });
  });
});
