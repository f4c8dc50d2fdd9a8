import { describe, expect, it } from 'vitest';
import { type Expected, expectedOf, type MonthRules } from './expected.ts';
import { dayOf, face, minuteOf } from './her-clock.ts';
import { type InventedLine, inventedLines } from './mothers.ts';
import { type MonthLine, monthLine, type SentText } from './month-line.ts';
import { answer, enrol, plan, takeAlert } from './talk.ts';

/** So many unless told otherwise; more take longer. */
const mothers = Number(process.env['MONTH_MOTHERS'] ?? 2_000);

/** From 12 October to 11 November 2026: London's clocks go back on 25 October, New York's on 1 November. */
const rules: MonthRules = {
  startAt: Date.UTC(2026, 9, 12, 5),
  endAt: Date.UTC(2026, 10, 12, 5),
  fromMinuteOfDay: 8 * 60,
  untilMinuteOfDay: 20 * 60,
  mostADay: 3,
  festivalDays: ['2026-10-20', '2026-11-07', '2026-11-08'],
};

interface Told {
  readonly line: InventedLine;
  readonly kind: 'check-in' | 'tip' | 'other' | 'safety';
  readonly mother: number;
  readonly at: number;
  readonly body: string;
}

/** Phones on which two who answer are asked of food as well: what must not be is looked at, not the hour of each text. */
const isExact = ({ manner, mothers: on }: InventedLine) =>
  manner !== 'danger' && (on.length === 1 || manner === 'silent');

/**
 * On SQLite alone, as the one journey that is: minute by minute it asks 44,640 times what waits, and what it is about, the hour of
 * each text, lies in the turn and not in the store. That both stores keep the same is shown by all other journeys.
 */
describe('a month of the line', () => {
  it(`brings ${mothers} mothers in three time zones every check-in and tip once, in its hour, and nothing at night or too often`, {
    timeout: 900_000,
  }, async () => {
    const lines = inventedLines(mothers);
    const byPhone = new Map(lines.map((of) => [of.phone, of]));
    const told: Told[] = [];
    const line: MonthLine = await monthLine(rules, (sent) => {
      const of = byPhone.get(sent.to);
      if (of === undefined) {
        takeAlert(line, sent);
        return;
      }
      const one = { ...read(sent, of), line: of, at: sent.at, body: sent.body };
      told.push(one);
      if (one.kind === 'check-in') answer(line, of, rules, sent);
    });
    const read = reader(line);
    try {
      for (const of of lines) {
        line.at(rules.startAt + of.joinsAfterMinutes * 60_000, async () => {
          await enrol(line, of, rules);
          plan(line, of, rules);
        });
      }
      await line.run(rules.endAt - 60_000);
      expect(line.troubles).toEqual([]);
      expect(forbidden(told)).toEqual([]);
      expect(repeated(told)).toEqual([]);
      const wanted = lines.filter(isExact).flatMap((of) => expectedOf(of, rules));
      const got = told.filter((t) => isExact(t.line) && (t.kind === 'check-in' || t.kind === 'tip'));
      expect(difference(wanted, got, byPhone)).toEqual([]);
      expect(wanted.length).toBeGreaterThan(mothers * 6);
      for (const of of lines.filter((l) => l.manner === 'danger')) {
        const hers = told.filter((t) => t.line === of).map((t) => t.body);
        const asked = line.content.wording.say('ask.follow-up.reached.ask', {}, of.language, 'text');
        expect(
          hers.some((body) => body.includes(asked)),
          of.phone,
        ).toBe(true);
      }
    } finally {
      await line.close();
    }
  });
});

/** Names each text by its words alone, as the mother reads them. */
function reader({ content }: { readonly content: MonthLine['content'] }) {
  const { wording } = content;
  const tips = new Map<string, Set<string>>();
  for (const language of content.languages)
    tips.set(
      language,
      new Set(content.tips.map((t) => wording.say(`tips.${t.id}`, { emergency: '112' }, language, 'text'))),
    );
  return ({ body, isCall }: SentText, of: InventedLine): Pick<Told, 'kind' | 'mother'> => {
    // A call is made of our own accord only when a safety text may not have reached her.
    if (isCall) return { kind: 'safety', mother: -1 };
    const say = (key: string, values = {}) => wording.say(key, values, of.language, 'text');
    const last = body.split('\n').slice(of.mothers.length > 1 ? 1 : 0);
    const tipOf = of.mothers.findIndex(
      ({ name }) => of.mothers.length === 1 || body.startsWith(say('tip-for', { name })),
    );
    if (tips.get(of.language)?.has(last.join('\n')) === true) return { kind: 'tip', mother: tipOf };
    const asked = of.mothers.findIndex(({ name }) => body.includes(say('check-in.hello-name', { name })));
    if (asked >= 0) return { kind: 'check-in', mother: asked };
    const isSafety = body.includes(say('ask.follow-up.reached.ask')) || body.includes('112');
    return { kind: isSafety ? 'safety' : 'other', mother: -1 };
  };
}

