import { afterEach, describe, expect, it } from 'vitest';
import { expectTheSameOnEachStore, type JourneyStore, journeyStores } from './each-store.ts';
import { type JourneyLine, journeyLine, numbers } from './journey-line.ts';
import { phoneOf } from './people.ts';
import { monday } from './the-week.ts';

const minute = 60_000;
const hour = 60 * minute;

const open: JourneyLine[] = [];
afterEach(async () => {
  for (const line of open.splice(0)) await line.close();
});

/** A line with one mother on it, and the phones of both counsellors. Anita is on duty, Mary leads. */
async function started(on: JourneyStore) {
  const line = await journeyLine(monday, on);
  open.push(line);
  const said = (key: string, values: Record<string, string | number> = {}) =>
    line.content.wording.say(key, values, 'en', 'text');
  const asha = phoneOf(line, numbers.mother, 'asha');
  const anita = phoneOf(line, numbers.anita, 'anita');
  const mary = phoneOf(line, numbers.mary, 'mary');
  const enrol = async () => {
    const menu = await asha.text('JOIN');
    const english = /(\d+)\s+English\b/.exec(menu)?.[1];
    if (english !== undefined) await asha.text(english);
    for (const text of ['26 Feb Asha', '1 1 10', '1 2.9 Tara']) await asha.text(text);
    expect((await line.state(numbers.mother))?.mothers).toHaveLength(1);
  };
  const alert = async () => (await line.state(numbers.mother))?.alerts.at(-1);
  const codeIn = (text: string | undefined) => /\b\d{4}\b/.exec(text ?? '')?.[0] ?? 'none';
  return { line, said, asha, anita, mary, enrol, alert, codeIn };
}

describe.each(journeyStores)('a counsellor with a basic phone, on %s', (on) => {
  it('has everything that she needs in an emergency with texts alone', async () => {
    const { line, said, asha, anita, mary, enrol, alert, codeIn } = await started(on);
    await enrol();
    await line.forward(24 * hour);
    await asha.text('9 3 6 4');
    await asha.text('1 1 0');
    await asha.text('3.0 1');
    asha.received();

    // She is told, and lists, and takes it.
    await asha.text('my baby has a fit');
    const [told] = anita.received();
    const code = codeIn(told);
    expect(told).toContain(numbers.mother);
    expect((await alert())?.stage).toBe('notified');
    expect(await anita.text('list')).toContain(code);
    expect(await anita.text(code)).toContain(numbers.mother);
    expect((await alert())?.acknowledgedBy).toBe('anita');

    // Two at once: the other is told who has it.
    expect(await mary.text(code)).toBe(said('counsellor.has-it', { code, name: 'Anita' }));

    // What the mother last answered.
    const answers = await anita.text(`${code} ?`);
    for (const part of ['feeds 9', 'gap 3', 'wet 6', 'stools 4', '3 kg 0 g', 'my baby has a fit'])
      expect(answers).toContain(part);

    // A message to the mother, which says whom it is from; one that is too long is not sent at all.
    expect(await anita.text(`${code} say Are you on the way?`)).toContain('Asha');
    expect(asha.received()).toEqual([
      said('counsellor.says', { name: 'Anita', programme: 'Eightfeeds', words: 'Are you on the way?' }),
    ]);
    expect(await anita.text(`${code} say ${'go to the clinic now '.repeat(20)}`)).toContain('Not sent');
    expect(asha.received()).toEqual([]);

    // Hand-over: open until Mary takes it, and it climbs meanwhile.
    expect(await anita.text(`${code} give nobody`)).toBe(
      said('counsellor.nobody-named', { name: 'nobody', names: 'Mary' }),
    );
    expect(await anita.text(`${code} give mary`)).toContain('Mary');
    const [given] = mary.received();
    expect(given).toContain(said('counsellor.given', { from: 'Anita' }));
    expect(given).toContain(code);
    expect((await alert())?.acknowledgedBy).toBeNull();
    await line.forward(5 * minute);
    expect(mary.received()).toHaveLength(1);
    expect(await mary.text(code)).toContain(numbers.mother);
    await line.forward(20 * minute);
    // It climbs no more. No receipt comes in this journey: that she may not have read our safety words is told all the same.
    const since = [...mary.received(), ...anita.received()];
    expect(since.filter((text) => !text.includes('may not have got our safety message'))).toEqual([]);

    // A note, closing, opening again, closing for good.
    expect(await mary.text(`${code} she is in the ambulance`)).toContain('Noted');
    expect(await mary.text(`${code} 1 admitted`)).toContain(said('outcome.reached-care'));
    expect(await mary.text(`${code} open`)).toContain(numbers.mother);
    expect((await alert())?.stage).toBe('acknowledged');
    expect(await mary.text(`${code} 1 admitted`)).toContain(said('outcome.reached-care'));
    expect(await anita.text('LIST')).toBe(said('counsellor.none-open'));

    // Each step is timed and signed.
    const steps = (await alert())?.steps.map((s) => `${s.what} ${s.by}`);
    expect(steps).toEqual([
      'raised line',
      'notified line',
      'acknowledged anita',
      'handed-over anita',
      'notified line',
      'acknowledged mary',
      'note mary',
      'resolved mary',
      'reopened mary',
      'acknowledged mary',
      'resolved mary',
    ]);
    expect(line.troubles).toEqual([]);
  });

  it('is told on one line what she can send, for whatever cannot be read', async () => {
    const { said, anita } = await started(on);
    for (const text of ['hello', 'why 1', '', '!!!', 'thank you', 'ok?'])
      expect((await anita.text(text)).split('\n').at(-1)).toBe(said('counsellor.commands'));
    expect(await anita.text('hello')).toBe(said('counsellor.commands'));
    for (const [text, meant] of [
      ['482', said('counsellor.four-digits')],
      ['12345', said('counsellor.four-digits')],
      ['lst', said('counsellor.meant', { word: 'LIST' })],
      ['lsit', said('counsellor.meant', { word: 'LIST' })],
      ['enrll +447700900150 5 Nov 2.9 en', said('counsellor.meant', { word: 'ENROL' })],
      ['give mary', said('counsellor.code-first', { word: 'GIVE' })],
      ['gvie mary', said('counsellor.code-first', { word: 'GIVE' })],
    ] as const)
      expect([text, await anita.text(text)]).toEqual([text, `${meant}\n${said('counsellor.commands')}`]);
    for (const text of ['4821', '4821 ?', '4821 3', '4821 say hello', '4821 give mary', '4821 open'])
      expect(await anita.text(text)).toBe(said('counsellor.no-alert', { code: '4821' }));
  });

  it('does not write to a mother who stopped the line', async () => {
    const { said, asha, anita, enrol, codeIn } = await started(on);
    await enrol();
    await asha.text('my baby has a fit');
    const code = codeIn(anita.received()[0]);
    await asha.text('STOP');
    asha.received();
    expect(await anita.text(`${code} say Please call me`)).toContain(numbers.mother);
    expect(asha.received()).toEqual([]);
    expect(said('counsellor.stopped', { who: '', phone: '' })).toContain('Not sent');
  });
});

