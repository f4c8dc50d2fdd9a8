import { expect } from 'vitest';
import { type JourneyLine, numbers, type Post, sid } from './journey-line.ts';
import { joinInEnglish, phoneOf } from './people.ts';

const hour = 3_600_000;
const day = 24 * hour;

/** Monday, 10:00 in India. The baby is born on the Thursday before. */
export const monday = Date.UTC(2026, 2, 2, 4, 30);

/**
 * A week of one mother, told line by line: she joins, answers by text and by keypad, tells of a danger that the counsellor takes
 * and closes, says that she reached care, and sends weights. Fails at the first line that is not what it should be.
 * @param post how each webhook is posted: once, twice, or in bursts
 */
export async function theWeek(line: JourneyLine, post: Post): Promise<void> {
  const asha = phoneOf(line, numbers.mother, 'asha', post);
  const anita = phoneOf(line, numbers.anita, 'anita', post);
  const { wording } = line.content;
  const said = (key: string, values: Record<string, string | number> = {}) =>
    wording.say(key, values, 'en', 'text');
  const spoken = (key: string) => wording.say(key, { baby: 'Tara' }, 'en', 'voice');
  const counts = said('ask.check-in.counts.ask', { baby: 'Tara' });
  const body = said('ask.check-in.body.ask');
  const weigh = said('ask.check-in.weigh.ask', { baby: 'Tara' });
  const tomorrow = said('feedback.next', { count: 1 });
  const asked = async () => {
    await line.forward(day);
    // Other talks of the line may have closed in between; the last thing she was sent is today's question, and only once.
    const news = asha.received();
    expect(news.at(-1)).toBe(`${said('check-in.hello-name', { name: 'Asha' })}\n${counts}`);
    expect(news.filter((words) => words.includes(counts))).toHaveLength(1);
    await receipts(line, post);
  };

  // Monday: she asks what this is, agrees, and enrols in three texts.
  expect(await asha.text('hello')).toContain('JOIN');
  expect(await joinInEnglish(asha)).toContain(said('ask.enrolment.birth.ask'));
  expect(await asha.text('26 Feb Asha')).toBe(said('ask.enrolment.home.ask'));
  expect(await asha.text('1 1 10')).toBe(said('ask.enrolment.baby.ask', { baby: said('baby.only') }));
  expect(await asha.text('1 2.9 Tara')).toBe(said('enrolment.done-tomorrow', { time: '10:00' }));

  // Tuesday, by text: the counts, how it feels, and the first weight.
  await asked();
  expect(await asha.text('9 3 6 4')).toBe(body);
  expect(await asha.text('1 1 0')).toBe(weigh);
  const weighed = await asha.text('3.0 1');
  expect(weighed).toContain('Tara');
  expect(weighed).toContain(tomorrow);

  // Wednesday, by call: she rings, is turned away unbilled, called back, and presses keys.
  await asked();
  await keypadCheckIn();

  // Thursday: fewer wet nappies go on the list; then a danger, answered at once.
  await asked();
  expect(await asha.text('8 3 5 3')).toBe(body);
  expect(await asha.text('2 1 0')).toContain(tomorrow);
  expect(anita.received()).toEqual([]);
  const safety = await asha.text('my baby has a fit');
  expect(safety).toContain(said('safety.baby.convulsion', { emergency: '112' }));
  expect(safety).toMatch(/facility/);
  const [alert = ''] = anita.received();
  expect(alert).toContain('Asha');
  expect(alert).toContain('my baby has a fit');
  expect(alert).toContain(numbers.mother);
  const code = /\b\d{4}\b/.exec(alert)?.[0] ?? '';
  await receipts(line, post);
  expect(await anita.text(code)).toContain(numbers.mother);
  expect(await anita.text(`${code} 1 went to the clinic`)).toContain(said('outcome.reached-care'));
  await line.forward(2 * hour);
  expect(asha.received()).toContain(said('ask.follow-up.reached.ask'));
  expect(await asha.text('1')).toContain(said('follow-up.good'));

  // Friday, by call again.
  await line.forward(day - 2 * hour);
  expect(asha.received().at(-1)).toContain(counts);
  await keypadCheckIn();

  // Saturday: part of the counts, named; only what is missing is asked again.
  await asked();
  const missing = await asha.text('feeds 9 wet 6');
  expect(missing).toBe(
    [said('field.gap.ask', { baby: 'Tara' }), said('field.stools.ask', { baby: 'Tara' })].join('\n'),
  );
  expect(await asha.text('3 4')).toBe(body);
  expect(await asha.text('1 1 0')).toContain(tomorrow);

  // Sunday: the second weight.
  await asked();
  expect(await asha.text('10 3 7 4')).toBe(body);
  expect(await asha.text('1 1 0')).toBe(weigh);
  expect(await asha.text('3120 1')).toContain('120 g');

  // Monday, all at once: a check-in in two texts, sent before she is asked.
  await line.forward(day - hour);
  expect(await asha.text('9 3 6 4')).toBe(body);
  expect(await asha.text('1 1 0')).toContain(tomorrow);
  asha.received();
  await line.forward(hour);
  expect(asha.received().join()).not.toContain(counts);

  async function keypadCheckIn(): Promise<void> {
    expect((await asha.ring()).isRejected).toBe(true);
    const answered = await asha.answer();
    expect(answered.words).toContain(spoken('field.feeds.ask'));
    const heard: string[] = [];
    for (const keys of ['10#', '3#', '6#', '4#', '1', '1']) heard.push((await asha.press(keys)).words);
    expect(heard).toEqual(
      ['gap', 'wet', 'stools', 'pain', 'soft', 'worry'].map((field) => spoken(`field.${field}.ask`)),
    );
    const end = await asha.press('2');
    expect(end.keysTo).toBeUndefined();
    expect(end.words).toContain(tomorrow);
    expect(end.words).toContain(spoken('call.goodbye'));
    await asha.hangUp();
  }
}

/** The carrier's word on each text that went out since the last time: sent, then delivered. */
async function receipts(line: JourneyLine, post: Post): Promise<void> {
  const known = told.get(line) ?? 0;
  told.set(line, line.sent.length);
  for (const [index, message] of line.sent.entries()) {
    if (index < known || message.kind !== 'text') continue;
    for (const status of ['sent', 'delivered']) {
      await post(`/carrier/receipt?outbox=${encodeURIComponent(message.id)}`, {
        MessageSid: sid('SM', `out ${index + 1}`),
        MessageStatus: status,
        From: numbers.line,
        To: message.to,
      });
    }
  }
}

const told = new WeakMap<JourneyLine, number>();
