import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { segmentBudget, segmentsOf } from '../../src/programme/check/segments.ts';
import { expectTheSameOnEachStore, onEachStore } from './each-store.ts';
import { type JourneyLine, journeyLine, numbers } from './journey-line.ts';
import { type CallStep, type Phone, phoneOf } from './people.ts';

const day = 86_400_000;
/** Monday 2 March 2026, 10:00 in India. */
const monday = Date.UTC(2026, 2, 2, 4, 30);

/** How a mother of each language joins, writes a birth day and tells that her baby has a fit. Invented words. */
const ways = [
  { code: 'en', script: 'Latin', born: '26 Feb Asha', fit: 'my baby has a fit' },
  { code: 'hi', script: 'Devanagari', born: '26 फरवरी आशा', fit: 'बच्चे को दौरा पड़ रहा है' },
  { code: 'hi-Latn', script: 'Latin', born: '26 Feb Asha', fit: 'bachche ko daura pad raha hai' },
  { code: 'mr', script: 'Devanagari', born: '26 फेब्रुवारी आशा', fit: 'बाळाला झटके येत आहेत' },
] as const;

describe.each(onEachStore(ways))('a mother who writes $code, on $on', ({ code, script, born, fit, on }) => {
  let line: JourneyLine;
  let asha: Phone;
  const said = (key: string, values: Record<string, string | number> = {}) =>
    line.content.wording.say(key, values, code, 'text');
  const spoken = (key: string, values: Record<string, string | number> = {}) =>
    line.content.wording.say(key, values, code, 'voice');

  /** In her script, nothing left to fill in, no broken letters, and within what a message may cost. */
  const expectReadable = (text: string): string => {
    expect(text).not.toBe('');
    expect(text).not.toMatch(/\{\{|\uFFFD|\$t\(/u);
    const { encoding, segments } = segmentsOf(text);
    expect(encoding).toBe(script === 'Latin' ? 'GSM-7' : 'UCS-2');
    expect(segments).toBeLessThanOrEqual(segmentBudget[encoding]);
    return text;
  };
  const expectSpeakable = ({ words }: CallStep): string => {
    expect(words).not.toMatch(/\{\{|\uFFFD|[%&/]/u);
    expect(words).toMatch(code === 'en' ? /\p{Script=Latin}/u : /\p{Script=Devanagari}/u);
    return words;
  };

  beforeEach(async () => {
    line = await journeyLine(monday, on);
    asha = phoneOf(line, numbers.mother, 'asha');
    const menu = await asha.text('JOIN');
    const place = line.content.languages.indexOf(code) + 1;
    expect(menu).toContain(`${place} ${said('language.name')}`);
    expectReadable(await asha.text(String(place)));
    expect(expectReadable(await asha.text(born))).toBe(said('ask.enrolment.home.ask'));
    expect(expectReadable(await asha.text('1 1 10'))).toBe(
      said('ask.enrolment.baby.ask', { baby: said('baby.only') }),
    );
    expect(expectReadable(await asha.text('1 2.9'))).toBe(said('enrolment.done-tomorrow', { time: '10:00' }));
  });
  afterEach(() => line.close());

  it('enrols, and answers the check-in by text', async () => {
    await line.forward(day);
    const [asked = ''] = asha.received();
    expectReadable(asked);
    expect(asked).toContain(said('ask.check-in.counts.ask', { baby: said('baby.only') }));
    expect(expectReadable(await asha.text('9 3 6 4'))).toBe(said('ask.check-in.body.ask'));
    expect(expectReadable(await asha.text('1 1 0'))).toBe(
      said('ask.check-in.weigh.ask', { baby: said('baby.only') }),
    );
    expect(expectReadable(await asha.text('2.9 1'))).toContain(said('feedback.next', { count: 1 }));
    const state = await line.state(numbers.mother);
    expect(state?.language).toBe(code);
    expect(state?.mothers[0]?.checkIns[0]?.answers).toMatchObject({
      'feeds#0': 9,
      'gap#0': 3,
      'wet#0': 6,
      'stools#0': 4,
      pain: 1,
      soft: true,
      worry: null,
      'grams#0': 2900,
    });
  });

  it('answers the check-in by a call, one key question at a time', async () => {
    await line.forward(day);
    expect((await asha.ring()).isRejected).toBe(true);
    let step = await asha.answer();
    expect(expectSpeakable(step)).toContain(spoken('field.feeds.ask', { baby: spoken('baby.only') }));
    for (const keys of ['9#', '3#', '6#', '4#', '1', '1', '2', '2900#', '1']) {
      expect(step.keysTo).toBeDefined();
      step = await asha.press(keys);
      expectSpeakable(step);
    }
    expect(step.keysTo).toBeUndefined();
    expect(step.words).toContain(spoken('feedback.next', { count: 1 }));
  });

  it('tells of a danger, is told at once what to do, and the counsellor has it', async () => {
    const anita = phoneOf(line, numbers.anita, 'anita');
    const reply = expectReadable(await asha.text(fit));
    expect(reply).toContain(said('safety.baby.convulsion', { emergency: '112' }));
    const [alert = ''] = anita.received();
    expect(alert).toContain(numbers.mother);
    expect(alert).toContain(line.content.wording.say('sign.baby.convulsion', {}, 'en', 'text'));
    const taken = /\b\d{4}\b/.exec(alert)?.[0] ?? '';
    expect(await anita.text(taken)).toContain(taken);
  });

  it('tells of a danger by key in a call', async () => {
    await asha.ring();
    await asha.answer();
    let step = await asha.press('*');
    expectSpeakable(step);
    step = await asha.press('4');
    expect(step.words).toContain(spoken('field.sign.ask'));
    step = await asha.press('4');
    expect(expectSpeakable(step)).toContain(spoken('safety.baby.convulsion', { emergency: '112' }));
    expect(step.keysTo).toBeUndefined();
    expect((await line.state(numbers.mother))?.alerts[0]?.tier).toBe('A');
  });

  it('finds the root words of her language in every state', async () => {
    await line.forward(day);
    expect(expectReadable(await asha.text(firstWord(line, code, 'help')))).toBe(
      said('help', { programme: 'Eightfeeds', emergency: '112' }),
    );
    expectReadable(await asha.text(firstWord(line, code, 'repeat')));
    expect(expectReadable(await asha.text(firstWord(line, code, 'stop')))).toBe(
      said('stop.done', { emergency: '112' }),
    );
    expect(expectReadable(await asha.text(firstWord(line, code, 'start')))).toBe(said('start.welcome-back'));
  });
});

/** A word of the language's own list, found by asking the reader of commands which of the usual ones it knows. */
function firstWord(line: JourneyLine, code: string, command: 'help' | 'repeat' | 'stop' | 'start'): string {
  const tries: Readonly<Record<string, Readonly<Record<typeof command, readonly string[]>>>> = {
    en: { help: ['help'], repeat: ['repeat'], stop: ['stop'], start: ['start'] },
    hi: {
      help: ['मदद'],
      repeat: ['दोबारा', 'फिर से', 'दुबारा'],
      stop: ['बंद करो', 'बंद'],
      start: ['शुरू', 'शुरू करो'],
    },
    'hi-Latn': {
      help: ['madad'],
      repeat: ['dobara', 'phir se'],
      stop: ['band karo', 'band'],
      start: ['shuru', 'shuru karo'],
    },
    mr: { help: ['मदत'], repeat: ['पुन्हा', 'परत'], stop: ['थांबा', 'बंद करा', 'बंद'], start: ['सुरू', 'सुरू करा'] },
  };
  const word = tries[code]?.[command].find((w) => line.content.commandWords.command(w)?.command === command);
  if (word === undefined) throw new Error(`no usual word for ${command} in ${code}`);
  return word;
}

expectTheSameOnEachStore();
