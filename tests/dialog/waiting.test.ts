import { describe, expect, it } from 'vitest';
import { asked, calendar, day, enrolled, hour, joined, monday, place, said } from './conversation.ts';

const tara = { baby: 'Tara' };

describe('the check-in', () => {
  it('is asked every day at her hour while the baby is new, and once a day only', () => {
    const talk = enrolled();
    for (let i = 0; i < 4; i++) {
      expect(talk.wait(day).filter((words) => words.includes('Tara'))).toHaveLength(1);
      talk.text('9 3 6 4');
      talk.text('1 1 0');
      if (place(talk.state) !== 'quiet') talk.text('0');
    }
  });

  it('is asked the next day too when the one before was left half answered', () => {
    const talk = asked();
    talk.text('9 3 6 4');
    const news = talk.wait(day);
    expect(news.at(-1)).toContain(said('ask.check-in.counts.ask', tara));
    expect(talk.journal.filter((j) => j.kind === 'check-in-asked')).toHaveLength(2);
  });

  it('left half answered is kept under the day on which she answered', () => {
    const talk = asked();
    talk.text('9 3 6 4');
    talk.wait(23 * hour);
    const [kept] = talk.state.mothers[0]?.checkIns ?? [];
    expect(kept).toMatchObject({ day: calendar.day(monday + day), answers: { 'feeds#0': 9, 'wet#0': 6 } });
    expect(place(talk.state)).toBe('quiet');
  });

  it('is not asked while she is in the midst of another talk', () => {
    const talk = enrolled({ home: '1 1 16' });
    talk.wait(5.75 * hour);
    talk.text('LANGUAGE');
    expect(talk.wait(hour)).toEqual([]);
    expect(talk.wait(4 * hour).join()).toContain('Tara');
  });
});

describe('quiet hours', () => {
  it.each([8, 9, 12, 19, 20, 22, 23])(
    'nothing routine goes out at night to a mother who is asked at %i',
    (at) => {
      const talk = enrolled({ home: `1 1 ${at}` });
      for (let i = 0; i < 8; i++) {
        talk.wait(day);
        talk.text('9 3 6 4');
      }
      talk.wait(3 * day);
      const routine = talk.sent.filter((m) => m.receiver === 'line' && m.purpose !== 'safety');
      expect(routine.length).toBeGreaterThan(3);
      for (const message of routine) {
        const minute = calendar.minuteOfDay(message.notBefore);
        expect(minute, `${message.purpose} at ${minute}`).toBeGreaterThanOrEqual(8 * 60);
        expect(minute, `${message.purpose} at ${minute}`).toBeLessThan(20 * 60);
      }
    },
  );
});

describe('silence', () => {
  it('of a newborn`s mother is on the list after two check-ins and with a person after three', () => {
    const talk = enrolled();
    talk.wait(2 * day);
    expect(talk.openAlerts()).toEqual([]);
    talk.wait(day);
    expect(talk.alert()).toMatchObject({ tier: 'C', reasons: ['silent'] });
    talk.wait(day);
    expect(talk.alert()).toMatchObject({ tier: 'B', reasons: ['silent'] });
  });

  it('ends with one answer', () => {
    const talk = enrolled();
    talk.wait(2 * day);
    talk.text('9 3 6 4');
    talk.text('1 1 0');
    while (place(talk.state) !== 'quiet') talk.text('0');
    expect(talk.state.mothers[0]?.missed).toBe(0);
  });

  it('in the midst of enrolling keeps what she answered, for whenever she goes on', () => {
    const talk = joined();
    talk.text('26 Feb Asha');
    talk.wait(20 * day);
    expect(talk.sent.filter((m) => m.receiver === 'line').length).toBeLessThanOrEqual(2);
    expect(talk.text('1 1 10')).toBe(said('ask.enrolment.baby.ask', { baby: said('baby.only') }));
  });
});

describe('a call', () => {
  it('is turned away and called back; one who is not on the line hears what it is', () => {
    const talk = enrolled();
    expect(talk.ring()).toEqual({ kind: 'busy' });
    expect(talk.sent.at(-1)).toMatchObject({ channel: 'call', receiver: 'line' });
  });

  it('asks one question at a time and keeps each answer when it breaks off', () => {
    const talk = asked();
    talk.answer();
    talk.keys('9');
    talk.keys('3');
    talk.wait(2 * hour);
    expect(talk.answer().length).toBeGreaterThan(0);
    talk.keys('6');
    talk.keys('4');
    expect(place(talk.state)).toBe('check-in/body');
  });

  it('is told the keys by star in the midst of a question, and comes back to it', () => {
    const talk = asked();
    talk.answer();
    talk.keys('9');
    talk.keys('*');
    expect(place(talk.state)).toBe('keys-menu/choose');
    talk.keys('1');
    expect(place(talk.state)).toBe('check-in/counts');
  });

  it('takes a worry by key to the signs, and a sign of danger to a person', () => {
    const talk = asked();
    talk.answer();
    for (const digits of ['9', '3', '6', '4', '1', '1']) talk.keys(digits);
    const menu = talk.keys('1');
    expect(place(talk.state)).toBe('signs-menu/choose');
    expect(menu.over).toBe(false);
    const { words } = talk.keys('4');
    expect(words).toContain('112');
    expect(talk.alert()).toMatchObject({ tier: 'A' });
  });
});
