import { Gauge, type Registry } from 'prom-client';
import type { LineState } from '../dialog/line.ts';
import type { AlertEntry, Backlog, Store } from '../store/store.ts';
import type { Clock } from './line-service.ts';
import { sharedLook } from './shared-look.ts';

/** What waits in the store, for gauges. Ages in milliseconds, null when nothing waits. */
interface Waiting {
  readonly backlog: Backlog;
  readonly alerts: readonly AlertAge[];
}

interface AlertAge {
  readonly tier: AlertEntry['tier'];
  readonly raisedAt: number;
  readonly acknowledged: boolean;
}

/** Read at most so often, however many ask: each reading looks at every shard and every open alert. */
const freshForMs = 5_000;

/** Open alerts whose state is read, most urgent first. With more than that open, more figures help nobody. */
const alertsAtMost = 500;

const tiers = ['A', 'B', 'C'] as const;

/**
 * Gauges of what waits, read from the store: the same whichever process is asked. `eightfeeds_store_up` is 0 while the store
 * cannot be read; the others are then not told, so that an old figure never looks well.
 * @returns reads them anew unless they are fresh; never rejects
 */
export function waitingMetrics(registry: Registry, store: Store, clock: Clock): () => Promise<void> {
  const gauge = <L extends string>(name: string, help: string, labelNames: readonly L[] = []) =>
    new Gauge<L>({ name: `eightfeeds_${name}`, help, labelNames, registers: [registry] });
  const up = gauge('store_up', '1 while the store can be read, else 0.');
  const dueLines = gauge('due_lines', 'Lines whose due time has come and that were not seen to.');
  const dueAge = gauge('due_oldest_seconds', 'Age of the oldest of them; 0 when there is none.');
  const messages = gauge('outbox_waiting', 'Messages that should have gone out by now.');
  const messageAge = gauge('outbox_oldest_seconds', 'Age of the oldest of them; 0 when there is none.');
  const open = gauge('alerts_open', 'Open alerts, by tier.', ['tier']);
  const unseen = gauge('alerts_unacknowledged', 'Open alerts that nobody has, by tier.', ['tier']);
  const unseenAge = gauge(
    'alert_oldest_unacknowledged_seconds',
    'Age of the oldest open alert that nobody has, by tier; 0 when there is none.',
    ['tier'],
  );
  const seconds = (now: number, since: number | null) =>
    since === null ? 0 : Math.max(0, now - since) / 1000;

  const tell = ({ backlog, alerts }: Waiting, now: number): void => {
    dueLines.set(backlog.dueLines);
    dueAge.set(seconds(now, backlog.oldestDueAt));
    messages.set(backlog.waitingMessages);
    messageAge.set(seconds(now, backlog.oldestMessageAt));
    for (const tier of tiers) {
      const ofTier = alerts.filter((a) => a.tier === tier);
      const waiting = ofTier.filter((a) => !a.acknowledged);
      open.set({ tier }, ofTier.length);
      unseen.set({ tier }, waiting.length);
      const oldest = waiting.reduce((at, a) => Math.min(at, a.raisedAt), Number.POSITIVE_INFINITY);
      unseenAge.set({ tier }, waiting.length === 0 ? 0 : seconds(now, oldest));
    }
  };

  const forget = (): void => {
    for (const each of [dueLines, dueAge, messages, messageAge]) each.remove();
    for (const each of [open, unseen, unseenAge]) each.reset();
  };

  return sharedLook(freshForMs, async () => {
    const now = clock.now();
    try {
      tell(await readWaiting(store, now), now);
      up.set(1);
    } catch {
      // Whatever the store says of itself is told by its own callers; here it is down.
      up.set(0);
      forget();
    }
  });
}

async function readWaiting(store: Store, now: number): Promise<Waiting> {
  const [backlog, entries] = await Promise.all([store.backlog(now), store.openAlerts(alertsAtMost)]);
  const lineIds = [...new Set(entries.map((e) => e.lineId))];
  const states = new Map(
    await Promise.all(
      lineIds.map(async (lineId) => {
        const stored = await store.load(lineId);
        return [lineId, stored && (JSON.parse(stored.state) as LineState)] as const;
      }),
    ),
  );
  const alerts = entries.map(({ alertId, lineId, tier, raisedAt }) => {
    const alert = states.get(lineId)?.alerts.find((a) => a.id === alertId);
    return { tier, raisedAt, acknowledged: alert?.stage === 'acknowledged' };
  });
  return { backlog, alerts };
}
