import type { Reply } from '../channels/carrier.ts';
import type { AlertEntry, LineCommit, MessagePurpose, OutboxMessage } from '../store/store.ts';
import { counsellorById } from '../counsel/rota.ts';
import { askedNow } from './asking.ts';
import { type Draft, hourMs, type Send } from './draft.ts';
import type { LineEvent } from './event.ts';
import type { Say } from './line.ts';
import { render, renderPieces } from './render.ts';
import { replyId } from './safety-text.ts';
import { withWritten } from './written-texts.ts';
import type { World } from './world.ts';
import { writingEnds } from './writing-hours.ts';

const priorities = {
  safety: 0,
  alert: 1,
  'sign-in': 1,
  reply: 2,
  'follow-up': 3,
  'check-in': 4,
  tip: 5,
} as const;

/** What a finished turn writes and answers. Words are rendered here, before the commit, so that a repeat gets the same ones. */
export interface Outcome {
  readonly reply: Reply;
  readonly commit: Omit<LineCommit, 'expectedVersion' | 'inboundId' | 'reply'>;
}

export function outcomeOf(draft: Draft, event: LineEvent): Outcome {
  const { state, world, lineId } = draft;
  const reply = replyOf(draft, event);
  const own: readonly Send[] =
    event.kind === 'due' && draft.says.length > 0
      ? [
          {
            to: { kind: 'line' },
            channel: 'text',
            says: draft.says,
            purpose: draft.purpose,
            notBefore: world.now,
            sendBefore: sendBefore(draft.purpose, world),
          },
        ]
      : [];
  const outbox = [...own, ...draft.sends]
    .map((send, i) => messageOf(draft, send, i))
    .filter((m) => m !== undefined);
  draft.state = withWritten(draft.state, outbox, world.calendar);
  const words =
    reply.kind === 'text'
      ? reply.body
      : reply.kind === 'ask' || reply.kind === 'say-and-end' || reply.kind === 'connect'
        ? reply.say
        : '';
  const journal = [
    ...draft.journal,
    ...(words === ''
      ? []
      : [
          {
            kind: event.kind === 'counsellor' || event.kind === 'invite' ? 'counsellor-told' : 'said',
            body: { words },
          },
        ]),
    ...outbox.map((m) => ({
      kind: 'sending',
      body: { id: m.id, to: m.receiver, channel: m.channel, purpose: m.purpose, words: m.body },
    })),
  ];
  const times = state.dues.map((d) => d.at);
  return {
    reply,
    commit: {
      lineId,
      state: JSON.stringify(draft.state),
      nextDueAt: times.length === 0 ? null : Math.min(...times),
      journal: journal.map(({ kind, body }) => ({ at: world.now, kind, body: JSON.stringify(body) })),
      outbox,
      alerts: state.alerts.map(
        (a): AlertEntry => ({
          alertId: a.id,
          lineId,
          code: a.code,
          tier: a.tier,
          raisedAt: a.raisedAt,
          open: a.stage !== 'resolved',
        }),
      ),
    },
  };
}

/** What is routine must not wake her, whatever held it up; a check-in asked hours late would be answered for the wrong day. */
function sendBefore(purpose: MessagePurpose, world: World): number | null {
  if (purpose !== 'check-in' && purpose !== 'tip') return null;
  const ends = writingEnds(world.now, world);
  return purpose === 'tip' ? ends : Math.min(ends, world.now + 6 * hourMs);
}

function replyOf(draft: Draft, event: LineEvent): Reply {
  const { state, world } = draft;
  switch (event.kind) {
    case 'text': {
      const body = render(draft.says, state.language, 'text', world);
      if (body === '') return { kind: 'nothing' };
      // Only a safety text is worth the receipts.
      const id = replyId(state.turns);
      return {
        kind: 'text',
        body,
        ...(state.safetyText?.id === id ? { receiptId: `${draft.lineId}.${id}` } : {}),
      };
    }
    case 'counsellor': {
      const language = languageOf(event.by, world);
      if (event.channel !== 'call')
        return { kind: 'text', body: render(draft.says, language, 'text', world) };
      const { connectTo } = draft;
      const words = spoken(draft.says, language, world);
      return connectTo === undefined
        ? { kind: 'say-and-end', ...words }
        : { kind: 'connect', ...words, to: connectTo };
    }
    case 'invite':
      return { kind: 'text', body: render(draft.says, languageOf(event.by, world), 'text', world) };
    case 'call-rang':
      if (draft.says.length === 0) return { kind: 'busy' };
      return {
        kind: 'ask',
        ...spoken(draft.says, state.language, world),
        digits: 1,
      };
    case 'call-answered':
    case 'keys': {
      if (draft.awaitKey === true)
        return { kind: 'ask', ...spoken(draft.says, state.language, world), digits: 1 };
      const standing = world.content.dialogs.standing(state.dialog);
      if (draft.hangUp || standing.kind === 'quiet') {
        const last = draft.hangUp ? [] : [{ key: 'call.goodbye' }];
        return { kind: 'say-and-end', ...spoken([...draft.says, ...last], state.language, world) };
      }
      const field = askedNow(standing, 'voice')[0];
      const single =
        standing.run.doubt !== null ||
        field === undefined ||
        (field.kind === 'menu' && field.several !== true) ||
        ['yes-no', 'choice', 'language', 'mother', 'words', 'kitchen', 'go-on'].includes(field.kind);
      return { kind: 'ask', ...spoken(draft.says, state.language, world), digits: single ? 1 : 'hash' };
    }
    case 'call-ended':
    case 'due':
    case 'place':
    case 'rhythm':
    case 'birth':
    case 'receipt':
      return { kind: 'nothing' };
    default:
      return event satisfies never;
  }
}

/** A call with safety words is made because a text cannot go: it must not wait behind it. */
function herReceiver({ channel, purpose }: Send): string {
  return channel === 'call' && purpose === 'safety' ? 'line by call' : 'line';
}

/** How the outbox names a counsellor on one channel. */
export function receiverOf(counsellorId: string, channel: 'text' | 'call'): string {
  return channel === 'call' ? `${counsellorId} by call` : counsellorId;
}

function languageOf(counsellorId: string, { programme }: World): string {
  return counsellorById(programme, counsellorId)?.language ?? programme.language;
}

function spoken(says: readonly Say[], language: string, world: World) {
  const pieces = renderPieces(says, language, world);
  const isRecorded = pieces.some((p) => p.kind === 'recording');
  return { say: render(says, language, 'voice', world), language, ...(isRecorded ? { pieces } : {}) };
}

function messageOf(draft: Draft, send: Send, index: number): OutboxMessage | undefined {
  const { state, world, lineId } = draft;
  const counsellor = send.to.kind === 'counsellor' ? counsellorById(world.programme, send.to.id) : undefined;
  if (send.to.kind === 'counsellor' && counsellor === undefined) return undefined;
  const language = counsellor?.language ?? state.language;
  return {
    id: `${lineId}.${state.turns}.${index}${send.alertId === undefined ? '' : `!${send.alertId}!`}${send.again === undefined ? '' : `~${send.again}`}`,
    lineId,
    channel: send.channel,
    to: counsellor?.phone ?? state.phone,
    body: send.words ?? render(send.says, language, send.channel === 'call' ? 'voice' : 'text', world),
    language,
    purpose: send.purpose,
    priority: priorities[send.purpose],
    notBefore: send.notBefore,
    sendBefore: send.sendBefore,
    // One receiver's messages wait for one another: a call must not wait behind a text that cannot go.
    receiver: counsellor === undefined ? herReceiver(send) : receiverOf(counsellor.id, send.channel),
  };
}
