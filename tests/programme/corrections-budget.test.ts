import { expect, test } from 'vitest';
import { leavesOf } from '../../src/programme/check/leaves.ts';
import { segmentBudget, segmentsOf } from '../../src/programme/check/segments.ts';
import { loadLanguages, messageFiles } from '../../src/programme/load-content.ts';

/** The longest that may stand in each place, as `eightfeeds check` counts. */
const longest: Readonly<Record<string, string>> = {
  name: 'Annapurnabai',
  baby: 'Annapurnabai',
  emergency: '1800112233',
  from: '12.50',
  to: '12.85',
};

test.each(loadLanguages().map(({ code }) => code))(
  'a correction and its feedback are one message: %s',
  (code) => {
    const texts = new Map(
      messageFiles()
        .filter(({ language }) => language === code)
        .flatMap((file) => [...leavesOf(file)].map(([key, leaf]) => [key, leaf.text] as const)),
    );
    const of = (start: string) =>
      [...texts]
        .filter(([key]) => key.startsWith(start))
        .map(([, text]) => fill(text))
        .reduce((a, b) => (b.length > a.length ? b : a), '');
    const what = [...texts]
      .filter(([key]) => key.startsWith('mend.field.'))
      .reduce((a, [, text]) => (text.length > a.length ? text : a), '');
    const fill = (text: string): string =>
      text.replace(/\{\{(\w+)\}\}/gu, (_, slot: string) =>
        slot === 'what' ? what : (longest[slot] ?? slot),
      );
    const done = of('mend.done');
    const messages = [
      [done, of('feedback.good.'), of('feedback.advice.')],
      [done, of('feedback.advice.'), of('feedback.person-')],
      [done, of('ask.check-in.counts.')],
      [done, of('ask.check-in.body.')],
      [done, of('ask.check-in.weigh.')],
      [done, of('ask.check-in.support.')],
      [of('ask.correct-which.which.')],
    ].map((parts) => parts.join('\n'));
    for (const message of messages) {
      expect(message).not.toMatch(/^\n|\n$/);
      const { encoding, segments } = segmentsOf(message);
      expect([message, segments <= segmentBudget[encoding]]).toEqual([message, true]);
    }
  },
);
