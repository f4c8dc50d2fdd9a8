import { describe, expect, it } from 'vitest';
import type { Alert, LineState } from '../../src/dialog/line.ts';
import { tipFacts } from '../../src/dialog/tip-facts.ts';
import {
  calendar,
  content,
  type Conversation,
  day,
  enrolled,
  hour,
  monday,
  place,
  said,
} from './conversation.ts';

const tipsTold = (journal: readonly { readonly kind: string; readonly body: unknown }[]) =>
  journal.filter(({ kind }) => kind === 'tip').map(({ body }) => (body as { readonly tip: string }).tip);

/** Enrolled, and on the next day her check-in answered: feeds, gap, nappies and stools; pain, softer, worry. */
function answering(counts: string, body: string): Conversation {
  const talk = enrolled();
  talk.wait(day);
  talk.text(counts);
  talk.text(body);
  if (place(talk.state) === 'check-in/weigh') talk.text('0');
  return talk;
}

/** What is known of the first mother now, or at another instant. */
const factsOf = (state: LineState, now: number) => {
  const mother = state.mothers[0];
  if (mother === undefined) throw new Error('nobody is enrolled');
  return tipFacts(mother, 0, state, { now, calendar });
};

describe('what a tip is chosen by', () => {
  it('is her baby`s age on her clock, what she eats, the month and the language she reads', () => {
    const talk = enrolled({ born: '26 Feb Asha', home: '1 2 10' });
    expect(factsOf(talk.state, monday)).toEqual({
      ...{ ageDays: 4, babies: 1, gestationWeeks: null, firstBaby: null, eats: 'egg' },
      ...{ allergies: [], concerns: [], month: 3, language: 'en' },
    });
    // 31 March, 23:00 in India is still March; an hour later it is April.
    const evening = Date.UTC(2026, 2, 31, 17, 30);
    expect([factsOf(talk.state, evening).month, factsOf(talk.state, evening + hour).month]).toEqual([3, 4]);
  });

  it('takes the earliest birth of twins', () => {
    const talk = enrolled({ home: '2 1 10', babies: ['1 2.4 Tara', '2 2.3 Dev'] });
    const [mother] = talk.state.mothers;
    const weeks = [36, 35];
    const babies = mother?.babies.map((baby, i) => ({ ...baby, gestationWeeks: weeks[i] ?? null })) ?? [];
    const state = { ...talk.state, mothers: [{ ...(mother ?? talk.state.mothers[0]), babies }] } as LineState;
    expect(factsOf(state, monday)).toMatchObject({ babies: 2, gestationWeeks: 35 });
  });

  it('counts what she answered and what was raised, for two weeks', () => {
    const talk = answering('9 3 6 4', '2 1 0');
    expect(factsOf(talk.state, talk.now).concerns).toEqual(['answer.some-pain']);
    expect(factsOf(talk.state, talk.now + 14 * day).concerns).toEqual(['answer.some-pain']);
    expect(factsOf(talk.state, talk.now + 15 * day).concerns).toEqual([]);
  });

  it('counts a concern as long as nobody has closed it', () => {
    const talk = answering('5 3 6 4', '1 1 0');
    expect(talk.alert().reasons).toContain('feeds-few');
    const later = talk.now + 60 * day;
    expect(factsOf(talk.state, later).concerns).toContain('reason.feeds-few');
    const closed = talk.state.alerts.map((alert): Alert => ({ ...alert, stage: 'resolved' }));
    expect(factsOf({ ...talk.state, alerts: closed }, later).concerns).not.toContain('reason.feeds-few');
  });
});

describe('a mother on the line', () => {
  it('is told a tip in the first days, more than weekly at first, never the same twice', () => {
    const talk = enrolled();
    const words = talk.wait(40 * day);
    const told = tipsTold(talk.journal);
    expect(new Set(told).size).toBe(told.length);
    expect(told.length).toBeGreaterThanOrEqual(8);
    expect(words.filter((text) => text === said(`tips.${told[0] ?? ''}`, { emergency: '112' }))).toHaveLength(
      1,
    );
    expect(told).toEqual(expect.arrayContaining(['newborn-danger', 'mother-danger', 'yellow-skin']));
  });

  it('hears next of what hurts when she answered that it hurts', () => {
    const talk = answering('9 3 6 4', '2 1 0');
    const before = tipsTold(talk.journal).length;
    talk.wait(4 * day);
    const next = tipsTold(talk.journal)[before] ?? '';
    expect(content.tips.find(({ id }) => id === next)?.when.concerns ?? []).toContain('answer.some-pain');
  });
});
