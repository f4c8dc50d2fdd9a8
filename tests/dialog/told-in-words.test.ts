import { describe, expect, it } from 'vitest';
import { another, content, conversation, day, enrolled, joined, said } from './conversation.ts';

/** Joins in the given language of the line and stands at the question about the baby. */
function atBaby(language: string) {
  const talk = conversation();
  talk.text('JOIN');
  talk.text(String(content.languages.indexOf(language) + 1));
  talk.text('26 feb Sarita');
  talk.text('1 1 10');
  return talk;
}

describe('a baby told of in words', () => {
  it.each([
    ['en', 'a girl 2.7', 'girl', 2700],
    ['en', 'girl 3 kg 200 g', 'girl', 3200],
    ['en', 'boy 2800 grams', 'boy', 2800],
    ['hi-Latn', 'ladka 2.8 kilo', 'boy', 2800],
    ['hi-Latn', 'ladki sava teen kilo', 'girl', 3250],
    ['hi', 'ladki 2.8 kilo', 'girl', 2800],
    ['hi', 'लड़की 2.8 किलो', 'girl', 2800],
    ['mr', 'mulgi 2.6 kilo', 'girl', 2600],
    ['mr', 'मुलगा 2.6 किलो', 'boy', 2600],
  ])('is read in %s from "%s", without a word of it taken for the name', (language, words, sex, grams) => {
    const talk = atBaby(language);
    talk.text(words);
    expect(talk.state.mothers[0]?.babies[0]).toMatchObject({ sex, birthWeightGrams: grams, name: null });
  });

  it('keeps the name that stands beside the word', () => {
    const talk = atBaby('en');
    talk.text('girl 2.7 Meera');
    expect(talk.state.mothers[0]?.babies[0]).toMatchObject({
      sex: 'girl',
      birthWeightGrams: 2700,
      name: 'Meera',
    });
  });

  it('never takes a number word for a name', () => {
    const talk = atBaby('hi-Latn');
    talk.text('das teen saat char');
    expect(talk.state.mothers[0]?.babies[0]?.name ?? null).toBeNull();
  });
});

describe('pain told in words', () => {
  it.each([
    ['hi-Latn', 'dard nahi, haan, koi chinta nahi', 1],
    ['mr', 'dukhat nahi, ho, kahi nahi', 1],
    ['mr', 'thode, ho', 2],
    ['en', 'a little, yes', 2],
  ])('is read in %s from "%s"', (language, words, pain) => {
    const talk = atBaby(language);
    talk.text('1 2.9 Tara');
    talk.wait(day);
    talk.text('9 3 6 4');
    talk.text(words);
    talk.text('0');
    expect(talk.state.mothers[0]?.checkIns[0]?.answers).toMatchObject({ pain, soft: true });
  });
});

describe('a second mother on the phone', () => {
  it('is asked about her own baby, not about the first mother’s', () => {
    const talk = enrolled();
    another(talk);
    talk.text('28 Feb Geeta');
    expect(talk.text('1 1 10')).toBe(said('ask.enrolment.baby.ask', { baby: said('baby.only') }));
  });
});

describe('her agreement', () => {
  it.each(['ok join', 'Yes join', 'I agree', 'जॉइन', 'haan join', 'जॉइन करा'])(
    'may be worded "%s"',
    (words) => {
      const talk = conversation();
      talk.text(words);
      expect(talk.state.standing).toBe('enrolled');
    },
  );

  it('is not taken from a bare yes or a figure', () => {
    for (const words of ['yes', '1', 'haan', 'ok']) {
      const talk = conversation();
      talk.text(words);
      expect(talk.state.standing).toBe('guest');
    }
  });
});

describe('a birthday with more words than asked', () => {
  it('is not named after how long ago it was', () => {
    const talk = joined();
    talk.text('just one day ago');
    talk.text('1 1 10');
    talk.text('0');
    expect(talk.state.mothers[0]?.name).toBeNull();
  });
});
