import { describe, expect, it } from 'vitest';
import { command } from '../../src/cli/tips.ts';
import { runCommand } from './run-command.ts';

describe('eightfeeds tips', () => {
  it('tells the calendar of one mother in her language, with the reason and the source of each', async () => {
    const { code, out } = await runCommand(command, [
      ...['--born', '2026-11-01', '--eats', 'veg', '--language', 'hi', '--until', '60'],
    ]);
    expect(code).toBe(0);
    expect(out).toMatch(/^2026-11-02 {2}1 days? {2}skin-to-skin\n {2}[\u0900-\u097f]/u);
    expect(out).toMatch(
      /six-week-vaccines\n.*\n {2}- The baby is 37 days old; it fits from day 37 to day 57\./u,
    );
    expect(out).toMatch(/- Before "[a-z-]+": it is of the first priority, which nobody must miss\./u);
    expect(out).toMatch(/- Source: .*national immunization schedule/u);
    expect(out).toMatch(/\n17 tips\n$/u);
  });

  it('brings forward what answers a concern told on a day, and stops when it is no longer recent', async () => {
    const tipsFor = async (...more: readonly string[]) =>
      (await runCommand(command, ['--born', '2026-11-01', '--joined', '60', '--until', '88', ...more])).out;
    expect(await tipsFor()).not.toContain('sore-nipples');
    const told = await tipsFor('--concern', 'reason.pain-severe@60');
    expect(told).toMatch(/^2026-12-31 {2}60 days {2}(sore-nipples|white-patches)/u);
    expect(told).toContain('After a recent concern: reason.pain-severe.');
    expect(await tipsFor('--concern', 'reason.pain-severe@70')).toMatch(
      /^2026-12-31 {2}60 days {2}(?!sore|white)/u,
    );
  });

  it.each([
    [['--eats', 'fish'], /--eats is veg, egg or all/],
    [['--language', 'xx'], /--language is one of en, hi/],
    [['--born', '2026-02-30'], /--born is a day/],
    [['--joined', '730'], /--joined is an age in days, 0 to 729/],
    [['--until', 'soon'], /--until is an age/],
    [['--babies', '9'], /--babies is 1, 2 or 3/],
    [['--weeks', '12'], /--weeks are the weeks of pregnancy/],
    [['--first-baby', 'maybe'], /--first-baby is yes or no/],
    [['--keeps-away', 'rice'], /--keeps-away takes/],
    [['--concern', 'reason.painful'], /there is no concern "reason.painful"/],
    [['--concern', 'reason.pain-severe@x'], /after @ stands an age/],
    [['--colour'], /--colour/],
  ])('says what is wrong with %j and ends with 2', async (args, expected) => {
    const { code, err, out } = await runCommand(command, args);
    expect([code, out]).toEqual([2, '']);
    expect(err).toMatch(expected);
  });
});
