import { describe, expect, it } from 'vitest';
import { readConfig } from '../src/config.ts';
import { ConfigError } from '../src/errors.ts';

/** A live carrier account, all invented; the number is from Ofcom's range for fiction. */
const live = {
  TWILIO_ACCOUNT_SID: `AC${'0d'.repeat(16)}`,
  TWILIO_AUTH_TOKEN: 'a-token-of-32-characters-0123456',
  TWILIO_NUMBER: '+447700900000',
  PUBLIC_URL: 'https://line.example.test',
  SEALING_KEYS: `one:${Buffer.alloc(32, 1).toString('base64')}`,
  LINE_PEPPER: 'a-pepper-of-some-length',
  COUNSELLORS: 'anita:Anita:+447700900011:en',
};

function problemsOf(env: Readonly<Record<string, string>>): readonly string[] {
  try {
    readConfig(env);
  } catch (error) {
    if (error instanceof ConfigError) return error.problems;
    throw error;
  }
  return [];
}

describe('settings', () => {
  it('nothing set gives the practice phone on loopback', () => {
    const config = readConfig({});
    expect(config).toMatchObject({ host: '127.0.0.1', port: 8080, carrier: { kind: 'practice' } });
    for (const { phone } of config.programme.counsellors) expect(phone).toMatch(/^\+447700900\d{3}$/);
  });

  it('an empty value counts as not set', () => {
    expect(readConfig({ PORT: '', TWILIO_NUMBER: '' })).toEqual(readConfig({}));
  });

  it('a whole carrier account makes the line live', () => {
    const { carrier, programme } = readConfig(live);
    expect(carrier).toMatchObject({ kind: 'twilio', number: live.TWILIO_NUMBER });
    expect(programme.carrierAnswersStop).toBe(true);
  });

  it.each(Object.keys(live).filter((name) => !name.startsWith('TWILIO_')))(
    'a live line without %s does not start',
    (name) => {
      const problems = problemsOf({ ...live, [name]: '' });
      expect(problems).toHaveLength(1);
      expect(problems[0]).toContain(name);
    },
  );

  it('half an account is named, setting by setting, and never falls back to the practice phone', () => {
    const problems = problemsOf({ TWILIO_ACCOUNT_SID: live.TWILIO_ACCOUNT_SID });
    for (const name of [
      'TWILIO_AUTH_TOKEN',
      'TWILIO_NUMBER',
      'PUBLIC_URL',
      'SEALING_KEYS',
      'LINE_PEPPER',
      'COUNSELLORS',
    ])
      expect(problems.join('\n')).toContain(name);
  });

  it.each([
    ['PORT', 'eighty'],
    ['PORT', '70000'],
    ['PORT', '80.5'],
    ['TIME_ZONE', 'Mars/Olympus'],
    ['WRITE_FROM', '25:00'],
    ['WRITE_UNTIL', '8'],
    ['EMERGENCY_NUMBER', 'call us'],
    ['LOG_LEVEL', 'loud'],
    ['LINE_PEPPER', 'short'],
    ['PUBLIC_URL', 'line.example.test'],
    ['PUBLIC_URL', 'ftp://line.example.test'],
    ['COUNSELLORS', 'anita'],
    ['COUNSELLORS', 'anita:Anita:07700900011:en'],
    ['TWILIO_ACCOUNT_SID', 'AC123'],
  ])('%s "%s" is refused by name', (name, value) => {
    expect(problemsOf({ [name]: value }).join('\n')).toContain(name);
  });

  it('quiet hours that leave no hour to write in are refused', () => {
    expect(problemsOf({ WRITE_FROM: '20:00', WRITE_UNTIL: '08:00' }).join()).toContain('WRITE_UNTIL');
  });

  it('a counsellor named twice, by id or by number, is refused', () => {
    const other = {
      id: 'anita:Anita:+447700900011:en,anita:Other:+447700900012:en',
      number: 'anita:Anita:+447700900011:en,mary:Mary:+447700900011:en',
    };
    for (const value of Object.values(other))
      expect(problemsOf({ COUNSELLORS: value }).join()).toContain('twice');
  });

  it('every problem is told at once', () => {
    expect(problemsOf({ PORT: 'x', LOG_LEVEL: 'x', HOST: 'x', WRITE_FROM: 'x' })).toHaveLength(3);
  });

  it('what is set is never in the message: it may be a secret', () => {
    const secret = 'AC-secret-secret-secret';
    const problems = problemsOf({
      TWILIO_ACCOUNT_SID: secret,
      TWILIO_AUTH_TOKEN: 'too-short',
      SEALING_KEYS: 'x',
      PORT: secret,
    });
    expect(problems.join()).not.toContain('secret');
    expect(problems.join()).not.toContain('too-short');
  });
});

it('one Redis address is a server, several are a cluster, anything else is told', () => {
  const redis = (REDIS_URL: string) => readConfig({ STORE: 'redis', REDIS_URL }).redis;
  expect(redis('redis://a:6379')).toEqual({ url: 'redis://a:6379', replicas: 0 });
  expect(redis('redis://a:6379, rediss://b:6379')).toEqual({
    cluster: ['redis://a:6379', 'rediss://b:6379'],
    replicas: 0,
  });
  expect(() => redis('redis://a:6379,b:6379')).toThrow(/REDIS_URL/);
});

it('as many replicas are waited for as is set', () => {
  const replicas = (REDIS_REPLICAS_WAITED: string) =>
    readConfig({ STORE: 'redis', REDIS_URL: 'redis://a:6379', REDIS_REPLICAS_WAITED }).redis?.replicas;
  expect(['', '0', '1', '5'].map(replicas)).toEqual([0, 0, 1, 5]);
  for (const wrong of ['6', '-1', 'one', '0.5'])
    expect(() => replicas(wrong), wrong).toThrow(/REDIS_REPLICAS_WAITED/);
});

describe('when mothers may be written to', () => {
  it('festivals are days or runs of days, time zones the beginnings of numbers', () => {
    const { programme } = readConfig({
      FESTIVAL_DAYS: '2026-11-08, 2026-12-30..2027-01-02',
      TIME_ZONES: '+44:Europe/London, +971:Asia/Dubai',
      TEXTS_A_DAY: '4',
    });
    expect([...(programme.festivalDays ?? [])]).toEqual([
      '2026-11-08',
      '2026-12-30',
      '2026-12-31',
      '2027-01-01',
      '2027-01-02',
    ]);
    expect([...(programme.zones ?? [])]).toEqual([
      ['+44', 'Europe/London'],
      ['+971', 'Asia/Dubai'],
    ]);
    expect(programme.textsADay).toBe(4);
  });

  it.each([
    ['FESTIVAL_DAYS', '2026-02-30'],
    ['FESTIVAL_DAYS', '8 Nov'],
    ['FESTIVAL_DAYS', '2026-11-08..2026-11-07'],
    ['FESTIVAL_DAYS', '2026-11-08..2027-11-08'],
    ['FESTIVAL_DAYS', '2026-11-08,'],
    ['TIME_ZONES', '44:Europe/London'],
    ['TIME_ZONES', '+44:Europe/Nowhere'],
    ['TIME_ZONES', '+44'],
    ['TIME_ZONES', '+44:Europe/London,+44:Europe/Paris'],
    ['TEXTS_A_DAY', '0'],
  ])('%s "%s" is told as wrong, with how it should be', (name, value) => {
    const problems = problemsOf({ [name]: value });
    expect(problems).toHaveLength(1);
    expect(problems[0]).toContain(name);
  });
});
