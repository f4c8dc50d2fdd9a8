import { PassThrough, Readable, Writable } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { command } from '../../src/cli/assess.ts';

/** What a clinical lead would read of a case; the rest is not looked at here. */
interface Assessed {
  readonly id: string | number;
  readonly tier: string;
  readonly reasons: readonly { readonly code: string; readonly text: string; readonly source: string }[];
  readonly growth?: Readonly<Record<'z' | 'centile' | 'g_per_day' | 'loss_percent', number | null>>;
  readonly advice: string;
}

async function run(text: string, args: readonly string[] = []) {
  const output = new PassThrough();
  const errors = new PassThrough();
  const told: Buffer[] = [];
  const complained: Buffer[] = [];
  output.on('data', (part: Buffer) => told.push(part));
  errors.on('data', (part: Buffer) => complained.push(part));
  const code = await command.run(args, { input: Readable.from([text]), output, errors, env: {} });
  await new Promise(setImmediate);
  const lines = Buffer.concat(told)
    .toString()
    .split('\n')
    .filter((line) => line !== '');
  return {
    code,
    results: lines.map((line) => JSON.parse(line) as Assessed),
    errors: Buffer.concat(complained).toString(),
  };
}

const one = async (line: object): Promise<Assessed> => {
  const { results, code, errors } = await run(`${JSON.stringify(line)}\n`);
  const [result] = results;
  if (code !== 0 || result === undefined) throw new Error(errors);
  return result;
};

