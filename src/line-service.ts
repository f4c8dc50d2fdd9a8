import type { Inbound, Reply } from './channels/carrier.ts';
import { isCounsellorRecord } from './counsel/counsellor-record.ts';
import { counsellorLine } from './counsel/counsellor-line.ts';
import { digestMessages, nextDigestAt } from './counsel/digest.ts';
import { openDutyBook } from './counsel/duty-book.ts';
import { readTodaysList } from './counsel/read-todays-list.ts';
import type { LineEvent } from './dialog/event.ts';
import type { LineId } from './dialog/line.ts';
import { outcomeOf } from './dialog/outcome.ts';
import { isKept, turn } from './dialog/turn.ts';
import { zoneOf } from './dialog/zone.ts';
import type { Content, Programme, World } from './dialog/world.ts';
import { AlertCodeTaken, StaleState } from './errors.ts';
import { type Calendar, openCalendars } from './language/calendar.ts';
import { remembered } from './language/remembered.ts';
import type { Store } from './store/store.ts';
import { newReport, noteEffects, noteRefusal, type TurnReport } from './turn-report.ts';
import { openLineStates } from './line-states.ts';
import type { Clock, LineService } from './web/line-service.ts';

export interface LineServiceParts {
  readonly store: Store;
  readonly content: Content;
  readonly programme: Programme;
  /** The programme's clock; a phone in another zone gets its own. */
  readonly calendar: Calendar;
  readonly clock: Clock;
  /** The line of a number: a keyed hash. */
  readonly lineOf: (phone: string) => LineId;
  /** Told when outgoing messages were committed, so that the outbox need not wait for its next look. */
  readonly onOutbox: () => void;
  /** Where the desk is, for the morning digest. */
  readonly deskUrl?: string;
  /** Told of every turn when it is over, for metrics and logs. */
  readonly onTurn?: (report: TurnReport) => void;
}

export interface RunningLineService extends LineService {
  /** Sees to it that the morning digest has a due time once there is something to tell; then it goes on by itself. */
  planDigest(): Promise<void>;
  /** Fires everything of a line that has fallen due. */
  fireDue(lineId: LineId): Promise<void>;
  /** Tells a line what became of one of its messages. */
  tell(lineId: LineId, event: LineEvent): Promise<void>;
  /** Calls `onChange` after each commit of this process, until the returned function is called. */
  watch(onChange: (lineId: LineId) => void): () => void;
}

/** A line changed by somebody else is read again and the turn run again: so many times before the carrier must ask again. */
const mostTries = 12;

/**
 * The one way through: load the line, run the turn, commit it, answer. Events of one line are taken one after the other in
 * this process; another process is told apart by the version at the commit.
 */
