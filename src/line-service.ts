import type { Inbound, Reply } from './channels/carrier.ts';
import { isCounsellorRecord } from './counsel/counsellor-record.ts';
import { type CounsellorText, counsellorText } from './counsel/counsellor-text.ts';
import { type Listed, listedWords, todaysList, whyAboveWords } from './counsel/todays-list.ts';
import type { LineEvent } from './dialog/event.ts';
import type { LineId, LineState } from './dialog/line.ts';
import { outcomeOf } from './dialog/outcome.ts';
import { isKept, turn } from './dialog/turn.ts';
import type { Content, Counsellor, Programme, World } from './dialog/world.ts';
import { AlertCodeTaken, StaleState } from './errors.ts';
import type { Calendar } from './language/calendar.ts';
import type { Store } from './store/store.ts';
import type { Clock, LineService } from './web/line-service.ts';

export interface LineServiceParts {
  readonly store: Store;
  readonly content: Content;
  readonly programme: Programme;
  readonly calendar: Calendar;
  readonly clock: Clock;
  /** The line of a number: a keyed hash. */
  readonly lineOf: (phone: string) => LineId;
  /** Told when outgoing messages were committed, so that the outbox need not wait for its next look. */
  readonly onOutbox: () => void;
}

export interface RunningLineService extends LineService {
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
  const { store, content, programme, calendar, clock, lineOf } = parts;
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

  const runOnce = async (lineId: LineId, phone: string, event: LineEvent, salt: number): Promise<Reply> => {
    const stored = await store.load(lineId);
    // A receipt for a sign-in code: nothing is asked of a counsellor's own record.
    if (stored !== undefined && isCounsellorRecord(stored.state)) return { kind: 'nothing' };
    const state = stored === undefined ? undefined : (JSON.parse(stored.state) as LineState);
    if (state === undefined && phone === '') return { kind: 'nothing' };
    const world = { now: clock.now(), salt, content, programme, calendar };
    const draft = turn(lineId, phone, state, event, world);
    const { reply, commit } = outcomeOf(draft, event);
    if (stored === undefined && !isKept(draft.state)) return reply;
    const outcome = await store.commit({
      ...commit,
      expectedVersion: stored?.version ?? 0,
      ...('id' in event ? { inboundId: event.id } : {}),
      reply: JSON.stringify(reply),
    });
    if (outcome.kind === 'repeated') return JSON.parse(outcome.reply) as Reply;
    if (commit.outbox.length > 0) parts.onOutbox();
    for (const onChange of watchers) onChange(lineId);
    return reply;
  };

  const run = (lineId: LineId, phone: string, event: LineEvent): Promise<Reply> =>
    inTurn(lineId, async () => {
      for (let tries = 0; ; tries++) {
        try {
          return await runOnce(lineId, phone, event, tries);
        } catch (error) {
          const again = error instanceof StaleState || error instanceof AlertCodeTaken;
          if (!again || tries >= mostTries) throw error;
        }
      }
    });

  const fromCounsellor = async (counsellor: Counsellor, inbound: Inbound): Promise<Reply> => {
    if (inbound.kind !== 'text') return counsellorCall(store, programme, content, counsellor, inbound);
    const told = (key: string, values: Record<string, string | number> = {}): Reply => ({
      kind: 'text',
      body: content.wording.say(key, values, counsellor.language, 'text'),
    });
    const text = counsellorText(inbound.body);
    if (text.kind === 'unknown') return told('counsellor.help');
    if (text.kind === 'list' || text.kind === 'why') return fromList(counsellor, text, told);
    const entry = await store.alertByCode(text.command.code);
    if (entry === undefined) return told('counsellor.no-alert', { code: text.command.code });
    return run(entry.lineId, '', {
      kind: 'counsellor',
      id: inbound.id,
      by: counsellor.id,
      command: text.command,
    });
  };

