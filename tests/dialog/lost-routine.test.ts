import { describe, expect, it } from 'vitest';
import {
  type Conversation,
  conversation,
  day,
  enrolled,
  hour,
  minute,
  monday,
  said,
} from './conversation.ts';

/** The latest text of that purpose to her. */
function latest(talk: Conversation, purpose: 'check-in' | 'tip') {
  const found = talk.sent.findLast((m) => m.receiver === 'line' && m.purpose === purpose);
  if (found === undefined) throw new Error(`no ${purpose} went out`);
  return found;
}
const tips = (talk: Conversation) =>
  talk.journal.filter((j) => j.kind === 'tip').map((j) => (j.body as { tip: string }).tip);
const missed = (talk: Conversation) => talk.state.mothers[0]?.missed;
const reasons = (talk: Conversation) => talk.openAlerts().flatMap((a) => a.reasons);
/** Each day's questions are lost within the hour. */
function loseQuestions(talk: Conversation, days: number, fault: 'unreachable' | 'unknown' = 'unknown') {
  for (let i = 0; i < days * 24; i++) {
    const before = talk.sent.length;
    talk.wait(hour);
    for (const message of talk.sent.slice(before))
      if (message.purpose === 'check-in' && message.receiver === 'line')
        talk.receipt(message.id, i % 48 < 24 ? 'undelivered' : 'not-sent', { fault, message });
  }
}
/** Asha's baby is six weeks old: asked less often, and her tips come once a week. */
const older = () => enrolled({ born: '15 Jan Asha' });

describe('a tip that the carrier lost', () => {
  it('counts as not told: it comes again the next day, not a week later', () => {
    const talk = older();
    talk.wait(day + 6 * hour);
    const message = latest(talk, 'tip');
    const [first] = tips(talk);
    talk.receipt(message.id, 'undelivered', { fault: 'unreachable', message });
    expect(talk.state.mothers[0]?.tipsTold).not.toContain(first);
    talk.wait(day);
    expect(tips(talk)).toEqual([first, first]);
    expect(latest(talk, 'tip').body).toBe(message.body);
  });

  it('is not told twice when the handset had it after all', () => {
    const talk = older();
    talk.wait(day + 6 * hour);
    const message = latest(talk, 'tip');
    const [first] = tips(talk);
    talk.receipt(message.id, 'undelivered', { message });
    talk.receipt(message.id, 'delivered', { message });
    talk.wait(20 * day);
    expect(tips(talk).filter((t) => t === first)).toHaveLength(1);
  });

  it('stays told while it may have gone out', () => {
    const talk = older();
    talk.wait(day + 6 * hour);
    const message = latest(talk, 'tip');
    talk.receipt(message.id, 'not-sent', { message, mayHaveBeenSent: true });
    expect(talk.state.mothers[0]?.tipsTold).toEqual(tips(talk));
  });

  it('that arrived is left alone, and told once', () => {
    const talk = older();
    talk.wait(day + 6 * hour);
    const message = latest(talk, 'tip');
    talk.receipt(message.id, 'delivered', { message });
    talk.wait(10 * day);
    expect(new Set(tips(talk)).size).toBe(tips(talk).length);
  });
});

describe('a check-in question that the carrier lost', () => {
  it('is not her silence, and she is asked the next day', () => {
    const talk = older();
    loseQuestions(talk, 1);
    const asks = () => talk.journal.filter((j) => j.kind === 'check-in-asked').length;
    expect(asks()).toBe(1);
    talk.wait(day);
    expect(asks()).toBe(2);
    expect(missed(talk)).toBe(0);
    expect(talk.journal.map((j) => j.kind)).toContain('check-in-not-reached');
  });

  it('is taken back from her silences when the word of it comes late', () => {
    const talk = enrolled();
    talk.wait(day);
    const message = latest(talk, 'check-in');
    talk.wait(day);
    expect(missed(talk)).toBe(1);
    talk.receipt(message.id, 'undelivered', { fault: 'unreachable', message });
    expect(missed(talk)).toBe(0);
    talk.receipt(message.id, 'failed', { fault: 'unreachable', message });
    expect(missed(talk)).toBe(0);
  });

  it('that arrived and is not answered is her silence, as ever', () => {
    const talk = enrolled();
    for (let i = 0; i < 3; i++) {
      talk.wait(day);
      const message = latest(talk, 'check-in');
      talk.receipt(message.id, 'delivered', { message });
    }
    talk.wait(day);
    expect(missed(talk)).toBe(3);
    expect(reasons(talk)).toContain('silent');
  });

  it('that arrived after all counts again', () => {
    const talk = enrolled();
    loseQuestions(talk, 1);
    const message = latest(talk, 'check-in');
    talk.receipt(message.id, 'delivered', { message });
    talk.wait(day);
    expect(missed(talk)).toBe(1);
  });

  it.each([
    ['of a baby of six weeks: on the list', older, 'C'],
    ['of a newborn: on the same day', () => enrolled(), 'B'],
  ])('on three days is told to a person, as what it is, %s', (_, begin, tier) => {
    const talk = begin();
    loseQuestions(talk, 2);
    expect(reasons(talk)).not.toContain('unreachable');
    loseQuestions(talk, 1);
    expect(reasons(talk)).toContain('unreachable');
    expect(talk.alert().tier).toBe(tier);
    loseQuestions(talk, 4);
    expect(reasons(talk)).not.toContain('silent');
    expect(missed(talk)).toBe(0);
    expect(talk.openAlerts()).toHaveLength(1);
  });

  it('with an urgent concern open is told to who has it on the same day', () => {
    const talk = enrolled();
    talk.text('PERSON');
    const { code } = talk.alert();
    talk.counsellor('anita', { kind: 'acknowledge', code });
    talk.wait(day - hour);
    talk.text('3');
    const before = talk.sent.length;
    talk.wait(hour + minute);
    const message = latest(talk, 'check-in');
    talk.receipt(message.id, 'undelivered', { fault: 'unknown', message });
    const told = talk.sent.slice(before).filter((m) => m.receiver === 'anita');
    expect(told.map((m) => m.body).join(' ')).toContain(said('reason.unreachable'));
  });

  it('to a number that does not exist is no silence either', () => {
    const talk = enrolled();
    talk.wait(day);
    const message = latest(talk, 'check-in');
    talk.receipt(message.id, 'failed', { fault: 'wrong-number', message });
    talk.wait(6 * day);
    expect(reasons(talk)).toEqual(['number-dead']);
    expect(missed(talk)).toBe(0);
  });

  it.each([
    ['that the carrier could not place is no silence', 'failed', 0],
    ['that rang and nobody took is her silence', 'no-answer', 1],
  ])('asked by call, %s', (_, status, silences) => {
    const talk = enrolled();
    talk.text('BY CALL');
    talk.wait(day + minute);
    for (let tries = 0; tries < 5; tries++) {
      const call = talk.sent.findLast((m) => m.channel === 'call' && m.receiver === 'line');
      talk.ended(call?.id ?? '', status);
      talk.wait(3 * hour);
    }
    talk.wait(12 * hour);
    expect(missed(talk)).toBe(silences);
  });

  it('in a state of an older build changes nothing that was not known', () => {
    const talk = enrolled();
    talk.wait(day);
    const message = latest(talk, 'check-in');
    const { routineSent, ...older } = talk.state;
    expect(routineSent).toHaveLength(1);
    const later = conversation(older, monday + day + hour);
    later.receipt(message.id, 'undelivered', { fault: 'unreachable', message });
    later.wait(day);
    expect(later.state.mothers[0]?.missed).toBe(1);
  });
});