describe.each(journeyStores)('off duty, on %s', (on) => {
  it('the lead is told instead, the mother hears the truth, and "on" brings her back', async () => {
    const { line, said, asha, anita, mary, enrol, codeIn } = await started(on);
    await enrol();
    expect(await anita.text('OFF')).toBe(said('counsellor.off-last', { time: '22:00', name: 'Mary' }));
    await line.catchUp();
    expect(mary.received()).toEqual([said('counsellor.lead-now', { name: 'Anita', time: '22:00' })]);
    const reply = await asha.text('my baby has a fit');
    expect(reply).toContain(said('safety.nobody-on-duty', { name: 'Mary' }));
    expect(reply).not.toContain(said('safety.told', { name: 'Anita' }));
    expect(anita.received()).toEqual([]);
    const code = codeIn(mary.received()[0]);
    // She may be asleep: a call goes with it.
    expect(line.sent.filter((s) => s.kind === 'call').map((s) => s.to)).toEqual([numbers.mary]);
    await mary.text(`${code} 1`);
    expect(await anita.text('on')).toBe(said('counsellor.on'));
    expect(await asha.text('my baby has a fit')).toContain(said('safety.told', { name: 'Anita' }));
    expect(anita.received()).toHaveLength(1);
  });

  it('the lead herself cannot go off: alerts must come to somebody', async () => {
    const { said, mary } = await started(on);
    expect(await mary.text('off')).toBe(said('counsellor.off-lead'));
  });

  it('she hears which alerts she still has', async () => {
    const { asha, anita, enrol, codeIn } = await started(on);
    await enrol();
    await asha.text('my baby has a fit');
    const code = codeIn(anita.received()[0]);
    await anita.text(code);
    expect(await anita.text('off')).toContain(code);
  });
});

