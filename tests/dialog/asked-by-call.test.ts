import { describe, expect, it } from 'vitest';
import { readFileSync } from 'node:fs';
import { parse } from 'yaml';
import type { OutboxMessage } from '../../src/store/store.ts';
import { calendar, type Conversation, day, enrolled, hour, minute, place } from './conversation.ts';

const calls = (talk: Conversation) =>
  talk.sent.filter((m) => m.channel === 'call' && m.receiver.startsWith('line'));
const lastCall = (talk: Conversation): OutboxMessage => {
  const call = calls(talk).at(-1);
  if (call === undefined) throw new Error('nobody was called');
  return call;
};

/** A mother who is asked by call, just after her first such call was placed. */
function rung(): Conversation {
  const talk = enrolled();
  talk.text('BY CALL');
  while (calls(talk).length === 0) talk.wait(hour);
  return talk;
}

describe('a mother who prefers to listen', () => {
  it.each(['en', 'hi', 'hi-Latn', 'mr'])('says so in any word of %s, and back', (language) => {
    const words = parse(readFileSync(`locales/${language}/commands.yaml`, 'utf8')) as Record<
      string,
      string[]
    >;
    for (const word of words['by-call'] ?? ['none']) {
      const talk = enrolled();
      talk.text(word);
      expect(talk.state.mothers[0]?.askedBy, word).toBe('call');
      talk.text(words['by-text']?.[0] ?? 'none');
      expect(talk.state.mothers[0]?.askedBy).toBe('text');
    }
  });

  it('says so by key on a call', () => {
    const talk = enrolled();
    talk.ring();
    talk.answer(lastCall(talk).id);
    talk.keys('*');
    talk.keys('9');
    expect(talk.keys('6').words).toContain('ring you');
    expect(talk.state.mothers[0]?.askedBy).toBe('call');
  });

  it('is rung at her hour in place of the text, in the hours in which the line may write', () => {
    const talk = rung();
    expect(talk.sent.filter((m) => m.purpose === 'check-in' && m.channel === 'text')).toEqual([]);
    const at = calendar.minuteOfDay(lastCall(talk).notBefore);
    expect(at).toBeGreaterThanOrEqual(8 * 60);
    expect(at).toBeLessThan(20 * 60);
    expect(lastCall(talk).sendBefore).not.toBeNull();
  });

  it('answers the whole check-in by key, and is not rung again that day', () => {
    const talk = rung();
    const gate = talk.answer(lastCall(talk).id);
    expect(gate).not.toMatch(/baby|\bfeed|milk|nappies/i);
    expect(talk.keys('1').words).toMatch(/feed/i);
    let over = false;
    for (const keys of ['9', '3', '6', '4', '1', '1', '2', '3400', '1', '1', '1']) {
      if (over) break;
      over = talk.keys(keys).over;
    }
    expect(over).toBe(true);
    expect(talk.state.mothers[0]?.checkIns).toHaveLength(1);
    talk.ended(lastCall(talk).id, 'completed');
    const before = calls(talk).length;
    talk.wait(8 * hour);
    expect(calls(talk)).toHaveLength(before);
    expect(talk.state.calling).toBeNull();
  });

  it.each(['busy', 'no-answer', 'failed'])(
    'is tried at other hours of the day after %s, never in the night',
    (status) => {
      const talk = rung();
      const times: number[] = [lastCall(talk).notBefore];
      for (let i = 0; i < 12; i++) {
        talk.ended(lastCall(talk).id, status);
        const before = calls(talk).length;
        talk.wait(45 * minute);
        if (calls(talk).length > before) times.push(lastCall(talk).notBefore);
      }
      expect(times.length).toBeGreaterThanOrEqual(3);
      expect(new Set(times.map((at) => Math.floor(calendar.minuteOfDay(at) / 60))).size).toBe(times.length);
      for (const at of times) {
        expect(calendar.minuteOfDay(at)).toBeGreaterThanOrEqual(8 * 60);
        expect(calendar.minuteOfDay(at)).toBeLessThan(20 * 60);
      }
    },
  );

  it('who is never reached counts as silent, as with texts', () => {
    const talk = rung();
    talk.wait(2 * day);
    expect(talk.state.mothers[0]?.missed).toBeGreaterThan(0);
  });

  it('hears the next question when a call broke off, and nothing twice', () => {
    const talk = rung();
    talk.answer(lastCall(talk).id);
    talk.keys('1');
    const second = talk.keys('9').words;
    const stood = place(talk.state);
    talk.ended(lastCall(talk).id, 'completed');
    const before = calls(talk).length;
    talk.wait(minute);
    expect(calls(talk)).toHaveLength(before + 1);
    talk.answer(lastCall(talk).id);
    expect(talk.keys('1').words).toContain(second.slice(-40));
    expect(place(talk.state)).toBe(stood);
  });

  it('is not rung for its questions once she has told of a danger', () => {
    const talk = rung();
    talk.answer(lastCall(talk).id);
    talk.keys('1');
    talk.ended(lastCall(talk).id, 'completed');
    talk.text('my baby has a fit');
    const reply = talk.last.outcome.reply;
    talk.receipt(reply.kind === 'text' ? (reply.receiptId ?? '') : '', 'delivered');
    const before = calls(talk).length;
    talk.wait(hour);
    expect(calls(talk)).toHaveLength(before);
  });

  it('is not rung a third time for a call that keeps breaking off', () => {
    const talk = rung();
    const first = calls(talk).length;
    for (let i = 0; i < 6; i++) {
      const id = lastCall(talk).id;
      if (talk.state.calling === null) break;
      talk.answer(id);
      talk.keys('1');
      talk.ended(id, 'completed');
      talk.wait(2 * minute);
    }
    expect(calls(talk).length - first).toBe(2);
  });

  it('whom the counsellor closed the question for by text is not rung for it', () => {
    const talk = rung();
    talk.text('9 3 6 4');
    talk.text('1 1 0');
    talk.text('3.4 1');
    expect(place(talk.state)).toBe('quiet');
    const before = calls(talk).length;
    talk.wait(3 * hour);
    expect(calls(talk)).toHaveLength(before);
  });
});

describe('a call back', () => {
  it('asks at once when she answers it, and is gated when it comes late', () => {
    const talk = enrolled();
    talk.ring();
    expect(talk.answer(lastCall(talk).id)).toMatch(/feed|nappies|hour/i);
    const late = enrolled();
    late.ring();
    late.wait(5 * minute);
    expect(late.answer(lastCall(late).id)).toContain('press 1');
  });

  it('is tried once more when her phone was busy', () => {
    const talk = enrolled();
    talk.ring();
    talk.ended(lastCall(talk).id, 'busy');
    talk.wait(3 * minute);
    expect(calls(talk)).toHaveLength(2);
    talk.ended(lastCall(talk).id, 'busy');
    talk.wait(20 * minute);
    expect(calls(talk)).toHaveLength(2);
  });
});
