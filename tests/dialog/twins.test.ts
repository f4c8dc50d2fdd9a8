import { describe, expect, it } from 'vitest';
import { asked, day, enrolled, place, said } from './conversation.ts';

const twins = { born: '22 Feb Grace', home: '2 3 10', babies: ['1 2.2 Joy', '2 2.4 Noel'] };
const answers = (talk: ReturnType<typeof asked>) => talk.state.mothers[0]?.checkIns.at(-1)?.answers;
const joy = { 'feeds#0': 9, 'gap#0': 3, 'wet#0': 6, 'stools#0': 4 };
const noel = { 'feeds#1': 8, 'gap#1': 2, 'wet#1': 7, 'stools#1': 3 };

describe('twins in one text', () => {
  it.each([
    'Joy 9 3 6 4 Noel 8 2 7 3',
    'noel: 8 2 7 3, joy: 9 3 6 4',
    '9 3 6 4 Joy 8 2 7 3 Noel',
    '9 3 6 4, Noel 8 2 7 3',
    '9 3 6 4 8 2 7 3',
    '9 3 6 4 and 8 2 7 3',
  ])('"%s" is taken for both, each its own', (words) => {
    const talk = asked(twins);
    expect(talk.text(words)).toBe(said('ask.check-in.body.ask'));
    talk.text('1 1 0');
    talk.text('0');
    talk.text('0');
    expect(answers(talk)).toMatchObject({ ...joy, ...noel });
  });

  it('of which only the second is named, the first is asked again and the second is kept', () => {
    const talk = asked(twins);
    expect(talk.text('Noel 8 2 7 3')).toBe(said('ask.check-in.counts.ask', { baby: 'Joy' }));
    expect(talk.text('9 3 6 4')).toBe(said('ask.check-in.body.ask'));
    talk.text('1 1 0');
    talk.text('0');
    talk.text('0');
    expect(answers(talk)).toMatchObject({ ...joy, ...noel });
  });

  it('lets the first be put right while the second is asked', () => {
    const talk = asked(twins);
    expect(talk.text('8 3 6 4')).toBe(said('ask.check-in.counts.ask', { baby: 'Noel' }));
    talk.text('Joy 9 3 6 4');
    expect(talk.text('8 2 7 3')).toBe(said('ask.check-in.body.ask'));
    talk.text('1 1 0');
    talk.text('0');
    talk.text('0');
    expect(answers(talk)).toMatchObject({ ...joy, ...noel });
  });
});

describe('the whole answer sent once more', () => {
  it('is taken when only a part was asked again', () => {
    const talk = asked();
    talk.text('9 3 6 4');
    talk.text('3');
    expect(place(talk.state)).toBe('check-in/body');
    talk.text('2 1 0');
    talk.text('0');
    expect(answers(talk)).toMatchObject({ pain: 2, soft: true });
  });

  it('is taken when a value was asked back', () => {
    const talk = asked();
    talk.text('9 3 6');
    expect(talk.text('9 3 6 4')).toBe(said('ask.check-in.body.ask'));
  });
});

describe('a "no" in a sentence', () => {
  it.each(['she feeds all the time i have no milk i think', 'no no it is ok now'])(
    '"%s" is not no feeds',
    (words) => {
      const talk = asked();
      talk.text(words);
      talk.text('9 3 6 4');
      talk.text('1 1 0');
      talk.text('0');
      expect(answers(talk)).toMatchObject({ 'feeds#0': 9 });
    },
  );

  it('is a count where it stands by its name', () => {
    const talk = asked();
    talk.text('feeds 9 gap 3 wet 6 no stools');
    talk.text('1 1 0');
    talk.text('0');
    expect(answers(talk)).toMatchObject({ 'stools#0': 0, 'feeds#0': 9 });
  });
});

describe('a birthday without a year', () => {
  it('that would be most of a year ago is asked back', () => {
    const talk = enrolled();
    talk.wait(day);
    talk.text('ANOTHER');
    const menu = talk.text('REPEAT');
    talk.text(/(\d+)\s+English\b/.exec(menu)?.[1] ?? '1');
    // 3 March is today: the fifth is still to come.
    expect(talk.text('5 March')).toBe(said('ask.doubt', { value: 'March 5, 2025' }));
  });
});