describe.each(journeyStores)('enrolling a mother, on %s', (on) => {
  const asked = `ENROL ${numbers.stranger} 26 Feb 2.9 en`;

  it('asks the mother herself, and begins with what is known once she agrees', async () => {
    const { line, said, anita } = await started(on);
    const meera = phoneOf(line, numbers.stranger, 'meera');
    const reply = await anita.text(asked);
    expect(reply).toContain(said('counsellor.invited', { phone: numbers.stranger, number: 7 }));
    expect(reply).toContain('26-2: 2 kg 900 g');
    expect(meera.received()).toEqual([
      said('invitation-from', { name: 'Anita', programme: 'Eightfeeds', emergency: '112' }),
    ]);
    const waiting = await line.state(numbers.stranger);
    expect(waiting?.mothers).toEqual([]);
    expect(waiting?.consent).toBeNull();
    expect(await anita.text(asked)).toBe(said('counsellor.invited-already', { phone: numbers.stranger }));
    expect(meera.received()).toEqual([]);

    // The birthday and the weight are not asked again.
    expect(await meera.text('JOIN')).toContain(said('field.name.ask'));
    await meera.text('Meera');
    expect(await meera.text('1 1 10')).not.toContain(said('field.weight.ask', { baby: said('baby.only') }));
    await meera.text('1 Tara');
    const [mother] = (await line.state(numbers.stranger))?.mothers ?? [];
    expect(mother?.babies[0]).toMatchObject({ bornOn: '2026-02-26', birthWeightGrams: 2900, name: 'Tara' });
    expect((await line.state(numbers.stranger))?.consent).toMatchObject({ words: 'JOIN', channel: 'text' });
    expect(await anita.text(asked)).toBe(said('counsellor.enrolled-already', { phone: numbers.stranger }));
  });

  it('keeps nothing of who does not answer', async () => {
    const { line, anita } = await started(on);
    await anita.text(asked);
    await line.forward(7 * 24 * hour);
    const kept = JSON.stringify(await line.state(numbers.stranger));
    expect(kept).not.toContain(numbers.stranger);
    expect(kept).not.toContain('2026-02-26');
    // She can still join by herself, and is asked everything.
    const meera = phoneOf(line, numbers.stranger, 'meera');
    expect(await meera.text('hello')).toContain('JOIN');
    await meera.text('JOIN');
    expect((await line.state(numbers.stranger))?.phone).toBe(numbers.stranger);
  });

  it('does not write to who has stopped, nor to a counsellor', async () => {
    const { line, said, asha, anita, enrol } = await started(on);
    await enrol();
    await asha.text('STOP');
    asha.received();
    const before = line.sent.length;
    expect(await anita.text(`enrol ${numbers.mother} 26 Feb 2.9 en`)).toBe(
      said('counsellor.not-invited', { phone: numbers.mother }),
    );
    expect(await anita.text(`enrol ${numbers.mary} 26 Feb 2.9 en`)).toContain(
      said('counsellor.enrol-unclear.phone'),
    );
    expect(line.sent).toHaveLength(before);
  });

  it.each([
    ['enrol', 'enrol-how'],
    ['enrol 26 Feb 2.9 en', 'enrol-unclear.phone'],
    [`enrol ${numbers.stranger} 31 Feb 2.9 en`, 'enrol-unclear.born'],
    [`enrol ${numbers.stranger} 5 March 2030 2.9 en`, 'enrol-unclear.born'],
    [`enrol ${numbers.stranger} 26 Feb 29 en`, 'enrol-unclear.weight'],
    [`enrol ${numbers.stranger} 26 Feb 9.9 en`, 'enrol-unclear.weight'],
  ])('says what is not clear in "%s", and how to send it', async (text, key) => {
    const { line, said, anita } = await started(on);
    const reply = await anita.text(text);
    expect(reply).toContain(said(`counsellor.${key}`));
    expect(reply).toContain(said('counsellor.enrol-how'));
    expect(line.sent).toEqual([]);
  });
});

