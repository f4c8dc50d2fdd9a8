import { PassThrough, Readable } from 'node:stream';
import { text as all } from 'node:stream/consumers';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { command } from '../../src/cli/counsellor.ts';
import { readConfig } from '../../src/config.ts';

async function run(line: readonly string[], env: Readonly<Record<string, string>> = {}) {
  const [output, errors] = [new PassThrough(), new PassThrough()];
  const [out, err] = [all(output), all(errors)];
  const code = await command.run(line, { input: Readable.from([]), output, errors, env });
  output.end();
  errors.end();
  return { code, out: await out, err: await err };
}
/** Numbers from Ofcom's range for fiction. */
const asha = ['add', '--id', 'asha', '--name', 'Asha', '--phone', '+44 7700 900013', '--language', 'hi'];
const anita = 'anita:Anita:+447700900011:en:lead';

describe('eightfeeds counsellor add', () => {
  test('prints a setting that the line reads as it was asked', async () => {
    const { code, out } = await run([...asha, '--lead']);
    expect([code, out]).toEqual([0, 'COUNSELLORS=asha:Asha:+447700900013:hi:lead\n']);
    const { counsellors } = readConfig({ COUNSELLORS: out.trim().slice('COUNSELLORS='.length) }).programme;
    expect(counsellors).toMatchObject([
      { id: 'asha', name: 'Asha', phone: '+447700900013', language: 'hi', lead: true },
    ]);
  });

  test('keeps those who are there, and says when there is no lead', async () => {
    const joined = await run(asha, { COUNSELLORS: anita });
    expect(joined.out).toBe(`COUNSELLORS=${anita},asha:Asha:+447700900013:hi\n`);
    expect(joined.err).not.toMatch(/lead yet/);
    expect((await run(asha)).err).toMatch(/Nobody is the lead yet/);
  });

  test('with a rota file it prints the entry of that file', async () => {
    const { out, err } = await run([...asha, '--lead'], { ROTA_FILE: 'rota.yaml' });
    expect(parse(out)).toEqual([
      { id: 'asha', name: 'Asha', phone: '+447700900013', languages: ['hi'], role: 'lead' },
    ]);
    expect(err).toContain('rota.yaml');
  });

  test('with areas it needs a rota file, and prints them there', async () => {
    const { out } = await run([...asha, '--area', 'North, East'], { ROTA_FILE: 'rota.yaml' });
    expect(parse(out)).toEqual([
      { id: 'asha', name: 'Asha', phone: '+447700900013', languages: ['hi'], area: ['North', 'East'] },
    ]);
    const without = await run([...asha, '--area', 'North']);
    expect([without.code, without.out]).toEqual([1, '']);
    expect(without.err).toMatch(/--area needs a rota file/);
    const lead = await run([...asha, '--area', 'North', '--lead'], { ROTA_FILE: 'rota.yaml' });
    expect(lead.err).toMatch(/a lead sees all/);
  });

  test.each([
    [[...asha.slice(0, 6), '0770', ...asha.slice(7)], /--phone must be/],
    [[...asha.slice(0, 2), 'Asha B', ...asha.slice(3)], /--id must be/],
    [[...asha.slice(0, 4), 'A:sha', ...asha.slice(5)], /--name must/],
    [[...asha.slice(0, 8), 'xx'], /--language must be one of en, /],
  ])('refuses %j', async (line, words) => {
    const { code, out, err } = await run(line);
    expect([code, out]).toEqual([1, '']);
    expect(err).toMatch(words);
  });

  test('refuses an id or number that another has, and a setting that is broken already', async () => {
    for (const before of ['asha:Other:+447700900012:en', 'other:Other:+447700900013:en', 'broken']) {
      const { code, out } = await run(asha, { COUNSELLORS: before });
      expect([before, code, out]).toEqual([before, 1, '']);
    }
  });

  test('says how it is used when something is missing', async () => {
    for (const line of [[], ['remove'], ['add'], ['add', '--id', 'a'], [...asha, '--what']]) {
      const { code, err } = await run(line);
      expect([line, code]).toEqual([line, 2]);
      expect(err).toContain('counsellor add --id');
    }
  });
});
