import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { expectTheSameOnEachStore, onEachStore } from './each-store.ts';
import { type JourneyLine, journeyLine, numbers, type Sent } from './journey-line.ts';
import { type Phone, phoneOf } from './people.ts';

const minute = 60_000;
const day = 86_400_000;
/** Monday 2 March 2026, 10:00 in India. */
const monday = Date.UTC(2026, 2, 2, 4, 30);

/** How a mother of each language joins and asks to be rung; and words of health that nobody else may hear. Invented words. */
const ways = [
  { code: 'en', born: '26 Feb Asha', byCall: 'by call', private: /baby|milk|\bfeed|nappies|Asha/i },
  { code: 'hi', born: '26 फरवरी आशा', byCall: 'फोन से पूछो', private: /बच्च|शिशु|दूध|आशा/u },
  { code: 'hi-Latn', born: '26 Feb Asha', byCall: 'phone se puchho', private: /बच्च|शिशु|दूध|Asha|आशा/u },
  { code: 'mr', born: '26 फेब्रुवारी आशा', byCall: 'फोनवर विचारा', private: /बाळ|दूध|आशा/u },
] as const;

describe.each(onEachStore(ways))(
  'a mother who listens, in $code, on $on',
  ({ code, born, byCall, private: ofHers, on }) => {
    let line: JourneyLine;
    let asha: Phone;
    const spoken = (key: string, values: Record<string, string | number> = {}) =>
      line.content.wording.say(key, values, code, 'voice');
    const calls = (): readonly Sent[] =>
      line.sent.filter((s) => s.kind === 'call' && s.to === numbers.mother);
    /** The carrier reports how the call that was placed last ended. */
    const ended = async (status: string): Promise<void> => {
      const id = calls().at(-1)?.id ?? '';
      const path = `/carrier/call-status?outbox=${encodeURIComponent(id)}`;
      const CallSid = `CA${Buffer.from(`${id} ${status}`).toString('hex').slice(-32)}`;
      await line.post(path, { CallSid, From: numbers.line, To: numbers.mother, CallStatus: status });
      await line.catchUp();
    };

    beforeEach(async () => {
      line = await journeyLine(monday, on);
      asha = phoneOf(line, numbers.mother, 'asha');
      await asha.text('JOIN');
      await asha.text(String(line.content.languages.indexOf(code) + 1));
      await asha.text(born);
      await asha.text('1 1 10');
      await asha.text('1 2.9');
      expect(await asha.text(byCall)).toBe(line.content.wording.say('rhythm.by-call', {}, code, 'text'));
      asha.received();
      await line.forward(day);
    });
    afterEach(() => line.close());

    it('is rung at her hour, says that it is she, and does her check-in by key without one text', async () => {
      expect(calls()).toHaveLength(1);
      expect(asha.received()).toEqual([]);
      const gate = await asha.answer();
      expect(gate.words).toBe(spoken('ring.gate', { programme: line.programme.name }));
      expect(gate.words).not.toMatch(ofHers);
      let step = await asha.press('1');
      expect(step.words).toContain(spoken('field.feeds.ask', { baby: spoken('baby.only') }));
      for (const keys of ['9#', '3#', '6#', '4#', '1', '1', '2', '3400#', '1', '1']) {
        if (step.keysTo === undefined) break;
        step = await asha.press(keys);
      }
      expect(step.keysTo).toBeUndefined();
      await ended('completed');
      await line.forward(8 * 60 * minute);
      expect(calls()).toHaveLength(1);
      const state = await line.state(numbers.mother);
      expect(state?.mothers[0]?.checkIns[0]?.answers).toMatchObject({ 'feeds#0': 9, 'wet#0': 6 });
      expect(line.troubles).toEqual([]);
    });

    it('goes on where a call broke off, and hears nothing of hers before the key again', async () => {
      await asha.answer();
      await asha.press('1');
      const second = await asha.press('9#');
      await ended('completed');
      await line.forward(2 * minute);
      expect(calls()).toHaveLength(2);
      expect((await asha.answer()).words).not.toMatch(ofHers);
      expect((await asha.press('1')).words).toBe(second.words);
    });

    it('is rung at another hour when nobody or a machine answers, which hears no word of hers', async () => {
      await ended('no-answer');
      await line.forward(61 * minute);
      expect(calls()).toHaveLength(2);
      const id = calls().at(-1)?.id ?? '';
      const machine = await line.post(`/carrier/answer?outbox=${encodeURIComponent(id)}`, {
        ...{ CallSid: `CA${'9'.repeat(32)}`, From: numbers.line, To: numbers.mother },
        ...{ CallStatus: 'in-progress', AnsweredBy: 'machine_start' },
      });
      const twiml = await machine.text();
      expect(twiml).toContain('<Hangup/>');
      expect(twiml).not.toContain('<Say');
      await ended('completed');
      await line.forward(181 * minute);
      expect(calls()).toHaveLength(3);
      expect(asha.received()).toEqual([]);
    });

    it('is written to again when she asks for texts', async () => {
      await asha.answer();
      await asha.press('1');
      const menu = line.content.wording;
      await asha.press('*');
      await asha.press('9');
      const step = await asha.press('7');
      expect(step.words).toContain(menu.say('rhythm.by-text', {}, code, 'voice'));
      expect((await line.state(numbers.mother))?.mothers[0]?.askedBy).toBe('text');
    });
  },
);

expectTheSameOnEachStore();