/** Routine texts at night, on a festival, too many in a day, or within an hour of one another. */
function forbidden(told: readonly Told[]): readonly string[] {
  const found: string[] = [];
  const byLine = groupByLine(told);
  for (const [of, all] of byLine) {
    const routine = all.filter((t) => t.kind !== 'safety').sort((a, b) => a.at - b.at);
    const perDay = new Map<string, number>();
    for (const [i, { at, kind }] of routine.entries()) {
      const day = dayOf(of.zone, at);
      const minute = minuteOf(of.zone, at);
      const words = `${of.phone} (${of.manner}, ${of.zone}) ${face(of.zone, at)} ${kind}`;
      perDay.set(day, (perDay.get(day) ?? 0) + 1);
      if (minute < rules.fromMinuteOfDay || minute >= rules.untilMinuteOfDay)
        found.push(`${words}: at night`);
      if (rules.festivalDays.includes(day)) found.push(`${words}: on a festival`);
      if ((perDay.get(day) ?? 0) > rules.mostADay) found.push(`${words}: too many that day`);
      if (i > 0 && at - (routine[i - 1]?.at ?? 0) < 3_600_000)
        found.push(`${words}: within an hour of another`);
    }
  }
  return found.slice(0, 20);
}

function groupByLine(told: readonly Told[]): ReadonlyMap<InventedLine, readonly Told[]> {
  const byLine = new Map<InventedLine, Told[]>();
  for (const one of told) {
    const before = byLine.get(one.line);
    if (before === undefined) byLine.set(one.line, [one]);
    else before.push(one);
  }
  return byLine;
}

/** A check-in asked twice on a day, or a tip told twice. */
function repeated(told: readonly Told[]): readonly string[] {
  const seen = new Set<string>();
  const found: string[] = [];
  for (const { line, mother, kind, at, body } of told) {
    if (kind !== 'check-in' && kind !== 'tip') continue;
    const key = [line.phone, mother, kind === 'tip' ? body : dayOf(line.zone, at), kind].join('|');
    if (seen.has(key)) found.push(`${line.phone} mother ${mother} ${face(line.zone, at)} ${kind} again`);
    seen.add(key);
  }
  return found.slice(0, 20);
}

/** What was expected and did not come, and what came and was not expected: whose, and when on her clock. */
function difference(
  wanted: readonly Expected[],
  got: readonly Told[],
  byPhone: ReadonlyMap<string, InventedLine>,
): readonly string[] {
  const keyOf = ({ phone, mother, kind, at }: Omit<Expected, 'kind'> & Pick<Told, 'kind'>) => {
    const of = byPhone.get(phone);
    const hers = of?.mothers[mother];
    return `${phone} ${hers?.name ?? '?'} (${of?.manner ?? '?'}, ${hers?.ageDays ?? '?'} days, hour ${hers?.hour ?? '?'}, ${of?.zone ?? '?'}) ${kind} ${face(of?.zone ?? 'UTC', at)}`;
  };
  const a = new Set(wanted.map(keyOf));
  const b = new Set(got.map((t) => keyOf({ ...t, phone: t.line.phone })));
  const missing = [...a].filter((key) => !b.has(key)).map((key) => `missing: ${key}`);
  const extra = [...b].filter((key) => !a.has(key)).map((key) => `not expected: ${key}`);
  const count = missing.length + extra.length;
  return count === 0
    ? []
    : [
        `${count} differences`,
        ...[...missing, ...extra]
          .sort((x, y) => (x.slice(x.indexOf('+')) < y.slice(y.indexOf('+')) ? -1 : 1))
          .slice(0, 40),
      ];
}