describe('eightfeeds assess', () => {
  it('gives one line for each case, in order, with the fields that were promised', async () => {
    const { code, results, errors } = await run(
      [
        {
          id: 'a',
          age_days: 8,
          sex: 'boy',
          feeds_24h: 10,
          wet_nappies_24h: 7,
          stools_24h: 4,
          birth_weight_g: 3000,
          weights: [{ day: 8, g: 2900 }],
        },
        { id: 2, age_days: 10, feeds_24h: 5 },
      ]
        .map((line) => JSON.stringify(line))
        .join('\n'),
    );
    expect(code).toBe(0);
    expect(errors).toBe('');
    expect(results.map(({ id, tier }) => [id, tier])).toEqual([
      ['a', 'none'],
      [2, 'B'],
    ]);
    // WHO weight-for-age, boys, day 8: L 0.2742, M 3.5222, S 0.14436; 2.9 kg is ((2.9/3.5222)^L - 1)/(L S) = -1.31.
    expect(results[0]?.growth).toEqual({ z: -1.31, centile: 9.5, g_per_day: null, loss_percent: 3.33 });
    expect(results[1]?.growth).toBeUndefined();
    expect(results[1]?.reasons[0]).toMatchObject({
      code: 'feeds-few',
      text: '5 feeds in 24 hours (expected: 8 or more).',
    });
    expect(results[1]?.reasons[0]?.source).toContain('WHO/UNICEF');
    expect(results[1]?.advice).toMatch(/\.$/);
  });

  it('names each bad line by its number, goes on, and exits with 1', async () => {
    const lines = [
      '{"id":"1","age_days":20,"baby_signs":["fever"]}',
      'not json',
      '',
      '{"age_days":3}',
      '{"id":"5"}',
      '{"id":"6","age_days":-1}',
      '{"id":"7","age_days":"ten"}',
      '{"id":"8","age_days":3,"baby_signs":["sneezing"]}',
      '{"id":"9","age_days":3,"baby_signs":["bleeding"]}',
      '{"id":"10","age_days":3,"weights":[{"day":2}]}',
      '{"id":"11","age_days":3,"pain":"awful","feeds_24h":"many"}',
      '[]',
      'null',
      '{"id":"14","age_days":3,"feeds_24h":-2}',
      '{"id":"15","age_days":900}',
      '{"id":"16","age_days":20,"mother_signs":["bleeding"]}',
    ];
    const { code, results, errors } = await run(`${lines.join('\r\n')}\r\n`);
    expect(code).toBe(1);
    expect(results.map(({ id, tier }) => [id, tier])).toEqual([
      ['1', 'A'],
      ['16', 'A'],
    ]);
    const named = errors
      .trim()
      .split('\n')
      .map((line) => Number(/line (\d+):/.exec(line)?.[1]));
    expect(named).toEqual([2, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15]);
    expect(errors).toContain('age_days');
    expect(errors).not.toMatch(/sneezing|awful|many/);
  });

  it('reads a null as not told, and sex in the common words', async () => {
    const line = {
      id: 'x',
      age_days: 30,
      sex: 'Female',
      birth_weight_g: null,
      weights: [{ day: 30, g: 4187 }],
      pain: null,
      baby_signs: null,
    };
    // WHO weight-for-age, girls, 1 month: median 4.1873 kg (day 30.4375); day 30 is a little lower.
    expect((await one(line)).growth?.z).toBeCloseTo(0.03, 1);
    expect((await one({ ...line, sex: 'm' })).growth?.z).toBeLessThan(-0.3);
    expect((await one({ ...line, sex: null })).growth?.z).toBeNull();
  });

  it('keeps an unlikely weight out of every figure and says so', async () => {
    const result = await one({
      id: 'x',
      age_days: 21,
      birth_weight_g: 3200,
      weights: [
        { day: 21, g: 3.6 },
        { day: 14, g: 3300 },
      ],
    });
    expect(result).toMatchObject({ tier: 'C', growth: { loss_percent: 0 } });
    expect(result.reasons[0]?.code).toBe('weight-doubtful');
  });

  it('asks after a field whose name is nearly right, and lets others be', async () => {
    const lines = [
      '{"id":"1","age_days":100,"baby_sign":["fever"]}',
      '{"id":"2","age_days":100,"feeds_24":2}',
      '{"id":"2b","age_days":100,"motherSigns":["bleeding"]}',
      '{"id":"3","age_days":100,"village":"x","gain":4,"ids":[1],"mother_age":30,"seen_by":"y","sign":1,"age":100,"name":"z"}',
    ].join('\n');
    const { code, results, errors } = await run(lines);
    expect(code).toBe(1);
    expect(results.map(({ id }) => id)).toEqual(['3']);
    expect(errors).toContain('line 1: baby_sign: there is no such field; did you mean baby_signs?');
    expect(errors).toContain('line 3: motherSigns: there is no such field; did you mean mother_signs?');
    expect(errors).toContain('line 2: feeds_24: there is no such field; did you mean feeds_24h?');
  });

  it('takes a part of a day as hours in the first day, and rounds it down later', async () => {
    const rest = { wet_nappies_24h: 6, stools_24h: 3 };
    // Three feeds by 24 h are too few; three in the first 12 h are on the way to six. Source: ABM, WHO postnatal care, 2022.
    expect((await one({ id: 'h', age_days: 0, feeds_24h: 3, ...rest })).tier).toBe('B');
    expect((await one({ id: 'h', age_days: 0.5, feeds_24h: 3, ...rest })).tier).toBe('none');
    expect((await one({ id: 'h', age_days: 0.99, feeds_24h: 3, ...rest })).tier).toBe('B');
    // Six feeds are B before day 14 and C from it. Source: common practice.
    expect((await one({ id: 'h', age_days: 13.9, feeds_24h: 6, ...rest })).tier).toBe('B');
    expect((await one({ id: 'h', age_days: 14.1, feeds_24h: 6, ...rest })).tier).toBe('C');
    // Yellow in the first 24 hours is A. Source: WHO/UNICEF IMCI.
    expect((await one({ id: 'h', age_days: 0.9, baby_signs: ['jaundice'] })).tier).toBe('A');
  });

  it('ends quietly when the reader of its results goes away', async () => {
    let given = 0;
    const input = Readable.from(
      (function* () {
        for (; given < 20_000; given += 1) yield `{"id":${given},"age_days":30}\n`;
      })(),
      { objectMode: false, highWaterMark: 4096 },
    );
    const broken = Object.assign(new Error('write EPIPE'), { code: 'EPIPE' });
    const output = new Writable({ highWaterMark: 1024, write: (_chunk, _encoding, done) => done(broken) });
    const errors = new PassThrough();
    expect(await command.run([], { input, output, errors, env: {} })).toBe(0);
    expect(errors.read()).toBeNull();
    expect(given).toBeLessThan(5_000);
  });

  it('takes an empty input, and refuses arguments', async () => {
    expect(await run('')).toEqual({ code: 0, results: [], errors: '' });
    expect((await run('', ['file.jsonl'])).code).toBe(2);
  });

  it('holds back its reading while the reader of its results is slow', async () => {
    let given = 0;
    const input = Readable.from(
      (function* () {
        for (; given < 20_000; given += 1) yield `{"id":${given},"age_days":30,"feeds_24h":9}\n`;
      })(),
      { objectMode: false, highWaterMark: 4096 },
    );
    const waiting: (() => void)[] = [];
    let taken = 0;
    const output = new Writable({
      highWaterMark: 1024,
      write(chunk: Buffer, _encoding, done) {
        taken += chunk.toString().split('\n').length - 1;
        if (taken < 50) waiting.push(done);
        else done();
      },
    });
    const running = command.run([], { input, output, errors: new PassThrough(), env: {} });
    for (let turn = 0; turn < 200; turn += 1) await new Promise(setImmediate);
    expect(given).toBeLessThan(5_000);
    while (taken < 50) {
      waiting.shift()?.();
      await new Promise(setImmediate);
    }
    waiting.shift()?.();
    expect(await running).toBe(0);
    await new Promise((resolve) => output.end(resolve));
    expect(taken).toBe(20_000);
  });
});
