import { describe, expect, it } from 'vitest';
import { another, asked, day, enrolled, hour, joined, place, said } from './conversation.ts';

const tara = { baby: 'Tara' };

describe('answers that cannot be read', () => {
  it('are asked again more simply, then with an example, then left open and noted, and the talk goes on', () => {
    const talk = asked();
    expect(talk.text('hmm')).toBe(said('ask.check-in.counts.simple', tara));
    expect(talk.text('what')).toBe(said('ask.check-in.counts.example', tara));
    expect(talk.text('eh')).toBe(said('ask.check-in.body.ask'));
    const note = talk.journal.find((j) => j.kind === 'left-open');
    expect(note?.body).toEqual({ fields: ['feeds#0', 'gap#0', 'wet#0', 'stools#0'] });
    expect(place(talk.state)).toBe('check-in/body');
  });

  it('never keep her at one question, whatever she sends', () => {
    const talk = asked();
    for (let i = 0; i < 30 && place(talk.state) !== 'quiet'; i++) expect(talk.text('hmm')).not.toBe('');
    expect(place(talk.state)).toBe('quiet');
  });

  it('on a call end the call kindly after a second silence, and keep the question for later', () => {
    const talk = asked();
    talk.answer();
    expect(talk.keys('').over).toBe(false);
    expect(talk.keys('').over).toBe(true);
    expect(place(talk.state)).toBe('check-in/counts');
    expect(talk.text('9 3 6 4')).toBe(said('ask.check-in.body.ask'));
  });
});

describe('answers that are only a part', () => {
  it('are kept, and only what is missing is asked', () => {
    const talk = asked();
    expect(talk.text('feeds 9 wet 6')).toBe(
      [said('field.gap.ask', tara), said('field.stools.ask', tara)].join('\n'),
    );
    expect(talk.text('3 4')).toBe(said('ask.check-in.body.ask'));
    talk.text('1 1 0');
    talk.text('0');
    expect(talk.state.mothers[0]?.checkIns.at(-1)?.answers).toMatchObject({
      'feeds#0': 9,
      'gap#0': 3,
      'wet#0': 6,
      'stools#0': 4,
    });
  });

  it('can be begun by text and ended by call, and the other way round', () => {
    const talk = asked();
    talk.text('feeds 9 wet 6');
    talk.answer();
    talk.keys('3');
    talk.keys('4');
    expect(place(talk.state)).toBe('check-in/body');
    talk.keys('1');
    expect(talk.text('1 0')).not.toBe('');
    expect(place(talk.state)).toBe('check-in/weigh');
  });

  it('may leave out what is optional', () => {
    const talk = enrolled({ born: '26 Feb', babies: ['0'] });
    const [mother] = talk.state.mothers;
    expect(mother?.name).toBeNull();
    expect(mother?.babies).toEqual([
      expect.objectContaining({ name: null, sex: null, birthWeightGrams: null, bornOn: '2026-02-26' }),
    ]);
  });
});

describe('a doubtful answer', () => {
  const weighing = () => {
    const talk = asked();
    talk.text('9 3 6 4');
    talk.text('1 1 0');
    return talk;
  };

  it('is asked back and used on a yes', () => {
    const talk = weighing();
    expect(talk.text('5.9 1')).toContain('1 yes 2 no');
    expect(talk.state.mothers[0]?.babies[0]?.weights).toEqual([]);
    talk.text('yes');
    expect(talk.state.mothers[0]?.babies[0]?.weights).toHaveLength(1);
  });

  it('is asked anew on a no, and the next answer counts', () => {
    const talk = weighing();
    talk.text('5.9 1');
    talk.text('no');
    expect(place(talk.state)).toBe('check-in/weigh');
    talk.text('2.95');
    expect(talk.state.mothers[0]?.babies[0]?.weights.at(-1)).toMatchObject({ grams: 2950, doubtful: false });
  });

  it('is never used when she says nothing to it', () => {
    const talk = weighing();
    talk.text('5.9 1');
    talk.wait(2 * day);
    expect(talk.state.mothers[0]?.babies[0]?.weights).toEqual([]);
  });
});

