import { describe, expect, it } from 'vitest';
import type { CarrierFault } from '../../src/channels/carrier.ts';
import type { OutboxMessage } from '../../src/store/store.ts';
import { type Conversation, conversation, enrolled } from './conversation.ts';

const minute = 60_000;
const hour = 60 * minute;

const calls = (talk: Conversation) =>
  talk.sent.filter((m) => m.channel === 'call' && m.receiver.startsWith('line'));
const lastCall = (talk: Conversation): OutboxMessage => {
  const call = calls(talk).at(-1);
  if (call === undefined) throw new Error('nobody was called');
  return call;
};
const fever = 'baby has fever';

/** The safety reply that was just given, by the id that its receipts have. */
const replyId = (talk: Conversation): string => {
  const { reply } = talk.last.outcome;
  return (reply.kind === 'text' ? reply.receiptId : undefined) ?? 'none';
};

describe('a safety text', () => {
  let talk: Conversation;
  const told = (): Conversation => {
    talk = enrolled();
    talk.text(fever);
    return talk;
  };

  it('is left at that when it was delivered', () => {
    told().receipt(replyId(talk), 'delivered');
    talk.wait(hour);
    expect(calls(talk)).toEqual([]);
  });

  it('becomes a call after two minutes without word, also when only "sent" is known', () => {
    told().receipt(replyId(talk), 'sent');
    talk.wait(119_000);
    expect(calls(talk)).toEqual([]);
    talk.wait(1_000);
    expect(lastCall(talk)).toMatchObject({ purpose: 'safety', priority: 0, to: talk.state.phone });
  });

  it('becomes a call at once when it failed, even though "delivered" of an older message comes late', () => {
    const old = replyId(told());
    talk.receipt(old, 'delivered');
    talk.text('baby has fits now');
    talk.receipt(replyId(talk), 'undelivered', { fault: 'unreachable' });
    talk.receipt(old, 'delivered');
    expect(calls(talk)).toHaveLength(1);
  });

  it('says nothing of hers before a key says that it is she, then the very words, and again on 1', () => {
    const words = told().last.outcome.reply;
    talk.wait(2 * minute);
    const gate = talk.answer(lastCall(talk).id);
    expect(gate).toContain('press 1');
    expect(gate).not.toMatch(/baby|fever|milk|\bfeed|danger|112/i);
    const heard = talk.keys('1').words;
    const first = words.kind === 'text' ? (words.body.split(/[.\n]/)[0] ?? '?') : '?';
    expect(heard).toContain(first);
    expect(heard).toContain('112');
    expect(talk.keys('1').words).toContain(first);
    expect(talk.keys('').over).toBe(true);
    talk.ended(lastCall(talk).id, 'completed');
    talk.wait(hour);
    expect(calls(talk)).toHaveLength(1);
  });

  it('is tried again when nobody answers, and then the counsellor who has the alert is told', () => {
    told();
    for (const wait of [2, 2, 5, 10]) {
      talk.wait(wait * minute);
      talk.ended(lastCall(talk).id, 'no-answer');
    }
    expect(calls(talk)).toHaveLength(4);
    const notice = talk.sent.filter((m) => m.body.includes('may not have got our safety message'));
    expect(notice).toHaveLength(1);
    expect(notice[0]).toMatchObject({ purpose: 'alert', receiver: expect.stringMatching(/^[a-z]+$/) });
    expect(talk.alert().reasons).toContain('safety-not-heard');
  });

  it('is not rung for any more once a person has closed what it was about', () => {
    told();
    talk.wait(2 * minute);
    talk.ended(lastCall(talk).id, 'no-answer');
    talk.counsellor('anita', { kind: 'resolve', code: talk.alert().code, outcome: 'reached-care', note: '' });
    talk.wait(hour);
    expect(calls(talk)).toHaveLength(1);
    expect(talk.openAlerts()).toEqual([]);
  });

  it('that was delivered after all ends the ringing', () => {
    const id = replyId(told());
    talk.wait(2 * minute);
    talk.ended(lastCall(talk).id, 'busy');
    talk.receipt(id, 'delivered');
    talk.wait(hour);
    expect(calls(talk)).toHaveLength(1);
  });

  it('reaches by call also a number that is not enrolled, and one that stopped', () => {
    const stranger = conversation();
    stranger.text('my baby has a fit');
    stranger.wait(2 * minute);
    stranger.answer(lastCall(stranger).id);
    expect(stranger.keys('1').words).toContain('112');
    const gone = enrolled();
    gone.text('STOP');
    gone.text(fever);
    gone.wait(2 * minute);
    gone.answer(lastCall(gone).id);
    expect(gone.keys('1').words).toContain('112');
  });

  it('is asked about on the call when it was a question', () => {
    talk = enrolled();
    talk.text('baby vomits');
    expect(talk.state.unconfirmed).not.toBeNull();
    talk.wait(2 * minute);
    talk.answer(lastCall(talk).id);
    expect(talk.keys('1').words).toMatch(/press 1/i);
    talk.keys('1');
    expect(talk.alert()).toMatchObject({ tier: 'A', confirmed: true });
  });
});

