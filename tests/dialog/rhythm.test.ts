import { describe, expect, it } from 'vitest';
import {
  another,
  asked,
  calendar,
  content,
  day,
  enrolled,
  hour,
  monday,
  place,
  said,
} from './conversation.ts';

const tara = { baby: 'Tara' };
const counts = said('ask.check-in.counts.ask', tara);
const dayOf = (at: number) => {
  const on = calendar.day(at);
  return `${Number(on.slice(8))}-${Number(on.slice(5, 7))}`;
};

describe('a rest', () => {
  it('of a number of days leaves out so many check-ins, and says until when', () => {
    const talk = enrolled();
    talk.wait(hour);
    expect(talk.text('PAUSE 3')).toBe(said('rhythm.resting-until', { day: dayOf(monday + 4 * day) }));
    expect(talk.wait(4 * day - 1.5 * hour).filter((words) => words.includes(counts))).toEqual([]);
    expect(talk.wait(hour).join()).toContain(counts);
  });

  it('leaves out today`s check-in too where its hour is still to come', () => {
    const talk = enrolled({ home: '1 1 16' });
    expect(talk.text('PAUSE 1')).toBe(said('rhythm.resting-until', { day: dayOf(monday + day) }));
    expect(talk.wait(day)).toEqual([]);
    expect(talk.wait(7 * hour).join()).toContain(counts);
  });

  it('without a number lasts until she says so', () => {
    const talk = enrolled();
    expect(talk.text('PAUSE')).toBe(said('rhythm.resting'));
    expect(talk.wait(40 * day)).toEqual([]);
    expect(talk.state.dues).toEqual([]);
    expect(talk.text('RESUME')).toBe(said('rhythm.next', { day: dayOf(talk.now + day), time: '10:00' }));
    expect(talk.wait(day + hour).join()).toContain(counts);
  });

  it('is no silence: nobody is missing who rests', () => {
    const talk = asked();
    talk.text('pause 10 days');
    talk.wait(9 * day);
    expect(talk.openAlerts()).toEqual([]);
    expect(talk.state.mothers[0]?.missed).toBe(0);
  });

  it('does not keep danger, alerts and follow-ups away', () => {
    const talk = enrolled();
    talk.text('PAUSE');
    expect(talk.text('my baby has a fit')).toContain('112');
    expect(talk.alert()).toMatchObject({ tier: 'A' });
    expect(talk.wait(2 * hour).join()).toContain(said('ask.follow-up.reached.ask'));
  });

  it('ends with START too, and a word for resting that she sends again sets it anew', () => {
    const talk = enrolled();
    talk.text('PAUSE');
    talk.text('pause for 2 weeks');
    expect(talk.state.mothers[0]?.paused?.untilDay).toBe(calendar.day(monday + 15 * day));
    talk.text('START');
    expect(talk.state.mothers[0]?.paused ?? null).toBeNull();
    expect(talk.wait(day + hour).join()).toContain(counts);
  });

  it.each([
    'PAUSE 5',
    'pause 5 days',
    'Pause: 5',
    'PAUSE5',
    'viram 5',
    'viraam 5 din',
    'विराम ५',
    '5 din chutti',
    'विश्रांती ५ दिवस',
  ])('of five days is asked for by "%s"', (words) => {
    const talk = enrolled();
    talk.text(words);
    expect(talk.state.mothers[0]?.paused?.untilDay).toBe(calendar.day(monday + 6 * day));
  });

  it.each(['pause my baby', 'the pause', 'time for her milk', 'hour of birth'])(
    'is not asked for by "%s"',
    (words) => {
      const talk = enrolled();
      talk.text(words);
      expect(talk.state.mothers[0]?.paused ?? null).toBeNull();
      expect(talk.state.mothers[0]?.checkInMinuteOfDay).toBe(600);
    },
  );
});