  const fromList = async (
    counsellor: Counsellor,
    text: Extract<CounsellorText, { kind: 'list' | 'why' }>,
    told: (key: string, values?: Record<string, string | number>) => Reply,
  ): Promise<Reply> => {
    const world = { now: clock.now(), salt: 0, content, programme, calendar };
    const list = await readTodaysList(store, world);
    if (text.kind === 'why') {
      const body = whyAboveWords(list, text.one, text.other, world, counsellor.language);
      return body === undefined ? told('counsellor.help') : { kind: 'text', body };
    }
    if (list.length === 0) return told('counsellor.none-open');
    const shown = list.slice(0, shownInText).map((l) => listedWords(l, world, counsellor.language));
    const more = list.length - shown.length;
    const rest =
      more === 0
        ? []
        : [content.wording.say('counsellor.more', { count: more }, counsellor.language, 'text')];
    return { kind: 'text', body: [...shown, ...rest].join('\n') };
  };

  return {
    receive: async (inbound) => {
      if (inbound.kind === 'receipt') {
        const message = await store.message(inbound.outboxId);
        if (message === undefined) return { kind: 'nothing' };
        const { outboxId, status, id, errorCode } = inbound;
        return run(message.lineId, '', {
          kind: 'receipt',
          id,
          outboxId,
          status,
          errorCode: errorCode ?? null,
        });
      }
      const phone = inbound.kind === 'text' || inbound.kind === 'call-rang' ? inbound.from : inbound.party;
      // A withheld number cannot be called back or kept; it still hears what to do in danger.
      if (phone === undefined) return withheld(inbound, content, programme);
      const counsellor = programme.counsellors.find((c) => c.phone === phone);
      if (counsellor !== undefined) return fromCounsellor(counsellor, inbound);
      const event = eventOf(inbound, phone);
      return run(lineOf(phone), phone, event);
    },
    fireDue: async (lineId) => {
      await run(lineId, '', { kind: 'due' });
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

/** So many fit a text of two segments. */
const shownInText = 4;
/** Alerts looked at for the list: more than a desk can reach in a day. */
const listedAtMost = 200;

/** The list of whom to reach first, read from the lines themselves. */
export async function readTodaysList(store: Store, world: World): Promise<readonly Listed[]> {
  const open = await store.openAlerts(listedAtMost);
  const ids = [...new Set(open.map((a) => a.lineId))];
  const lines = await Promise.all(
    ids.map(async (lineId) => {
      const stored = await store.load(lineId);
      return stored === undefined ? [] : [{ lineId, state: JSON.parse(stored.state) as LineState }];
    }),
  );
  return todaysList(lines.flat(), world);
}

function eventOf(inbound: Exclude<Inbound, { kind: 'receipt' }>, phone: string): LineEvent {
  switch (inbound.kind) {
    case 'text':
      return { kind: 'text', id: inbound.id, phone, body: inbound.body };
    case 'call-rang':
      return { kind: 'call-rang', id: inbound.id, phone };
    case 'call-answered':
      return { kind: 'call-answered', id: inbound.id, phone, callId: inbound.callId };
    case 'keys':
      return { kind: 'keys', id: inbound.id, phone, callId: inbound.callId, digits: inbound.digits };
    case 'call-ended':
      return { kind: 'call-ended', id: inbound.id, phone, callId: inbound.callId, status: inbound.status };
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

/** A call that tells a counsellor of an alert says it; a counsellor who rings the line is turned away. */
async function counsellorCall(
  store: Store,
  programme: Programme,
  content: Content,
  counsellor: Counsellor,
  inbound: Inbound,
): Promise<Reply> {
  if (inbound.kind === 'call-rang') return { kind: 'busy' };
  if (inbound.kind !== 'call-answered') return { kind: 'nothing' };
  const message = inbound.outboxId === undefined ? undefined : await store.message(inbound.outboxId);
  const say = message?.body ?? content.wording.say('counsellor.help', {}, counsellor.language, 'voice');
  return { kind: 'say-and-end', say, language: message?.language ?? programme.language };
}