export function openLineService(parts: LineServiceParts): RunningLineService {
  const { store, content, programme, calendar, clock } = parts;
  const lineOf = remembered(parts.lineOf);
  const book = openDutyBook(store, lineOf);
  const calendarOf = openCalendars(calendar);
  const states = openLineStates();
  const queues = new Map<LineId, Promise<unknown>>();
  const watchers = new Set<(lineId: LineId) => void>();

  const inTurn = <T>(lineId: LineId, work: () => Promise<T>): Promise<T> => {
    const before = queues.get(lineId);
    const mine = before === undefined ? work() : before.then(work, work);
    queues.set(lineId, mine);
    const done = () => {
      if (queues.get(lineId) === mine) queues.delete(lineId);
    };
    mine.then(done, done);
    return mine;
  };

  const runOnce = async (
    lineId: LineId,
    phone: string,
    event: LineEvent,
    salt: number,
    report: TurnReport,
  ): Promise<Reply> => {
    const startedAt = performance.now();
    const stored = await store.load(lineId);
    const loadedAt = performance.now();
    report.loadMs = loadedAt - startedAt;
    // A receipt for a sign-in code: nothing is asked of a counsellor's own record.
    if (stored !== undefined && isCounsellorRecord(stored.state)) return nothingDone(report);
    const state = stored === undefined ? undefined : states.of(lineId, stored.state);
    if (state === undefined && phone === '') return nothingDone(report);
    const now = clock.now();
    const zone =
      event.kind === 'rhythm' && event.wish.kind === 'zone'
        ? event.wish.zone
        : zoneOf(state, state?.phone || phone, programme);
    const away = await book.away(now);
    const calendars = { calendar: calendarOf(zone), dutyCalendar: calendar };
    const world: World = { ...calendars, now, salt, content, programme, away };
    const draft = turn(lineId, phone, state, event, world);
    const { reply, commit } = outcomeOf(draft, event);
    const turnedAt = performance.now();
    report.turnMs = turnedAt - loadedAt;
    if (stored === undefined && !isKept(draft.state)) return nothingDone(report, reply);
    const change = { ...commit, expectedVersion: stored?.version ?? 0, reply: JSON.stringify(reply) };
    const outcome = await store.commit('id' in event ? { ...change, inboundId: event.id } : change);
    report.commitMs = performance.now() - turnedAt;
    report.outcome = outcome.kind;
    if (outcome.kind === 'repeated') return JSON.parse(outcome.reply) as Reply;
    states.keep(lineId, commit.state, draft.state);
    noteEffects(report, state, draft, commit);
    if (commit.outbox.length > 0) parts.onOutbox();
    for (const onChange of watchers) onChange(lineId);
    return reply;
  };

  const run = (lineId: LineId, phone: string, event: LineEvent): Promise<Reply> => {
    const cameAt = performance.now();
    const report = newReport(lineId, event);
    return inTurn(lineId, async () => {
      report.waitMs = performance.now() - cameAt;
      try {
        for (let tries = 0; ; tries++) {
          try {
            return await runOnce(lineId, phone, event, tries, report);
          } catch (error) {
            const again = error instanceof StaleState || error instanceof AlertCodeTaken;
            if (again) noteRefusal(report, error);
            if (!again || tries >= mostTries) throw error;
          }
        }
      } finally {
        report.totalMs = performance.now() - cameAt;
        parts.onTurn?.(report);
      }
    });
  };

  let isDigestPlanned = false;
  let planning: Promise<void> | undefined;
  /** Many lines fire side by side: one of them looks, the others wait for it. */
  const planDigest = (): Promise<void> => {
    if (isDigestPlanned) return Promise.resolve();
    planning ??= lookForDigest().finally(() => {
      planning = undefined;
    });
    return planning;
  };
  const lookForDigest = async (): Promise<void> => {
    if ((await store.openAlerts(1)).length === 0) return;
    if ((await book.digestAt()) === null) await inTurn(book.lineId, fireBook);
    isDigestPlanned = true;
  };

  const fromCounsellor = counsellorLine({ ...parts, book, run });

  /** The morning digest: its texts and the next due time land in one commit. */
  const fireBook = async (): Promise<void> => {
    const now = clock.now();
    const world: World = { now, salt: 0, content, programme, calendar, away: await book.away(now) };
    const list = await readTodaysList(store, world);
    let sends = 0;
    await book.change((digestAt) => {
      if (digestAt !== null && digestAt > now) return {};
      const messages = digestAt === null ? [] : digestMessages(list, world, parts.deskUrl);
      sends = messages.length;
      return { digestAt: nextDigestAt(world), messages };
    });
    if (sends > 0) parts.onOutbox();
  };

  return {
    receive: async (inbound) => {
      if (inbound.kind === 'receipt') {
        const { outboxId, status, id, errorCode, fault } = inbound;
        const message = await store.message(outboxId);
        const lineId = message?.lineId ?? lineOfReply(outboxId);
        if (lineId === undefined) return { kind: 'nothing' };
        return run(lineId, '', {
          kind: 'receipt',
          id,
          outboxId,
          status,
          errorCode: errorCode ?? null,
          fault: fault ?? null,
          ...(message === undefined ? {} : { message }),
        });
      }
      const phone = inbound.kind === 'text' || inbound.kind === 'call-rang' ? inbound.from : inbound.party;
      // A withheld number cannot be called back or kept; it still hears what to do in danger.
      if (phone === undefined) return withheld(inbound, content, programme);
      const counsellor = programme.counsellors.find((c) => c.phone === phone);
      if (counsellor !== undefined) return fromCounsellor(counsellor, inbound);
      // Only counsellors are connected to anybody.
      if (inbound.kind === 'connect-ended') return { kind: 'nothing' };
      const event = eventOf(inbound, phone);
      return run(lineOf(phone), phone, event);
    },
    planDigest,
    fireDue: async (lineId) => {
      if (lineId === book.lineId) return inTurn(book.lineId, fireBook);
      await run(lineId, '', { kind: 'due' });
      // Every alert has a due time or a line that has one: here it is planned before the next morning, and nobody waits.
      await planDigest();
    },
    tell: async (lineId, event) => {
      await run(lineId, '', event);
    },
    watch: (onChange) => {
      watchers.add(onChange);
      return () => void watchers.delete(onChange);
    },
  };
}

function nothingDone(report: TurnReport, reply: Reply = { kind: 'nothing' }): Reply {
  report.outcome = 'nothing';
  return reply;
}

/** The line of a direct reply, which stands in no outbox; undefined for an id of none. */
function lineOfReply(outboxId: string): LineId | undefined {
  const [, lineId] = /^([^.]+)\.\d+\.reply$/.exec(outboxId) ?? [];
  return lineId as LineId | undefined;
}

function eventOf(inbound: Exclude<Inbound, { kind: 'receipt' | 'connect-ended' }>, phone: string): LineEvent {
  switch (inbound.kind) {
    case 'text':
      return { kind: 'text', id: inbound.id, phone, body: inbound.body };
    case 'call-rang':
      return { kind: 'call-rang', id: inbound.id, phone };
    case 'call-answered':
      return {
        kind: 'call-answered',
        id: inbound.id,
        phone,
        callId: inbound.callId,
        ...(inbound.outboxId === undefined ? {} : { outboxId: inbound.outboxId }),
        ...(inbound.answeredBy === undefined ? {} : { answeredBy: inbound.answeredBy }),
      };
    case 'keys':
      return { kind: 'keys', id: inbound.id, phone, callId: inbound.callId, digits: inbound.digits };
    case 'call-ended':
      return {
        kind: 'call-ended',
        id: inbound.id,
        phone,
        callId: inbound.callId,
        status: inbound.status,
        ...(inbound.outboxId === undefined ? {} : { outboxId: inbound.outboxId }),
      };
    default:
      return inbound satisfies never;
  }
}

function withheld(inbound: Inbound, content: Content, programme: Programme): Reply {
  const words = content.wording.say(
    'apology',
    { emergency: programme.emergencyNumber },
    programme.language,
    inbound.kind === 'text' ? 'text' : 'voice',
  );
  return inbound.kind === 'text'
    ? { kind: 'text', body: words }
    : { kind: 'say-and-end', say: words, language: programme.language };
}
