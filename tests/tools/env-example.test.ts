import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { readConfig, settingsTable } from '../../src/config.ts';

const example = new Map(
  readFileSync('.env.example', 'utf8')
    .split('\n')
    .filter((line) => /^[A-Z]/.test(line))
    .map((line) => [line.slice(0, line.indexOf('=')), line.slice(line.indexOf('=') + 1)] as const),
);

test('.env.example has every setting, and no other', () => {
  const settings = [...settingsTable().matchAll(/^\| `([A-Z_]+)`/gm)].map((match) => match[1]);
  expect([...example.keys()].sort()).toEqual(settings.sort());
});

test('.env.example shows the defaults and starts the practice phone', () => {
  const unset = readConfig({});
  expect(readConfig(Object.fromEntries(example))).toEqual(unset);
  expect(unset.carrier).toEqual({ kind: 'practice' });
});
