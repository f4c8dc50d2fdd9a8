import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { outcomes, type LineState } from '../../src/dialog/line.ts';
import { type Conversation, conversation, day, enrolled, hour, minute, phone } from './conversation.ts';

/** Everything that can happen to a line; texts are answers, commands, dangers, and anything at all. */
type Happening =
  | { readonly kind: 'text'; readonly body: string }
  | { readonly kind: 'ring' | 'answer' }
  | { readonly kind: 'keys'; readonly digits: string }
  | { readonly kind: 'wait'; readonly ms: number }
  | {
      readonly kind: 'acknowledge' | 'resolve' | 'note';
      readonly by: 'anita' | 'mary';
      readonly outcome: number;
    };

const told = [
  'JOIN',
  'STOP',
  'START',
  'HELP',
  'BACK',
  'REPEAT',
  'LANGUAGE',
  'PERSON',
  'ANOTHER',
  'PAUSE 5',
  'PAUSE',
  'RESUME',
  'HOUR 9',
  'HOUR',
  'NO TIPS',
  'TIPS',
  '26 Feb Asha',
  '1 1 10',
  '2 1 10',
  '1 2.9 Tara',
  '9 3 6 4',
  '1 1 0',
  '3.1 1',
  '9',
  '1',
  '2',
  '0',
  'yes',
  'no',
  'feeds 9 wet 6',
  'hmm',
  '',
  '   ',
  'my baby has a fit',
  'baby is yellow',
  'baby vomits',
  'I am worried',
  'weight 3.2',
  '3200',
  '9 3 0 0',
  '😀',
  '१ २',
];
const happening: fc.Arbitrary<Happening> = fc.oneof(
  { weight: 8, arbitrary: fc.record({ kind: fc.constant('text' as const), body: fc.constantFrom(...told) }) },
  {
    weight: 2,
    arbitrary: fc.record({
      kind: fc.constant('text' as const),
      body: fc.string({ unit: 'binary', maxLength: 40 }),
    }),
  },
  { weight: 2, arbitrary: fc.record({ kind: fc.constantFrom('ring' as const, 'answer' as const) }) },
  {
    weight: 4,
    arbitrary: fc.record({
      kind: fc.constant('keys' as const),
      digits: fc.constantFrom('', '1', '2', '3', '9', '0', '*', '#', '05112026', '999'),
    }),
  },
  {
    weight: 3,
    arbitrary: fc.record({
      kind: fc.constant('wait' as const),
      ms: fc.constantFrom(minute, 11 * minute, hour, 5 * hour, day, 3 * day),
    }),
  },
  {
    weight: 2,
    arbitrary: fc.record({
      kind: fc.constantFrom('acknowledge' as const, 'resolve' as const, 'note' as const),
      by: fc.constantFrom('anita' as const, 'mary' as const),
      outcome: fc.nat(outcomes.length - 1),
    }),
  },
);
const happenings = fc.array(happening, { maxLength: 25 });

function happen(talk: Conversation, what: Happening): void {
  switch (what.kind) {
    case 'text':
      talk.text(what.body);
      return;
    case 'ring':
      talk.ring();
      return;
    case 'answer':
      talk.answer();
      return;
    case 'keys':
      talk.keys(what.digits);
      return;
    case 'wait':
      talk.wait(what.ms);
      return;
    case 'acknowledge':
    case 'resolve':
    case 'note': {
      const code = talk.openAlerts().at(-1)?.code ?? '1234';
      const outcome = outcomes[what.outcome] ?? 'other';
      if (what.kind === 'acknowledge') talk.counsellor(what.by, { kind: 'acknowledge', code });
      else if (what.kind === 'note') talk.counsellor(what.by, { kind: 'note', code, note: 'called' });
      else talk.counsellor(what.by, { kind: 'resolve', code, outcome, note: '' });
      return;
    }
    default:
      what satisfies never;
  }
}

const weight = { A: 3, B: 2, C: 1 } as const;
/** Starts from an unknown number and from a mother who is on the line. */
const starts = fc.constantFrom<() => Conversation>(
  () => {
    const talk = conversation();
    talk.text('hello');
    return talk;
  },
  () => enrolled(),
);

describe('whatever happens, in whatever order', () => {
  it('no turn throws, a text in the talk is answered, and what is kept can be read again', () => {
    fc.assert(
      fc.property(starts, happenings, (start, all) => {
        const talk = start();
        for (const what of all) {
          happen(talk, what);
          const { outcome, draft } = talk.last;
          expect(JSON.parse(outcome.commit.state)).toEqual(draft.state);
          if (what.kind === 'text') expect(outcome.reply.kind, JSON.stringify(what)).toBe('text');
          for (const message of outcome.commit.outbox) {
            expect(message.body === '' && message.channel === 'text').toBe(false);
          }
        }
        expect(talk.state.phone).toBe(phone);
      }),
      { numRuns: 120 },
    );
  });

  it('the tier of an open alert never falls, and no alert closes, but by a person', () => {
    fc.assert(
      fc.property(starts, happenings, (start, all) => {
        const talk = start();
        for (const what of all) {
          const before: LineState = talk.state;
          happen(talk, what);
          if (what.kind === 'resolve') continue;
          for (const alert of before.alerts.filter((a) => a.stage !== 'resolved')) {
            const after = talk.state.alerts.find((a) => a.id === alert.id);
            expect(after?.stage).not.toBe('resolved');
            expect(weight[after?.tier ?? 'C'], JSON.stringify(what)).toBeGreaterThanOrEqual(
              weight[alert.tier],
            );
          }
        }
      }),
      { numRuns: 120 },
    );
  });

  it('the same happenings give the same line, the same words and the same messages', () => {
    const played = (start: () => Conversation, all: readonly Happening[]) => {
      const talk = start();
      const replies = all.map((what) => {
        happen(talk, what);
        return talk.last.outcome.reply;
      });
      return { state: talk.state, replies, sent: talk.sent, journal: talk.journal };
    };
    fc.assert(
      fc.property(starts, happenings, (start, all) => {
        expect(played(start, all)).toEqual(played(start, all));
      }),
      { numRuns: 60 },
    );
  });
});
