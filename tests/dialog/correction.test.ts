import { describe, expect, it } from 'vitest';
import { asked, type Conversation, conversation, day, place, said } from './conversation.ts';

const answers = (talk: Conversation) => talk.state.mothers[0]?.checkIns.at(-1)?.answers;
const running = (talk: Conversation) =>
  (talk.state.dialog?.context as { talk: { answers: Record<string, unknown> } }).talk.answers;
const corrections = (talk: Conversation) =>
  talk.journal.filter((j) => j.kind === 'corrected').map((j) => j.body);
const done = (what: string, from: number, to: number) =>
  said('mend.done', { what: said(`mend.field.${what}`), from, to });

/** Answers the second question, and no weight. */
function end(talk: Conversation) {
  talk.text('1 1 no');
  if (place(talk.state) === 'check-in/weigh') talk.text('0');
}

describe('a correction within the check-in', () => {
  it.each([
    'sorry 9 not 8',
    'i meant 9 not 8',
    'galti se 8 likha 9 hai',
    '8 nahi 9',
    'गलती से 8 लिखा 9 है',
    'चुकून 8 लिहिले 9 आहे',
    'sorry feeds 9',
    'sorry 9 3 6 4',
  ])('changes the one answer that it can mean, and asks on: %s', (text) => {
    const talk = asked();
    talk.text('8 3 6 4');
    const reply = talk.text(text);
    expect(reply).toContain(done('feeds', 8, 9));
    expect(reply).toContain(said('ask.check-in.body.ask'));
    expect(place(talk.state)).toBe('check-in/body');
    end(talk);
    expect(answers(talk)).toMatchObject({ 'feeds#0': 9, 'gap#0': 3, 'wet#0': 6, 'stools#0': 4, pain: 1 });
    expect(corrections(talk)).toEqual([expect.objectContaining({ field: 'feeds#0', from: 8, to: 9 })]);
  });

  it('is asked back where several answers can be meant, and changes the one that she names', () => {
    const talk = asked();
    talk.text('6 3 6 4');
    expect(talk.text('sorry 9 not 6')).toBe(said('ask.correct-which.which.ask'));
    const reply = talk.text('3');
    expect(reply).toContain(done('wet', 6, 9));
    expect(reply).toContain(said('ask.check-in.body.ask'));
    expect(running(talk)).toMatchObject({ 'feeds#0': 6, 'wet#0': 9 });
  });

  it.each(['i meant 9', 'no 9', 'sorry 9'])('that names no answer is asked back: %s', (text) => {
    const talk = asked();
    talk.text('8 3 6 4');
    expect(talk.text(text)).toBe(said('ask.correct-which.which.ask'));
    expect(talk.text('feeds')).toContain(done('feeds', 8, 9));
    expect(running(talk)).toMatchObject({ 'feeds#0': 9 });
  });

  it('is never taken from a text that can be the answer to what is asked', () => {
    const talk = asked();
    talk.text('8 3 6 4');
    talk.text('no 2');
    expect(corrections(talk)).toEqual([]);
    const other = asked();
    other.text('feeds 8 wet 6');
    other.text('sorry 3 4');
    expect(corrections(other)).toEqual([]);
  });

  it.each(['2 no 1', '1 nahi 2', 'pain 1 soft no', 'no pain', '1 1 no'])(
    'nor from an answer that holds a no: %s',
    (text) => {
      const talk = asked();
      talk.text('8 3 6 2');
      talk.text(text);
      expect(corrections(talk)).toEqual([]);
      expect(talk.state.mending ?? null).toBeNull();
    },
  );

  it('that cannot be is not made', () => {
    const talk = asked();
    talk.text('8 3 6 4');
    talk.text('i meant 25');
    expect(talk.text('2')).toContain(said('mend.not-so'));
    expect(running(talk)).toMatchObject({ 'gap#0': 3 });
  });

  it('hides no danger, nor a worry beside it', () => {
    const talk = asked();
    talk.text('8 3 6 4');
    talk.text('sorry 9 not 8 and my baby has a fit');
    expect(talk.alert().tier).toBe('A');
    expect(corrections(talk)).toEqual([]);
  });
});

describe('a correction after the feedback of the day', () => {
  const finished = (counts: string) => {
    const talk = asked();
    talk.text(counts);
    end(talk);
    expect(place(talk.state)).toBe('quiet');
    return talk;
  };

  it('changes the answer and gives the feedback anew', () => {
    const talk = finished('8 3 6 4');
    const reply = talk.text('sorry 9 not 8');
    expect(reply).toContain(done('feeds', 8, 9));
    expect(reply).toContain(said('feedback.good.wet-nappies-well'));
    expect(answers(talk)).toMatchObject({ 'feeds#0': 9, pain: 1 });
    expect(talk.state.mothers[0]?.checkIns).toHaveLength(1);
    expect(corrections(talk)).toEqual([expect.objectContaining({ from: 8, to: 9 })]);
  });

  it('raises what the right figures call for', () => {
    const talk = finished('8 3 6 4');
    expect(talk.openAlerts()).toEqual([]);
    talk.text('2 not 8');
    expect(talk.openAlerts().length).toBe(1);
    expect(talk.openAlerts()[0]?.tier).not.toBe('C');
  });

  it('lowers no alert: the counsellor is told of it, and the mother that she is called all the same', () => {
    const talk = finished('2 8 6 4');
    const { tier, code } = talk.alert();
    expect(['A', 'B']).toContain(tier);
    const before = talk.sent.length;
    const reply = talk.text('sorry 9 not 2');
    expect(talk.alert()).toMatchObject({ tier, stage: 'raised' });
    const told = talk.sent.slice(before).filter((m) => m.receiver === 'anita');
    expect(told.map((m) => m.body).join(' ')).toContain(`${code} Asha`);
    expect(told.map((m) => m.body).join(' ')).toContain('feeds 2 > 9');
    expect(talk.alert().steps.at(-1)).toMatchObject({ by: 'mother', note: 'feeds 2 > 9' });
    expect(reply).toContain('Anita');
  });

  it('is possible on the same day only', () => {
    const talk = finished('8 3 6 4');
    const later = conversation(talk.state, talk.now + day);
    later.text('sorry 9 not 8');
    expect(later.journal.map((j) => j.kind)).not.toContain('corrected');
  });

  it('leaves alone what was asked and answered since', () => {
    const talk = finished('8 3 6 4');
    talk.text('PERSON');
    talk.wait(day - 1);
    talk.text('1');
    for (const words of ['sorry 2', 'i meant 2', 'sorry 2 not 1']) {
      const again = conversation(talk.state, talk.now);
      again.text(words);
      expect(again.journal.map((j) => j.kind)).not.toContain('corrected');
      expect(again.state.mending ?? null).toBeNull();
    }
  });

  it('does not come between a question about danger and its answer', () => {
    const talk = finished('8 3 6 4');
    talk.text('cord is red');
    talk.text('no 9');
    expect(talk.state.mending ?? null).toBeNull();
    expect(talk.journal.map((j) => j.kind)).not.toContain('corrected');
  });

  it('of a weight changes the weight that is kept', () => {
    const talk = asked();
    talk.text('9 3 6 4');
    talk.text('1 1 no');
    expect(place(talk.state)).toBe('check-in/weigh');
    talk.text('2.8 1');
    const weights = () => talk.state.mothers[0]?.babies[0]?.weights.map((w) => w.grams);
    expect(weights()).toEqual([2800]);
    expect(talk.text('sorry 2.9 not 2.8')).toContain('2.90');
    expect(weights()).toEqual([2900]);
  });
});