describe.each(journeyStores)('a call that tells of an alert, on %s', (on) => {
  const attribute = (xml: string, element: string, name: string) =>
    new RegExp(`<${element}\\b[^>]*\\b${name}="([^"]*)"`).exec(xml)?.[1]?.replaceAll('&amp;', '&');

  /** Nobody took it for ten minutes: Mary is called. */
  async function called() {
    const all = await started(on);
    const { line, asha, enrol } = all;
    await enrol();
    await asha.text('my baby has a fit');
    await line.forward(10 * minute);
    const call = line.sent.findLast((s) => s.kind === 'call');
    if (call === undefined) throw new Error('nobody was called');
    const step = async (path: string, fields: Record<string, string> = {}) => {
      const response = await line.post(path, {
        CallSid: `CA${'ab'.repeat(16)}`,
        From: numbers.line,
        To: numbers.mary,
        Direction: 'outbound-api',
        CallStatus: 'in-progress',
        ...fields,
      });
      expect(response.status).toBe(200);
      await line.catchUp();
      return response.text();
    };
    const pathOf = (url: string | undefined) => (url ?? '').replace('https://line.example.test', '');
    const answered = await step(`/carrier/answer?outbox=${encodeURIComponent(call.id)}`);
    const keysPath = pathOf(attribute(answered, 'Gather', 'action'));
    return { ...all, call, step, pathOf, answered, keysPath };
  }

  it('goes to the next person at ten minutes, and a key connects her with neither number shown', async () => {
    const { line, alert, call, step, pathOf, answered, keysPath } = await called();
    expect(call.to).toBe(numbers.mary);
    expect(answered).toContain('press 1');
    expect(keysPath).toContain(`outbox=${encodeURIComponent(call.id)}`);
    const again = await step(keysPath, { Digits: '2' });
    expect(again).toContain('press 1');
    expect((await alert())?.acknowledgedBy).toBeNull();
    const pressed = await step(pathOf(attribute(again, 'Gather', 'action')), { Digits: '1' });
    expect(attribute(pressed, 'Dial', 'callerId')).toBe(numbers.line);
    expect(attribute(pressed, 'Dial', 'answerOnBridge')).toBe('true');
    expect(Number(attribute(pressed, 'Dial', 'timeLimit'))).toBeGreaterThan(0);
    expect(/<Number>([^<]*)<\/Number>/.exec(pressed)?.[1]).toBe(numbers.mother);
    expect((await alert())?.acknowledgedBy).toBe('mary');
    // The same webhook again: the same answer, nothing twice.
    expect(await step(pathOf(attribute(again, 'Gather', 'action')), { Digits: '1' })).toBe(pressed);
    const over = await step(pathOf(attribute(pressed, 'Dial', 'action')), { DialCallStatus: 'completed' });
    expect(over).not.toContain('<Dial');
    expect((await alert())?.acknowledgedBy).toBe('mary');
    expect((await line.journal(numbers.mother)).filter((e) => e.kind === 'alert-acknowledged')).toHaveLength(
      1,
    );
  });

  it.each(['no-answer', 'busy', 'failed', 'canceled'])(
    'opens it again for all when the mother is not reached: %s',
    async (status) => {
      const { line, alert, step, pathOf, keysPath, anita } = await called();
      const pressed = await step(keysPath, { Digits: '1' });
      anita.received();
      await step(pathOf(attribute(pressed, 'Dial', 'action')), { DialCallStatus: status });
      expect(await alert()).toMatchObject({ acknowledgedBy: null, climbed: 0 });
      expect((await alert())?.steps.at(-2)).toMatchObject({ what: 'reopened', by: 'mary' });
      await line.forward(0);
      expect(anita.received()).toHaveLength(1);
    },
  );

  it('takes nothing for silence, as of an answering machine', async () => {
    const { alert, step, keysPath } = await called();
    expect(await step(keysPath, { Digits: '' })).toContain('<Hangup');
    expect((await alert())?.acknowledgedBy).toBeNull();
  });

  it('tells who was first when another took it meanwhile', async () => {
    const { alert, step, keysPath, anita, codeIn } = await called();
    await anita.text(codeIn(anita.received()[0]));
    const pressed = await step(keysPath, { Digits: '1' });
    expect(pressed).not.toContain('<Dial');
    expect(pressed).toContain('Anita');
    expect((await alert())?.acknowledgedBy).toBe('anita');
  });

  it('connects nobody without the id of the very call, or with that of a call to another', async () => {
    const { alert, step, call, anita, line } = await called();
    for (const path of ['/carrier/keys?n=1', '/carrier/keys?n=1&outbox=made-up'])
      expect(await step(path, { Digits: '1' })).not.toContain('<Dial');
    // Anita's phone with the id of Mary's call.
    const stolen = await line.post(`/carrier/keys?n=1&outbox=${encodeURIComponent(call.id)}`, {
      CallSid: `CA${'cd'.repeat(16)}`,
      From: numbers.line,
      To: anita.number,
      Digits: '1',
      CallStatus: 'in-progress',
    });
    expect(await stolen.text()).not.toContain('<Dial');
    expect((await alert())?.acknowledgedBy).toBeNull();
  });
});

describe.each(journeyStores)('the morning text, on %s', (on) => {
  it('goes at 07:30 to who is on duty: how many, the first three, and the desk; not when there is nobody to reach', async () => {
    const { line, said, asha, anita, mary, enrol, codeIn } = await started(on);
    await enrol();
    await line.forward(24 * hour);
    expect(anita.received()).toEqual([]);
    await asha.text('my baby has a fit');
    const code = codeIn(anita.received()[0]);
    await anita.text(code);
    // 10:00 to 07:29 the next day.
    await line.forward(21.5 * hour - minute);
    anita.received();
    await line.forward(minute);
    const [digest] = anita.received().filter((t) => t.includes(said('counsellor.digest', { count: 1 })));
    expect(digest).toContain(code);
    expect(mary.received().join()).not.toContain(said('counsellor.digest', { count: 1 }));
    await anita.text(`${code} 1`);
    await line.forward(24 * hour);
    expect(anita.received().join()).not.toContain('Good morning');
  });
});

expectTheSameOnEachStore();