describe('BACK', () => {
  it('asks the step before again and forgets what was answered there', () => {
    const talk = asked();
    talk.text('9 3 6 4');
    expect(talk.text('BACK')).toBe(said('ask.check-in.counts.ask', tara));
    talk.text('10 3 6 4');
    talk.text('1 1 0');
    talk.text('0');
    expect(talk.state.mothers[0]?.checkIns.at(-1)?.answers['feeds#0']).toBe(10);
  });

  it('at the first step asks it again', () => {
    const talk = asked();
    expect(talk.text('BACK')).toBe(said('ask.check-in.counts.ask', tara));
  });

  it('with nothing being asked says so', () => {
    expect(enrolled().text('BACK')).toBe(said('back.nothing'));
  });
});

describe('twins', () => {
  const twins = { home: '2 1 10', babies: ['1 2.4 Tara', '2 2.3 Veer'] };

  it('are each asked about by name, and each answer is kept as its own', () => {
    const talk = enrolled(twins);
    expect(talk.wait(day).join()).toContain(said('ask.check-in.counts.ask', tara));
    expect(talk.text('9 3 6 4')).toBe(said('ask.check-in.counts.ask', { baby: 'Veer' }));
    expect(talk.text('7 4 5 3')).toBe(said('ask.check-in.body.ask'));
    talk.text('1 1 0');
    while (place(talk.state) !== 'quiet') talk.text('0');
    expect(talk.state.mothers[0]?.checkIns.at(-1)?.answers).toMatchObject({
      'feeds#0': 9,
      'feeds#1': 7,
      'wet#0': 6,
      'wet#1': 5,
    });
  });

  it('without names are the first and the second baby', () => {
    const talk = joined();
    talk.text('26 Feb Asha');
    expect(talk.text('2 1 10')).toContain(said('baby.1'));
    expect(talk.text('0')).toContain(said('baby.2'));
  });

  it('are judged each by themselves: one who wets too little is a concern though the other does well', () => {
    const talk = enrolled(twins);
    talk.wait(day);
    talk.text('9 3 6 4');
    talk.text('9 3 0 4');
    talk.text('1 1 0');
    while (place(talk.state) !== 'quiet') talk.text('0');
    expect(talk.alert().reasons).toContain('wet-none');
  });
});

describe('a phone that two mothers share', () => {
  const shared = () => {
    const talk = enrolled();
    another(talk);
    talk.text('27 Feb Rani');
    talk.text('1 2 15');
    talk.text('2 3.1 Veer');
    return talk;
  };

  it('keeps both, and asks each at her own hour by her own name', () => {
    const talk = shared();
    expect(talk.state.mothers.map((m) => m.name)).toEqual(['Asha', 'Rani']);
    const until15 = talk.wait(6 * hour).join('\n');
    expect(until15).toContain('Veer');
    expect(talk.wait(18 * hour).join('\n')).toContain('Tara');
  });

  it('asks who is writing when it must, and takes the answer by number or by name', () => {
    const talk = shared();
    const menu = talk.text('hello');
    expect(menu).toContain('1 Asha');
    expect(menu).toContain('2 Rani');
    expect(talk.text('2')).toBe(said('ask.check-in.counts.ask', { baby: 'Veer' }));
    expect(talk.state.writing).toBe(1);
    const other = shared();
    other.text('hello');
    expect(other.text('Asha')).toBe(said('ask.check-in.counts.ask', tara));
    expect(other.state.writing).toBe(0);
  });

  it('keeps a danger told by nobody known apart from either mother, and raises it', () => {
    const talk = shared();
    talk.text('my baby has a fit');
    expect(talk.alert()).toMatchObject({ tier: 'A', mother: -1 });
  });

  it('takes no fifth mother', () => {
    const talk = shared();
    for (const name of ['Sita', 'Uma']) {
      another(talk);
      talk.text(`28 Feb ${name}`);
      talk.text('1 1 10');
      talk.text('0');
    }
    expect(talk.state.mothers).toHaveLength(4);
    expect(talk.text('ANOTHER')).toBe(said('enrolment.line-full'));
  });
});
