import { PassThrough, Readable } from 'node:stream';
import { text as all } from 'node:stream/consumers';
import { expect, test } from 'vitest';
import { command } from '../../src/cli/doctor.ts';

async function run(env: Readonly<Record<string, string>>, args: readonly string[] = []) {
  const [output, errors] = [new PassThrough(), new PassThrough()];
  const [out, err] = [all(output), all(errors)];
  const code = await command.run(args, { input: Readable.from([]), output, errors, env });
  output.end();
  errors.end();
  return { code, out: await out, err: await err };
}

test('with nothing set it says what a live line still needs', async () => {
  const { code, out, err } = await run({});
  expect(code).toBe(1);
  expect(out).toMatch(/^look\s+carrier\s+No account is set/m);
  expect(out).toMatch(/^mend\s+emergency number\s+EMERGENCY_NUMBER is not set/m);
  expect(err).toContain('1 to mend');
});

test('names every setting that is wrong, and shows no secret', async () => {
  const { code, out } = await run({
    TWILIO_ACCOUNT_SID: `AC${'0'.repeat(32)}`,
    TWILIO_AUTH_TOKEN: 'a very secret word',
    TIME_ZONE: 'Mars/Olympus',
  });
  expect(code).toBe(1);
  for (const name of [
    'TWILIO_NUMBER',
    'PUBLIC_URL',
    'SEALING_KEYS',
    'LINE_PEPPER',
    'COUNSELLORS',
    'TIME_ZONE',
  ])
    expect(out).toMatch(new RegExp(`^mend\\s+settings\\s+${name}`, 'm'));
  expect(out).not.toContain('a very secret word');
});

test('finds the hours that a rota leaves open, and a rota that cannot be read', async () => {
  const { out } = await run({ ROTA_FILE: 'no-such-rota.yaml', EMERGENCY_NUMBER: '112' });
  expect(out).toMatch(/^mend\s+rota file\s+no-such-rota.yaml/m);
  const covered = await run({ ROTA_FILE: 'rota.example.yaml', EMERGENCY_NUMBER: '112' });
  expect(covered.out).toMatch(/^(good|look|mend)\s+rota /m);
});

test('used wrongly it says how', async () => {
  expect((await run({}, ['--everything'])).code).toBe(2);
});
