import { describe, expect, it } from 'vitest';
import {
  asked,
  conversation,
  day,
  enrolled,
  hour,
  joined,
  minute,
  monday,
  place,
  said,
} from './conversation.ts';

describe('a danger that is sure', () => {
  it('is answered with what to do now, and a person is told in the same commit', () => {
    const talk = enrolled();
    const reply = talk.text('my baby has a fit');
    expect(reply).toContain(said('safety.baby.convulsion', { emergency: '112' }));
    const { outcome } = talk.last;
    expect(outcome.commit.alerts).toEqual([expect.objectContaining({ tier: 'A', open: true })]);
    const [message] = outcome.commit.outbox;
    expect(message).toMatchObject({
      receiver: 'anita',
      purpose: 'alert',
      channel: 'text',
      notBefore: talk.now,
    });
    expect(message?.body).toContain(talk.state.phone);
    expect(message?.body).toContain(talk.alert().code);
  });

  it('tells the person at once in the night too', () => {
    const talk = enrolled({}, monday + 15 * hour);
    talk.text('my baby has a fit');
    expect(talk.last.outcome.commit.outbox[0]).toMatchObject({ receiver: 'anita', notBefore: talk.now });
  });

  it('comes before an answer and leaves the question open', () => {
    const talk = asked();
    talk.text('9 3 6 4 and my baby has a fit');
    expect(talk.alert().tier).toBe('A');
    expect(place(talk.state)).toBe('check-in/counts');
  });

  it('of a half-enrolled mother is raised though her baby is not known', () => {
    const talk = joined();
    const reply = talk.text('my baby has a fit');
    expect(reply).toContain('112');
    expect(talk.alert()).toMatchObject({ tier: 'A', stage: 'raised' });
    expect(place(talk.state)).toBe('enrolment/birth');
  });

  it('of an unknown number is answered, raised, and makes it a guest: no check-in is ever asked', () => {
    const talk = conversation();
    expect(talk.text('my baby has a fit')).toContain('112');
    expect(talk.state).toMatchObject({ standing: 'guest', consent: null, mothers: [] });
    expect(talk.alert().tier).toBe('A');
    expect(talk.sent.map((m) => m.receiver)).toEqual(['anita']);
    talk.wait(3 * day);
    expect(talk.sent.filter((m) => m.purpose === 'check-in')).toEqual([]);
  });

  it('by key on a call of an unknown number is answered and raised', () => {
    const talk = conversation();
    expect(talk.ring()).toMatchObject({ kind: 'ask' });
    const { words, over } = talk.keys('2');
    expect(over).toBe(true);
    expect(words).toContain('112');
    expect(talk.alert()).toMatchObject({ tier: 'A', confirmed: true });
  });
});

describe('a danger that is not sure, or can wait for today', () => {
  const asking = () => {
    const talk = enrolled();
    const reply = talk.text('baby is yellow');
    return { talk, reply };
  };

  it('is asked back once, and nothing is raised yet', () => {
    const { talk, reply } = asking();
    expect(reply).toContain('112');
    expect(place(talk.state)).toBe('danger-check/sure');
    expect(talk.openAlerts()).toEqual([]);
  });

  it('is raised as confirmed on a yes', () => {
    const { talk } = asking();
    expect(talk.text('yes')).toContain('112');
    expect(talk.alert()).toMatchObject({ confirmed: true });
    expect(['A', 'B']).toContain(talk.alert().tier);
    expect(place(talk.state)).toBe('quiet');
  });

  it('stays on the list on a no: her no is not the last word', () => {
    const { talk } = asking();
    expect(talk.text('no')).toContain('112');
    expect(talk.alert()).toMatchObject({ tier: 'C', confirmed: false, reasons: ['said-not-now'] });
  });

  it('is raised as unconfirmed when the answer cannot be read', () => {
    const { talk } = asking();
    talk.text('xyz');
    expect(talk.alert()).toMatchObject({ confirmed: false });
    expect(talk.alert().tier).not.toBe('C');
  });

  it('is raised as unconfirmed after ten minutes of silence, and not before', () => {
    const { talk } = asking();
    talk.wait(9 * minute);
    expect(talk.openAlerts()).toEqual([]);
    talk.wait(minute);
    expect(talk.alert()).toMatchObject({ confirmed: false });
    expect(talk.alert().tier).not.toBe('C');
  });

  it('is not put off by being told again', () => {
    const { talk } = asking();
    talk.wait(8 * minute);
    talk.text('baby is yellow');
    talk.wait(2 * minute);
    expect(talk.openAlerts()).toHaveLength(1);
  });

  it('is confirmed by a late yes', () => {
    const { talk } = asking();
    talk.wait(11 * minute);
    talk.text('yes');
    expect(talk.alert().confirmed).toBe(true);
    expect(talk.openAlerts()).toHaveLength(1);
  });

  it('is raised all the same when she stops the line instead of answering', () => {
    const { talk } = asking();
    talk.text('STOP');
    talk.wait(11 * minute);
    expect(talk.openAlerts()).toHaveLength(1);
  });

  it('of an unknown number is kept until it is answered', () => {
    const talk = conversation();
    talk.text('baby is yellow');
    talk.wait(11 * minute);
    expect(talk.openAlerts()).toHaveLength(1);
  });
});

describe('a danger of tier A that was read with doubt', () => {
  it('is asked back, and a yes is answered with what to do now', () => {
    const talk = enrolled();
    talk.text('baby vomits');
    expect(place(talk.state)).toBe('danger-check/sure');
    expect(talk.text('1')).toContain(said('safety.baby.persistent-vomiting', { emergency: '112' }));
    expect(talk.alert()).toMatchObject({ tier: 'A', confirmed: true });
  });

  it('is raised as tier A when she does not answer, and she is told what to do', () => {
    const talk = enrolled();
    talk.text('baby vomits');
    expect(talk.wait(10 * minute).join()).toContain('112');
    expect(talk.alert()).toMatchObject({ tier: 'A', confirmed: false });
  });
});

describe('a danger told again', () => {
  it('joins the open alert and never lowers it', () => {
    const talk = enrolled();
    talk.text('my baby has a fit');
    const { code } = talk.alert();
    talk.text('I am bleeding a lot');
    talk.text('PERSON');
    expect(talk.openAlerts()).toHaveLength(1);
    expect(talk.alert()).toMatchObject({ code, tier: 'A' });
    expect(talk.alert().signs.map((s) => s.code)).toEqual(expect.arrayContaining(['convulsion', 'bleeding']));
  });

  it('raises an alert of a lower tier, with the same code', () => {
    const talk = enrolled();
    talk.text('PERSON');
    const { code } = talk.alert();
    expect(talk.alert().tier).toBe('B');
    talk.text('my baby has a fit');
    expect(talk.openAlerts()).toHaveLength(1);
    expect(talk.alert()).toMatchObject({ code, tier: 'A', stage: 'raised' });
  });

  it('with the same words does not tell the counsellor a second time', () => {
    const talk = enrolled();
    talk.text('my baby has a fit');
    const told = talk.sent.length;
    talk.text('my baby has a fit');
    expect(talk.sent).toHaveLength(told);
  });
});