describe('a machine or somebody else', () => {
  it('hears not a word, or only who calls, and she is rung again', () => {
    const talk = enrolled();
    talk.text(fever);
    talk.wait(2 * minute);
    expect(talk.answer(lastCall(talk).id, 'machine')).toBe('');
    expect(talk.last.outcome.reply.kind).toBe('say-and-end');
    talk.ended(lastCall(talk).id, 'completed');
    talk.wait(2 * minute);
    expect(calls(talk)).toHaveLength(2);
    talk.answer(lastCall(talk).id);
    expect(talk.keys('').over).toBe(false);
    const end = talk.keys('7');
    expect(end.over).toBe(true);
    expect(end.words).not.toMatch(/baby|fever|\bfeed|112/i);
    expect(talk.state.safetyText).not.toBeNull();
  });

  it('hears only who calls also in an earlier call that is answered late, or one that nothing is rung for any more', () => {
    const talk = enrolled();
    talk.text(fever);
    talk.wait(2 * minute);
    const earlier = lastCall(talk).id;
    // No word of the first for so long that the next is placed: then the first is picked up after all.
    talk.wait(6 * minute);
    expect(lastCall(talk).id).not.toBe(earlier);
    expect(talk.answer(earlier)).not.toMatch(/baby|fever|\bfeed|112/i);
    expect(talk.keys('1').words).toContain('112');
    talk.keys('');
    talk.ended(earlier, 'completed');
    expect(talk.state.calling).toBeNull();
    expect(talk.answer(earlier)).not.toMatch(/baby|fever|\bfeed|112/i);
    const before = calls(talk).length;
    talk.ended(earlier, 'completed');
    talk.wait(hour);
    expect(calls(talk)).toHaveLength(before);
  });
});

describe('her number', () => {
  const failed = (talk: Conversation, fault: CarrierFault) => {
    const text = talk.sent.filter((m) => m.receiver === 'line' && m.channel === 'text').at(-1);
    if (text === undefined) throw new Error('nothing was sent');
    talk.receipt(text.id, 'undelivered', { fault, message: text });
  };
  const asked = (): Conversation => {
    const talk = enrolled();
    talk.wait(24 * hour);
    return talk;
  };

  it.each([
    ['wrong-number', 'number-dead'],
    ['landline', 'no-texts'],
    ['opted-out', 'stopped-at-carrier'],
  ] as const)('%s is on the list of whom to reach, once', (fault, reason) => {
    const talk = asked();
    failed(talk, fault);
    expect(talk.openAlerts()).toMatchObject([{ tier: 'C', reasons: [reason] }]);
    talk.wait(72 * hour);
    expect(talk.openAlerts().filter((a) => a.reasons.includes(reason))).toHaveLength(1);
  });

  it('that takes no texts is asked by call from then on', () => {
    const talk = asked();
    failed(talk, 'landline');
    const before = talk.sent.length;
    talk.wait(24 * hour);
    const news = talk.sent.slice(before).filter((m) => m.purpose === 'check-in');
    expect(news.length).toBeGreaterThan(0);
    expect(news.every((m) => m.channel === 'call')).toBe(true);
  });

  it('that stopped us at the carrier is stopped: nothing more is sent of our own accord', () => {
    const talk = asked();
    failed(talk, 'opted-out');
    expect(talk.state.standing).toBe('stopped');
    expect(talk.wait(10 * 24 * hour)).toEqual([]);
  });

  it('that is dead gets nothing routine until a person closed it, or she writes', () => {
    const talk = asked();
    failed(talk, 'wrong-number');
    expect(talk.wait(3 * 24 * hour)).toEqual([]);
    talk.text('hello');
    expect(talk.state.number).toBeNull();
    expect(talk.wait(3 * 24 * hour).length).toBeGreaterThan(0);
  });

  it('that was off on three days is told; two days, or one with a delivery between, are not', () => {
    const talk = asked();
    const off = (days: number) => {
      for (let i = 0; i < days; i++) {
        failed(talk, 'unreachable');
        talk.wait(24 * hour);
      }
    };
    off(2);
    const text = talk.sent.filter((m) => m.receiver === 'line').at(-1);
    talk.receipt(text?.id ?? '', 'delivered', text === undefined ? {} : { message: text });
    talk.wait(24 * hour);
    off(2);
    expect(talk.openAlerts().flatMap((a) => a.reasons)).not.toContain('unreachable');
    off(1);
    expect(talk.openAlerts().flatMap((a) => a.reasons)).toContain('unreachable');
  });

  it('of a mother with an open alert is texted to whoever is to answer it', () => {
    const talk = enrolled();
    talk.text(fever);
    const before = talk.sent.length;
    talk.receipt(replyId(talk), 'undelivered', { fault: 'wrong-number' });
    const news = talk.sent.slice(before).filter((m) => m.purpose === 'alert');
    expect(news).toMatchObject([{ channel: 'text', body: expect.stringContaining('number does not exist') }]);
    expect(news[0]?.body).toContain(talk.alert().code);
  });
});

