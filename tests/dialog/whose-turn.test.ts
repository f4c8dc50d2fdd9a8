import { describe, expect, it } from 'vitest';
import { another, day, enrolled, hour, place, said } from './conversation.ts';

describe('two mothers on one phone with the same hour', () => {
  it('are both asked on the same day, also when the first does not answer', () => {
    const talk = enrolled();
    another(talk);
    talk.text('28 Feb Geeta');
    talk.text('1 1 10');
    talk.text('2 2.6 Ravi');
    const sent = talk.wait(day + 9 * hour);
    expect(
      sent.filter((words) => words.includes(said('check-in.hello-name', { name: 'Asha' }))),
    ).toHaveLength(1);
    expect(
      sent.filter((words) => words.includes(said('check-in.hello-name', { name: 'Geeta' }))),
    ).toHaveLength(1);
  });
});

describe('a check-in that she began by herself', () => {
  it('goes on at her hour where she stopped, with what she answered', () => {
    const talk = enrolled();
    talk.wait(day - 2.5 * hour);
    talk.text('9 3 6 4');
    expect(place(talk.state)).toBe('check-in/body');
    const sent = talk.wait(4 * hour);
    expect(sent.join()).toContain(said('ask.check-in.body.ask'));
    expect(sent.join()).not.toContain(said('ask.check-in.counts.ask', { baby: 'Tara' }));
    talk.text('1 1 0');
    talk.text('0');
    expect(talk.state.mothers[0]?.checkIns).toHaveLength(1);
    expect(talk.state.mothers[0]?.checkIns[0]?.answers).toMatchObject({ 'feeds#0': 9, pain: 1 });
  });

  it('is asked again on a later day, without a word of when it will be', () => {
    const talk = enrolled({ home: '1 1 8' });
    talk.wait(day + 4 * hour);
    talk.text('9 3 6 4');
    const asked = talk
      .wait(day)
      .filter((words) => words.includes(said('check-in.hello-name', { name: 'Asha' })));
    expect(asked).toHaveLength(1);
    for (const count of [0, 1]) expect(asked[0]).not.toContain(said('feedback.next', { count }));
    expect(asked[0]).toContain(said('feedback.good.wet-nappies-well'));
  });
});

describe('a talk that ends at the hour of her check-in', () => {
  it('does not cost her the check-in of that day', () => {
    const talk = enrolled({ home: '1 1 8' });
    talk.wait(day);
    talk.text('9 3 6 4');
    talk.wait(20 * hour);
    const before = talk.journal.filter((j) => j.kind === 'check-in-asked').length;
    talk.wait(8 * hour);
    expect(talk.journal.filter((j) => j.kind === 'check-in-asked').length).toBe(before + 1);
  });
});
