import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { parse } from 'yaml';
import { outcomes } from '../../../src/dialog/line.ts';
import { tipConcerns, tipRules } from '../../../src/care/tips/index.ts';
import { placeRules } from '../../../src/care/worklist.ts';
import { auditActions } from '../../../src/counsel/accounts.ts';
import { comingKinds } from '../../../src/web/desk/coming-page.ts';
import { doneNotices } from '../../../src/web/desk/mother-page.ts';

const root = fileURLToPath(new URL('../../../', import.meta.url));
type Tree = { readonly [name: string]: string | Tree };

const leaves = (tree: Tree, at = ''): readonly (readonly [string, string])[] =>
  Object.entries(tree).flatMap(([name, below]) =>
    typeof below === 'string' ? [[at + name, below] as const] : leaves(below, `${at + name}.`),
  );
const wordsOf = (language: string) =>
  new Map(leaves(parse(readFileSync(`${root}locales/${language}/desk.yaml`, 'utf8')) as Tree));
const english = wordsOf('en');
const values = (text: string) => [...text.matchAll(/\{\{\w+\}\}/g)].map(([value]) => value).sort();

test('Hindi has every word of the desk, with the same values in it', () => {
  const hindi = wordsOf('hi');
  expect([...hindi.keys()].sort()).toEqual([...english.keys()].sort());
  for (const [key, text] of english) expect([key, values(hindi.get(key) ?? '')]).toEqual([key, values(text)]);
});

test('Hindi is written in Devanagari, but for the names of languages and units', () => {
  const latin = [...wordsOf('hi')].filter(([, text]) => !/[\u0900-\u097f]/.test(text)).map(([key]) => key);
  expect(latin.sort()).toEqual(['days.not-told', 'language.en', 'weight.z'].sort());
});

test('every word that the desk asks for by name exists', () => {
  const folder = `${root}src/web/desk/`;
  const source = readdirSync(folder)
    .map((name) => readFileSync(folder + name, 'utf8'))
    .join('\n');
  const asked = [...source.matchAll(/say\(\s*'([\w.-]+)'/g)].map(([, key = '']) => key);
  expect(asked.length).toBeGreaterThan(60);
  const lacking = asked.filter((key) => !english.has(key) && !english.has(`${key}_other`));
  expect(lacking).toEqual([]);
});

test('there are words for each outcome, deed, notice and reason of order', () => {
  const needed = [
    ...outcomes.map((outcome) => `outcome.${outcome}`),
    ...auditActions.map((action) => `audit.deed.${action}`),
    ...doneNotices.map((notice) => `done.${notice}`),
    ...placeRules.map((rule) => `why.${rule}`),
    ...['A', 'B', 'C'].map((tier) => `tier.${tier}`),
    ...tipRules.map((rule) => `tip.why.before.${rule}`),
    ...comingKinds.flatMap((kind) => [`next.${kind}`, `coming.kind.${kind}`]),
    ...tipConcerns.filter((c) => c.startsWith('answer.')),
    ...['wrong-number', 'landline', 'opted-out', 'unreachable'].map((trouble) => `number.${trouble}`),
    ...['step', 'next', 'speaks', 'outcome', 'answer'].map((family) => `${family}.other`),
  ];
  expect(needed.filter((key) => !english.has(key))).toEqual([]);
});
