import { segmentBudget, segmentsOf } from '../../language/sms-segments.ts';
import { type Finding, problem } from './finding.ts';
import type { Leaf } from './leaves.ts';

export { segmentBudget, segmentsOf };

/** Counsellors' alerts hold a mother's own words, so in a script of two bytes a letter they may have one more. */
const alertBudget = { 'GSM-7': 2, 'UCS-2': 5 } as const;

/** The longest that may stand in each place: names of twelve letters, numbers of the longest usual form. */
const longest: Readonly<Record<string, string>> = {
  name: 'Annapurnabai',
  baby: 'Annapurnabai',
  mother: 'Annapurnabai',
  programme: 'Eightfeeds',
  emergency: '1800112233',
  phone: '+447700900123',
  code: '4821',
  codeSpoken: '4 8 2 1',
  phoneSpoken: '+ 4 4 7 7 0 0 9 0 0 1 2 3',
  time: '10:30',
  kilos: '12',
  grams: '850',
  percent: '12',
  perWeek: '240',
  count: '14',
  number: '4',
  tier: 'A',
  who: 'Annapurnabai, baby 21 weeks',
  words: 'w'.repeat(60),
  value: '12 kg 850 g',
  help: '',
};

/** Several texts that go out as one message, by name; a star stands for each text of that part. */
const composites: readonly (readonly string[])[] = [
  ...['today', 'tomorrow', 'passed-on', 'nobody', 'now', 'now-passed-on', 'now-nobody'].map((person) => [
    'feedback.good.*',
    'feedback.advice.*',
    `feedback.person-${person}`,
    'feedback.next_other',
  ]),
  ['feedback.good.*', 'feedback.advice.*', 'feedback.worry-passed-on', 'feedback.next_other'],
  ['feedback.good.*', 'feedback.advice.*', 'talk.visit'],
  ...['today', 'tomorrow', 'passed-on', 'nobody'].map((person) => [
    'growth.*',
    'feedback.advice.*',
    `feedback.person-${person}`,
    'feedback.next_other',
  ]),
  ['check-in.hello-name', 'ask.check-in.counts.ask'],
  ['tip-for', 'tips.*'],
  ['safety.baby.*', 'safety.told'],
  ['safety.mother.*', 'safety.told'],
  ['safety.baby.*', 'safety.nobody-on-duty'],
  ['safety.mother.*', 'safety.nobody-on-duty'],
  ['safety.baby.*', 'safety.nobody'],
  ['safety.mother.*', 'safety.nobody'],
];

/** Texts that are never sent as a message of their own: names of things, word lists, parts. */
const parts =
  /^(language\.|kitchen\.(word|amount)|menu\.|mother\.|baby\.|age\.|who\.|value\.|label\.|option\.|sign\.|reason\.|outcome\.|alert\.(words|named))/u;

/** Every message of one language at its longest is within its budget. */
export function checkSegments(file: string, leaves: ReadonlyMap<string, Leaf>): readonly Finding[] {
  const signs = [...leaves].filter(([k]) => k.startsWith('sign.')).map(([, l]) => l.text);
  const sign = signs.reduce((a, b) => (b.length > a.length ? b : a), '');
  const menu = ['1 English', '2 Hindi', '3 हिन्दी', '4 मराठी'].join('\n');
  const what = `${sign}, ${sign}: "${longest['words']}"`;
  const own = { ...longest, sign, menu, what, named: sign, outcome: 'no danger found' };
  const fill = (text: string) =>
    text.replace(/\{\{\s*(\w+)\s*\}\}/gu, (_, slot: string) => own[slot as keyof typeof own] ?? slot).trim();
  const found: Finding[] = [];
  const measure = (name: string, text: string): void => {
    const { encoding, segments } = segmentsOf(text);
    const budget = (
      name.startsWith('alert.') || name.startsWith('counsellor.') ? alertBudget : segmentBudget
    )[encoding];
    if (segments > budget) {
      found.push(
        problem(
          `${file}: ${name} is ${segments} segments of ${encoding} at its longest (${text.length} characters); the budget is ${budget}`,
        ),
      );
    }
  };
  for (const [key, leaf] of leaves)
    if (!parts.test(key)) measure(`"${key}"`.replaceAll('"', ''), fill(leaf.text));
  for (const names of composites) {
    const texts = names.map((name) => longestOf(name, leaves, fill));
    measure(texts.map((t) => t.key).join(' + '), texts.map((t) => t.text).join('\n'));
  }
  return found;
}

function longestOf(name: string, leaves: ReadonlyMap<string, Leaf>, fill: (text: string) => string) {
  const matching = name.endsWith('*')
    ? [...leaves].filter(([k]) => k.startsWith(name.slice(0, -1)))
    : [...leaves].filter(([k]) => k === name);
  return matching
    .map(([key, leaf]) => ({ key, text: fill(leaf.text) }))
    .reduce((a, b) => (b.text.length > a.text.length ? b : a), { key: name, text: '' });
}
