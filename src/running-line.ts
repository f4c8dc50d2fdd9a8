import type { Carrier } from './channels/carrier.ts';
import type { Content, Programme } from './dialog/world.ts';
import type { LineId } from './dialog/line.ts';
import { openCalendar } from './language/calendar.ts';
import { openLineService, type RunningLineService } from './line-service.ts';
import { dueWorker } from './outreach/due-worker.ts';
import type { Loop } from './outreach/loop.ts';
import { outboxWorker } from './outreach/outbox-worker.ts';
import type { SendOutcome, Store, TakenMessage } from './store/store.ts';
import type { TurnReport } from './turn-report.ts';
import type { Clock } from './web/line-service.ts';

export interface LineParts {
  readonly store: Store;
  readonly carrier: Carrier;
  readonly clock: Clock;
  readonly content: Content;
  readonly programme: Programme;
  readonly lineOf: (phone: string) => LineId;
  /** Messages a second handed to the carrier; without it no limit. */
  readonly perSecond?: number;
  readonly onTrouble: (error: unknown) => void;
  /** Who wants to know what the line does, for metrics and logs. */
  readonly watcher?: LineWatcher;
  /** Where the counsellors' desk is, told in the morning digest. */
  readonly deskUrl?: string;
}

/** Told of what the line does, after it is done. Never throws. */
export interface LineWatcher {
  onTurn(report: TurnReport): void;
  onSend(message: TakenMessage, outcome: SendOutcome): void;
  /** A worker looked at what is due or waits: how one knows that it lives. */
  onLook(at: 'due' | 'outbox'): void;
}

/** The line at work: its service and its two workers. */
export interface RunningLine {
  readonly service: RunningLineService;
  start(): void;
  /** Carries out everything that is due now, and sends what that caused. */
  catchUp(): Promise<void>;
  stop(): Promise<void>;
}

export function runLine(parts: LineParts): RunningLine {
  let isWorking = false;
  const watching = parts.watcher ?? {};
  const service = openLineService({
    ...parts,
    ...watching,
    calendar: openCalendar(parts.programme.timeZone),
    // A process that only answers leaves the sending to the workers.
    onOutbox: () => {
      if (isWorking) void sender.runNow();
    },
  });
  const sender: Loop = outboxWorker({ ...parts, ...watching, tell: service.tell });
  const due = dueWorker({ ...parts, ...watching, fireDue: service.fireDue });
  return {
    service,
    start: () => {
      isWorking = true;
      void service.planDigest().catch(parts.onTrouble);
      due.start();
      sender.start();
    },
    catchUp: async () => {
      await service.planDigest().catch(parts.onTrouble);
      await due.runNow();
      await sender.runNow();
    },
    stop: async () => {
      await due.stop();
      await sender.stop();
    },
  };
}

/** So many turns of one line, or of several at one instant, can follow from one another. */
const mostLooks = 20;

/** Moves a practice clock forward, stopping at each due time on the way, so that everything happens at its own time. */
export async function moveForward(
  line: RunningLine,
  store: Store,
  clock: Clock & { moveTo(at: number): void },
  ms: number,
): Promise<void> {
  const until = clock.now() + ms;
  let lastDueAt: number | null = null;
  let looks = 0;
  for (let steps = 0; steps < 20_000; steps++) {
    const { oldestDueAt } = await store.backlog(until);
    if (oldestDueAt === null || oldestDueAt > until) break;
    looks = oldestDueAt === lastDueAt ? looks + 1 : 0;
    lastDueAt = oldestDueAt;
    // Still there after several looks: a dead process holds it, or it failed. Until its lease is over time must go by.
    clock.moveTo(looks < mostLooks ? oldestDueAt : Math.min(until, clock.now() + 1_000));
    await line.catchUp();
    if (looks >= mostLooks && clock.now() === until) break;
  }
  clock.moveTo(until);
  await line.catchUp();
}
