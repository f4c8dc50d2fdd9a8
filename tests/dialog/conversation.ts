import { isDeepStrictEqual } from 'node:util';
import { readConfig } from '../../src/config.ts';
import type { Draft } from '../../src/dialog/draft.ts';
import type { CounsellorCommand, LineEvent } from '../../src/dialog/event.ts';
import type { Alert, LineId, LineState, Say } from '../../src/dialog/line.ts';
import { type Outcome, outcomeOf } from '../../src/dialog/outcome.ts';
import { turn } from '../../src/dialog/turn.ts';
import type { Content, Programme, World } from '../../src/dialog/world.ts';
import { openCalendar } from '../../src/language/calendar.ts';
import { loadContent } from '../../src/programme/load-content.ts';

/** The real flows and words; read once a test file. */
export const content: Content = loadContent();
export const programme: Programme = readConfig({ TIME_ZONE: 'Asia/Kolkata' }).programme;
export const calendar = openCalendar(programme.timeZone);
/** From Ofcom's range for fiction. */
export const phone = '+447700900123';
/** Monday 2 March 2026, 10:00 in India. */
export const monday = Date.UTC(2026, 2, 2, 4, 30);
export const minute = 60_000;
export const hour = 60 * minute;
export const day = 24 * hour;

/** Nothing may change a state in its place: a later turn is given the same one. */
function frozen<T>(value: T): T {
  if (typeof value === 'object' && value !== null && !Object.isFrozen(value)) {
    Object.freeze(value);
    Object.values(value).forEach(frozen);
  }
  return value;
}

/** What the line says in English. */
export function said(key: string, values: Say['values'] = {}): string {
  return content.wording.say(key, values, 'en', 'text');
}

/** One line talked with by plain calls of `turn`; its state goes through JSON at every step, as in the store. */
export interface Conversation {
  readonly state: LineState;
  readonly now: number;
  /** What the last turn wrote and answered. */
  readonly last: { readonly draft: Draft; readonly outcome: Outcome };
  /** Every message that went out so far. */
  readonly sent: Outcome['commit']['outbox'];
  readonly journal: readonly { readonly kind: string; readonly body: unknown }[];
  /** The words of the reply. */
  text(body: string): string;
  /** @param outboxId of the call that the line placed; without it any call of its */
  answer(outboxId?: string, answeredBy?: 'person' | 'machine'): string;
  /** The carrier tells how a call ended. */
  ended(outboxId: string, status: string): void;
  receipt(
    outboxId: string,
    status: string,
    more?: Partial<Omit<Extract<LineEvent, { kind: 'receipt' }>, 'kind' | 'id'>>,
  ): void;
  /** The words said in the call; `over` when it ended. */
  keys(digits: string): { readonly words: string; readonly over: boolean };
  ring(): Outcome['reply'];
  counsellor(by: string, command: CounsellorCommand): string;
  /** Lets time pass, firing each due time as it comes; gives what she was sent meanwhile. */
  wait(ms: number): readonly string[];
  alert(): Alert;
  openAlerts(): readonly Alert[];
}

