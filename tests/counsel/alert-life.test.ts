import { describe, expect, it } from 'vitest';
import {
  another,
  calendar,
  type Conversation,
  conversation,
  day,
  enrolled,
  hour,
  minute,
  monday,
  place,
  said,
} from '../dialog/conversation.ts';

const raised = (at?: number): Conversation => {
  const talk = enrolled({}, at);
  talk.text('my baby has a fit');
  return talk;
};
const code = (talk: Conversation): string => talk.alert().code;
const toldTo = (talk: Conversation, id: string) =>
  talk.sent.filter((m) => [id, `${id} by call`].includes(m.receiver));

describe('an alert in the hands of counsellors', () => {
  it('belongs to the first who takes it; the second is told who has it', () => {
    const talk = raised();
    expect(talk.counsellor('anita', { kind: 'acknowledge', code: code(talk) })).toContain(talk.state.phone);
    expect(talk.counsellor('mary', { kind: 'acknowledge', code: code(talk) })).toContain('Anita');
    expect(talk.alert()).toMatchObject({ stage: 'acknowledged', acknowledgedBy: 'anita' });
  });

  it('taken twice by the same counsellor is taken once', () => {
    const talk = raised();
    const first = talk.counsellor('anita', { kind: 'acknowledge', code: code(talk) });
    expect(talk.counsellor('anita', { kind: 'acknowledge', code: code(talk) })).toBe(first);
    expect(talk.alert().steps.filter((s) => s.what === 'acknowledged')).toHaveLength(1);
  });

  it('climbs to nobody once it is taken', () => {
    const talk = raised();
    talk.counsellor('anita', { kind: 'acknowledge', code: code(talk) });
    // Of the alert itself: that no receipt of the safety text came is told besides.
    const tellings = () => talk.sent.filter((m) => m.id.includes('!'));
    const before = tellings().length;
    talk.wait(90 * minute);
    expect(tellings()).toHaveLength(before);
  });

  it('not taken is told again, then to the next person, and never stops', () => {
    const talk = raised();
    expect(toldTo(talk, 'anita')).toHaveLength(1);
    talk.wait(5 * minute);
    expect(toldTo(talk, 'anita').length + toldTo(talk, 'mary').length).toBeGreaterThan(1);
    talk.wait(25 * minute);
    expect(toldTo(talk, 'mary').length).toBeGreaterThan(0);
    expect(toldTo(talk, 'mary').some((m) => m.channel === 'call')).toBe(true);
    const before = talk.sent.length;
    talk.wait(6 * hour);
    expect(talk.sent.length).toBeGreaterThan(before);
  });

  it('is closed with an outcome and a note, by a person', () => {
    const talk = raised();
    const closed = code(talk);
    const reply = talk.counsellor('anita', {
      kind: 'resolve',
      code: closed,
      outcome: 'reached-care',
      note: 'in hospital',
    });
    expect(reply).toContain(said('outcome.reached-care'));
    expect(talk.state.alerts.at(-1)).toMatchObject({ stage: 'resolved', outcome: 'reached-care' });
    expect(talk.last.outcome.commit.alerts).toEqual([expect.objectContaining({ code: closed, open: false })]);
    expect(JSON.stringify(talk.state.alerts.at(-1)?.steps)).toContain('in hospital');
  });

  it('keeps a note without being taken or closed', () => {
    const talk = raised();
    talk.counsellor('mary', { kind: 'note', code: code(talk), note: 'line was busy' });
    expect(talk.alert().stage).not.toBe('resolved');
    expect(JSON.stringify(talk.alert().steps)).toContain('line was busy');
  });

  it('of a code that is not open changes nothing', () => {
    const talk = raised();
    const other = code(talk) === '1111' ? '2222' : '1111';
    talk.counsellor('anita', { kind: 'acknowledge', code: other });
    expect(talk.alert().acknowledgedBy).toBeNull();
  });

  it('stays open when she stops the line', () => {
    const talk = raised();
    talk.text('STOP');
    expect(talk.openAlerts()).toHaveLength(1);
    const before = talk.sent.length;
    talk.wait(hour);
    expect(talk.sent.slice(before).every((m) => m.receiver !== 'line')).toBe(true);
    expect(talk.sent.length).toBeGreaterThan(before);
  });

  it('after a death nobody asks her anything', () => {
    const talk = raised();
    talk.counsellor('anita', { kind: 'resolve', code: code(talk), outcome: 'died', note: '' });
    expect(talk.wait(20 * day)).toEqual([]);
  });

  it('after a death the other mother of the phone is asked as before', () => {
    const talk = enrolled();
    another(talk);
    talk.text('28 Feb Geeta');
    talk.text('1 1 10');
    talk.text('2 2.6 Ravi');
    talk.text('PERSON');
    expect(talk.alert().mother).toBe(1);
    talk.counsellor('anita', { kind: 'resolve', code: talk.alert().code, outcome: 'died', note: '' });
    const sent = talk.wait(day + 9 * hour).join();
    expect(sent).toContain(said('check-in.hello-name', { name: 'Asha' }));
    expect(sent).not.toContain('Geeta');
  });
});

describe('the follow-up', () => {
  const asked = () => {
    // At noon: her hour for the daily questions is over.
    const talk = raised(monday + 2 * hour);
    talk.counsellor('anita', { kind: 'resolve', code: code(talk), outcome: 'managed-by-phone', note: '' });
    expect(talk.wait(2 * hour)).toEqual([said('ask.follow-up.reached.ask')]);
    return talk;
  };

  it('asks two hours after a danger whether she reached care, and a yes is kept', () => {
    const talk = asked();
    expect(talk.text('1')).toContain(said('follow-up.good'));
    expect(talk.state.alerts.at(-1)).toMatchObject({ stage: 'resolved' });
    expect(talk.journal.some((j) => j.kind === 'follow-up')).toBe(true);
    expect(place(talk.state)).toBe('quiet');
  });

  it('"not yet" opens it again with the same code, tells the counsellor and climbs', () => {
    const talk = asked();
    const before = talk.sent.length;
    const reply = talk.text('2');
    expect(reply).toContain('112');
    expect(talk.alert()).toMatchObject({ stage: 'raised', tier: 'A', outcome: null });
    expect(talk.sent.slice(before)).toEqual([expect.objectContaining({ purpose: 'alert' })]);
    talk.wait(30 * minute);
    expect(talk.sent.slice(before).filter((m) => m.purpose === 'alert').length).toBeGreaterThan(2);
  });

  it('comes between without losing the check-in that she was in', () => {
    const talk = raised();
    talk.text('9 3 6 4');
    expect(place(talk.state)).toBe('check-in/body');
    talk.wait(2 * hour);
    expect(place(talk.state)).toBe('follow-up/reached');
    talk.text('1');
    expect(place(talk.state)).toBe('check-in/body');
  });
});

describe('an alert for today', () => {
  it('raised at night is told in the morning, at once by day', () => {
    const night = enrolled({}, monday + 15 * hour);
    night.text('PERSON');
    expect(night.alert().tier).toBe('B');
    const [message] = toldTo(night, 'anita');
    expect(calendar.minuteOfDay(message?.notBefore ?? 0)).toBe(7 * 60);
    const byDay = enrolled();
    byDay.text('PERSON');
    expect(toldTo(byDay, 'anita')[0]?.notBefore).toBe(byDay.now);
  });

  it('of a number that never joined is raised too', () => {
    const talk = conversation();
    talk.text('PERSON');
    expect(talk.alert()).toMatchObject({ tier: 'B', reasons: ['asked-for-person'] });
    expect(talk.state.standing).toBe('guest');
  });
});