describe('her hour', () => {
  it.each([
    ['HOUR 9', 540],
    ['TIME 19:00', 1140],
    ['hour 5 pm', 1020],
    ['samay 9', 540],
    ['समय 17', 1020],
    ['वेळ १७', 1020],
    ['9 baje samay', 540],
  ])('is changed by "%s"', (words, minuteOfDay) => {
    const talk = enrolled();
    expect(talk.text(words)).toContain(`${Math.floor(minuteOfDay / 60)}:00`);
    expect(talk.state.mothers[0]?.checkInMinuteOfDay).toBe(minuteOfDay);
    talk.wait(2 * day);
    const checkIn = talk.sent.find((m) => m.body.includes(counts));
    expect(calendar.minuteOfDay(checkIn?.notBefore ?? 0)).toBe(minuteOfDay);
  });

  it('outside the writing hours is the nearest inside, and she is told so', () => {
    const talk = enrolled();
    const values = { time: '8:00', from: '8:00', until: '20:00' };
    expect(talk.text('HOUR 7')).toBe(said('rhythm.hour-nearest', values));
    expect(talk.text('HOUR 23')).toBe(said('rhythm.hour-nearest', { ...values, time: '19:30' }));
  });

  it('is asked for when she only says that she wants another', () => {
    const talk = enrolled();
    expect(talk.text('change hour')).toBe(said('ask.change-hour.at.ask'));
    talk.text('17');
    talk.text('1');
    expect(talk.state.mothers[0]?.checkInMinuteOfDay).toBe(1020);
  });

  it('is a command in the midst of a check-in, but for the one question that asks for hours', () => {
    const talk = asked();
    talk.text('HOUR 15');
    expect(talk.state.mothers[0]?.checkInMinuteOfDay).toBe(900);
    expect(place(talk.state)).toBe('check-in/counts');
    talk.text('feeds 9 wet 6 stools 4');
    talk.text('hour 3');
    expect(place(talk.state)).toBe('check-in/body');
    expect(talk.state.mothers[0]?.checkInMinuteOfDay).toBe(900);
  });

  it('means nothing to a number that is not enrolled', () => {
    const talk = asked();
    talk.text('STOP');
    expect(talk.text('HOUR 15')).toBe(said('stop.how-to-start'));
    expect(talk.text('PAUSE 5')).toBe(said('stop.how-to-start'));
  });
});

describe('on a phone of two mothers', () => {
  const shared = () => {
    const talk = enrolled();
    another(talk);
    talk.text('20 Feb Bina');
    talk.text('1 1 12');
    talk.text('2 3.1 Ravi');
    return talk;
  };

  it('it is asked whose wish it is', () => {
    const talk = shared();
    expect(talk.text('PAUSE 5')).toContain('Bina');
    expect(talk.text('2')).toContain(said('rhythm.resting-until', { day: dayOf(monday + 5 * day) }));
    expect(talk.state.mothers.map((m) => m.paused?.untilDay ?? null)).toEqual([
      null,
      calendar.day(monday + 5 * day),
    ]);
  });
});

describe('by keys', () => {
  it('the same can be wished: another hour, a rest, to be asked again', () => {
    const talk = enrolled();
    talk.answer();
    talk.keys('*');
    talk.keys('9');
    expect(place(talk.state)).toBe('rhythm-menu/choose');
    talk.keys('2');
    expect(place(talk.state)).toBe('rest/how-long');
    const { words } = talk.keys('7#');
    expect(talk.state.mothers[0]?.paused?.untilDay).toBe(calendar.day(monday + 8 * day));
    expect(words).toContain(
      content.wording.say('rhythm.resting-until', { day: dayOf(monday + 8 * day) }, 'en', 'voice'),
    );
  });
});

describe('after a death', () => {
  it('nothing is asked or told of our own accord again, not even when she sends RESUME or comes back', () => {
    const talk = enrolled();
    talk.text('my baby has a fit');
    talk.counsellor('mary', { kind: 'acknowledge', code: talk.alert().code });
    talk.counsellor('mary', { kind: 'resolve', code: talk.alert().code, outcome: 'died', note: '' });
    expect(talk.wait(20 * day)).toEqual([]);
    talk.text('RESUME');
    talk.text('STOP');
    talk.text('START');
    expect(talk.wait(20 * day)).toEqual([]);
  });
});