/** @param of whose line it is, with its rota */
export function conversation(from?: LineState, at: number = monday, of: Programme = programme): Conversation {
  let state = from;
  let now = at;
  let last: Conversation['last'] | undefined;
  let ids = 0;
  let callId = 'call';
  const sent: Outcome['commit']['outbox'][number][] = [];
  const journal: { kind: string; body: unknown }[] = [];

  const take = (event: LineEvent): Outcome => {
    const world: World = { now, salt: 0, content, programme: of, calendar };
    const draft = turn('line' as LineId, phone, state, event, world);
    const outcome = outcomeOf(draft, event);
    last = { draft, outcome };
    state = frozen(JSON.parse(outcome.commit.state) as LineState);
    // The service goes on with the draft's own state where the text of it is still what is stored.
    if (!isDeepStrictEqual(state, draft.state)) throw new Error('what is kept is not what the turn made');
    sent.push(...outcome.commit.outbox);
    for (const { kind, body } of outcome.commit.journal) journal.push({ kind, body: JSON.parse(body) });
    return outcome;
  };
  const id = () => `event ${++ids}`;
  const spoken = ({ reply }: Outcome): string =>
    reply.kind === 'ask' || reply.kind === 'say-and-end' ? reply.say : '';

  const it: Conversation = {
    get state() {
      if (state === undefined) throw new Error('nothing was said yet');
      return state;
    },
    get now() {
      return now;
    },
    get last() {
      if (last === undefined) throw new Error('nothing was said yet');
      return last;
    },
    sent,
    journal,
    text: (body) => {
      const { reply } = take({ kind: 'text', id: id(), phone, body });
      return reply.kind === 'text' ? reply.body : '';
    },
    answer: (outboxId, answeredBy) => {
      callId = outboxId ?? 'call';
      const about = {
        ...(outboxId === undefined ? {} : { outboxId }),
        ...(answeredBy === undefined ? {} : { answeredBy }),
      };
      return spoken(take({ kind: 'call-answered', id: id(), phone, callId, ...about }));
    },
    ended: (outboxId, status) => {
      take({ kind: 'call-ended', id: id(), phone, callId: outboxId, status, outboxId });
    },
    receipt: (outboxId, status, more = {}) => {
      take({ kind: 'receipt', id: id(), outboxId, status, errorCode: null, ...more });
    },
    keys: (digits) => {
      const outcome = take({ kind: 'keys', id: id(), phone, callId, digits });
      return { words: spoken(outcome), over: outcome.reply.kind === 'say-and-end' };
    },
    ring: () => take({ kind: 'call-rang', id: id(), phone }).reply,
    counsellor: (by, command) => {
      const { reply } = take({ kind: 'counsellor', id: id(), by, command });
      return reply.kind === 'text' ? reply.body : '';
    },
    wait: (ms) => {
      const until = now + ms;
      const before = sent.length;
      for (let i = 0; i < 10_000; i++) {
        const next = Math.min(...(state?.dues ?? []).map((d) => d.at));
        if (next > until) break;
        now = Math.max(now, next);
        take({ kind: 'due' });
      }
      now = until;
      return sent
        .slice(before)
        .filter((m) => m.receiver === 'line')
        .map((m) => m.body);
    },
    alert: () => {
      const alert = state?.alerts.at(-1);
      if (alert === undefined) throw new Error('there is no alert');
      return alert;
    },
    openAlerts: () => (state?.alerts ?? []).filter((a) => a.stage !== 'resolved'),
  };
  return it;
}

/** Joins in English, whatever languages the line offers; she stands at the first question of the enrolment proper. */
export function joined(at: number = monday): Conversation {
  const talk = conversation(undefined, at);
  chooseEnglish(talk, talk.text('JOIN'));
  return talk;
}

/** Begins another mother's enrolment on the same phone, in English. */
export function another(talk: Conversation): void {
  chooseEnglish(talk, talk.text('ANOTHER'));
}

/** Where a menu of languages was the answer, chooses English. */
function chooseEnglish(talk: Conversation, menu: string): void {
  const english = /(\d+)\s+English\b/.exec(menu)?.[1];
  if (english !== undefined) talk.text(english);
}

export interface Enrolling {
  readonly born?: string;
  readonly home?: string;
  readonly babies?: readonly string[];
}

/** Asha with Tara, who is 4 days old and is asked at 10:00, unless told otherwise. */
export function enrolled(of: Enrolling = {}, at: number = monday): Conversation {
  const talk = joined(at);
  talk.text(of.born ?? '26 Feb Asha');
  talk.text(of.home ?? '1 1 10');
  for (const baby of of.babies ?? ['1 2.9 Tara']) talk.text(baby);
  if (talk.state.mothers.length !== 1) throw new Error('the enrolment did not end as it should');
  return talk;
}

/** Enrolled, and asked the check-in the next morning. */
export function asked(of: Enrolling = {}): Conversation {
  const talk = enrolled(of);
  talk.wait(day);
  return talk;
}

/** Where the dialog stands: "check-in/counts", or "quiet". */
export function place(state: LineState): string {
  const standing = content.dialogs.standing(state.dialog);
  return standing.kind === 'quiet' ? 'quiet' : `${standing.flow.flow}/${standing.step.id}`;
}