describe('what did not reach a phone that was off', () => {
  it('is sent again after an hour and after six when a person waits for it, a check-in never', () => {
    const talk = enrolled();
    talk.text(fever);
    talk.receipt(replyId(talk), 'delivered');
    talk.counsellor('anita', { kind: 'say', code: talk.alert().code, words: 'Please come at ten' });
    const first = talk.sent.at(-1);
    if (first === undefined) throw new Error('nothing was sent');
    talk.receipt(first.id, 'undelivered', { fault: 'unreachable', message: first });
    const second = talk.sent.at(-1);
    expect(second).toMatchObject({ body: first.body, channel: 'text', receiver: 'line' });
    expect(second?.id).not.toBe(first.id);
    expect((second?.notBefore ?? 0) - talk.now).toBeGreaterThanOrEqual(hour);
    const third = again(talk, second);
    expect((third?.notBefore ?? 0) - talk.now).toBeGreaterThanOrEqual(6 * hour);
    expect(again(talk, third)).toBe(third);
  });

  const again = (talk: Conversation, message: OutboxMessage | undefined) => {
    if (message === undefined) throw new Error('nothing was sent');
    talk.receipt(message.id, 'undelivered', { fault: 'unreachable', message });
    return talk.sent.at(-1);
  };
});

describe('the text of an alert to a counsellor', () => {
  const raised = (): { talk: Conversation; text: OutboxMessage } => {
    const talk = enrolled();
    talk.text(fever);
    talk.receipt(replyId(talk), 'delivered');
    const text = talk.sent.find((m) => m.purpose === 'alert' && m.channel === 'text');
    if (text === undefined) throw new Error('nobody was told');
    return { talk, text };
  };
  const alertsSent = (talk: Conversation) => talk.sent.filter((m) => m.purpose === 'alert');

  it('that was not delivered climbs within half a minute, by call too, however often that is told', () => {
    const { talk, text } = raised();
    for (let i = 0; i < 3; i++) talk.receipt(text.id, 'undelivered', { fault: 'unreachable', message: text });
    talk.wait(30_000);
    const next = alertsSent(talk).slice(1);
    expect(next.map((m) => m.channel).sort()).toEqual(['call', 'text']);
    expect(next.every((m) => m.to !== text.to)).toBe(true);
  });

  it('that was delivered does not climb for a "sent" or "undelivered" that comes late', () => {
    const { talk, text } = raised();
    talk.receipt(text.id, 'delivered', { message: text });
    expect(talk.alert().stage).toBe('notified');
    talk.receipt(text.id, 'sent', { message: text });
    talk.receipt(text.id, 'undelivered', { fault: 'unknown', message: text });
    talk.wait(60_000);
    expect(alertsSent(talk)).toHaveLength(1);
  });

  it('never says anything about the number of the mother', () => {
    const { talk, text } = raised();
    talk.receipt(text.id, 'undelivered', { fault: 'wrong-number', message: text });
    expect(talk.state.number ?? null).toBeNull();
    expect(talk.alert().reasons).not.toContain('number-dead');
  });
});
