import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { readRota } from '../../src/counsel/rota-file.ts';
import { readConfig } from '../../src/config.ts';
import { ConfigError } from '../../src/errors.ts';
import { openCalendar } from '../../src/language/calendar.ts';
import { withRota } from '../../src/programme/load-rota.ts';
import { checkRota } from '../../src/programme/check/rota-cover.ts';

const languages = ['en', 'hi', 'hi-Latn', 'mr'];
const text = readFileSync('rota.example.yaml', 'utf8');
const example = () => parse(text) as Record<string, unknown>;
const calendar = openCalendar('Asia/Kolkata');
/** Monday 2 March 2026, 10:00 in India. */
const now = Date.UTC(2026, 2, 2, 4, 30);
const problemsOf = (data: unknown): readonly string[] => {
  try {
    readRota(data, 'rota.yaml', languages);
    return [];
  } catch (error) {
    if (error instanceof ConfigError) return error.problems;
    throw error;
  }
};
const findings = (data: unknown) =>
  checkRota('rota.yaml', readRota(data, 'rota.yaml', languages), calendar, now, languages);

describe('the rota file', () => {
  it('of the example is whole, and somebody is on duty in every hour', () => {
    const { counsellors, plan } = readRota(example(), 'rota.example.yaml', languages);
    expect(counsellors.map((c) => [c.id, c.language, c.lead, c.clinical])).toEqual([
      ['anita', 'en', false, false],
      ['sunita', 'hi', false, false],
      ['mary', 'en', true, false],
      ['leela', 'en', true, true],
    ]);
    expect(plan.week[1]).toMatchObject({ fromMinuteOfDay: 19 * 60, toMinuteOfDay: 7 * 60 });
    expect(findings(example()).filter((f) => f.weight === 'problem')).toEqual([]);
  });

  it('shows only numbers that are kept for fiction', () => {
    const { counsellors } = readRota(example(), 'rota.example.yaml', languages);
    for (const { phone } of counsellors) expect(phone).toMatch(/^\+447700900\d{3}$/);
  });

  const phone = '"+447700900011"';
  it.each([
    ['no lead', [', role: lead', ''], /role "lead"/],
    ['a number twice', ['"+447700900013"', phone], /same phone/],
    ['a number without a country', [phone, '"07700900011"'], /counsellors\.0\.phone/],
    ['an unknown person', ['- { who: anita', '- { who: nobody'], /no counsellor "nobody"/],
    ['an unknown day', ['[mon, tue,', '[sonntag, tue,'], /week\.0\.days/],
    ['a time that is none', ['from: "07:00"', 'from: "25:00"'], /week\.0\.from/],
    ['a day that is none', ['2026-12-05', '2026-02-30'], /swaps\.0\.day/],
    [
      'a holiday that ends first',
      ['holidays: []', 'holidays: [{ who: anita, from: 2026-03-09, to: 2026-03-08 }]'],
      /ends before/,
    ],
    ['a language that the line does not speak', ['[en, hi]', '[ta]'], /does not speak "ta"/],
    ['climbing that does not rise', ['[5, 10, 20, 40, 60]', '[5, 5, 20]'], /climb\.A/],
    ['a word that is not known', ['holidays: []', 'nightly: true'], /nightly/],
  ] as const)('with %s says so in one sentence', (_, [right, wrong], words) => {
    expect(text).toContain(right);
    const problems = problemsOf(parse(text.replace(right, wrong)));
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatch(words);
    expect(problems[0]).toMatch(/^rota\.yaml: /);
    expect(problems[0]).not.toMatch(/\+44|0770/);
  });

  it('reads one area or several, and a name that is empty is a problem', () => {
    const withArea = (area: string) =>
      parse(text.replace('languages: [en, hi] }', `languages: [en, hi], area: ${area} }`)) as unknown;
    expect(readRota(withArea('North'), 'rota.yaml', languages).counsellors[0]?.area).toBe('North');
    expect(readRota(withArea('[North, East]'), 'rota.yaml', languages).counsellors[0]?.area).toEqual([
      'North',
      'East',
    ]);
    for (const area of ['""', '[]', '" "', '7']) expect(problemsOf(withArea(area))).toHaveLength(1);
  });

  it('must know the area that mothers are placed in, or their alerts would reach the lead only', () => {
    const file = join(mkdtempSync(join(tmpdir(), 'eightfeeds-rota-')), 'rota.yaml');
    writeFileSync(file, text.replace('languages: [en, hi] }', 'languages: [en, hi], area: North }'));
    const withArea = (area: string) => () => withRota(readConfig({ AREA: area }).programme, file, languages);
    expect(withArea('Soth')).toThrow(ConfigError);
    expect(withArea('north')().area).toBe('north');
    // Where nobody is limited to areas, any name does no harm.
    expect(withRota(readConfig({ AREA: 'Soth' }).programme, 'rota.example.yaml', languages).area).toBe(
      'Soth',
    );
    rmSync(dirname(file), { recursive: true });
  });

  it('says so of something that is no rota at all', () => {
    for (const data of [null, 'rota', 7, [], {}]) expect(problemsOf(data).length).toBeGreaterThan(0);
  });
});

describe('the check of a rota', () => {
  it('names each stretch that nobody covers, on the local clock', () => {
    const data = example();
    data['holidays'] = [{ who: 'sunita', from: '2026-03-04', to: '2026-03-04' }];
    expect(findings(data).filter((f) => f.weight === 'problem')).toEqual([
      {
        weight: 'problem',
        text: 'rota.yaml: nobody is on duty from 2026-03-04 19:00 to 2026-03-05 07:00; put somebody in',
      },
    ]);
  });

  it('names the stretches in which an area has nobody, each once', () => {
    const data = parse(
      text
        .replace('languages: [en, hi] }', 'languages: [en, hi], area: North }')
        .replace('languages: [hi, mr] }', 'languages: [hi, mr], area: [North, South] }'),
    ) as Record<string, unknown>;
    data['holidays'] = [{ who: 'sunita', from: '2026-03-02', to: '2026-04-30' }];
    data['week'] = [
      { who: 'anita', days: ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'], from: '00:00', to: '24:00' },
      { who: 'sunita', days: ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'], from: '00:00', to: '24:00' },
    ];
    const problems = findings(data).filter((f) => f.weight === 'problem');
    expect(problems.map((f) => f.text)).toEqual([
      'rota.yaml: nobody is on duty in "South" from 2026-03-02 10:00 to 2026-04-02 10:00; put somebody in',
    ]);
    data['week'] = [];
    // Nobody at all is told once, and not for each area again.
    expect(findings(data).filter((f) => f.text.includes('nobody is on duty'))).toHaveLength(1);
  });

  it('looks a month ahead and no further', () => {
    const away = (from: string) => ({ ...example(), holidays: [{ who: 'anita', from, to: from }] });
    expect(findings(away('2026-04-01')).some((f) => f.weight === 'problem')).toBe(true);
    expect(findings(away('2026-04-03')).some((f) => f.weight === 'problem')).toBe(false);
  });

  it('finds a swap of a shift that is not there, and remarks a language that nobody speaks', () => {
    const data = example();
    data['swaps'] = [{ day: '2026-03-05', from: 'mary', to: 'anita' }];
    const found = findings(data);
    expect(found.find((f) => f.weight === 'problem')?.text).toContain('mary, who has none on that day');
    expect(found.filter((f) => f.weight === 'remark').map((f) => f.text)).toEqual([
      expect.stringContaining('"hi-Latn"'),
    ]);
  });
});
