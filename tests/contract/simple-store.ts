import type { LineId } from '../../src/dialog/line.ts';
import type { AlertEntry, LineCommit, OutboxMessage, SendOutcome } from '../../src/store/store.ts';

interface SimpleMessage {
  message: OutboxMessage;
  state: 'waiting' | 'held' | 'sent' | 'gave-up';
  attempts: number;
  mayHaveBeenSent: boolean;
  leaseUntil: number;
  /** Which taking, counted over all; the real token is kept beside it by the test. */
  taking: number;
}

/** What a store promises, in the plainest way: arrays and maps, everything looked through each time. The real ones must agree. */
export class SimpleStore {
  readonly lines = new Map<
    LineId,
    { version: number; state: string; dueAt: number | null; leaseUntil: number }
  >();
  readonly replies = new Map<string, string>();
  readonly journals = new Map<LineId, { at: number; kind: string; body: string }[]>();
  readonly alerts = new Map<string, AlertEntry>();
  readonly messages: SimpleMessage[] = [];
  takings = 0;

  commit(change: LineCommit): { kind: string; reply?: string; version?: number } {
    const kept =
      change.inboundId === undefined ? undefined : this.replies.get(`${change.lineId} ${change.inboundId}`);
    if (kept !== undefined) return { kind: 'repeated', reply: kept };
    const version = this.lines.get(change.lineId)?.version ?? 0;
    if (version !== change.expectedVersion) return { kind: 'stale-state' };
    const after = new Map([...this.alerts, ...change.alerts.map((a) => [a.alertId, a] as const)]);
    const openCodes = [...after.values()].filter((a) => a.open).map((a) => a.code);
    if (new Set(openCodes).size < openCodes.length) return { kind: 'alert-code-taken' };
    const ids = [...this.messages.map((m) => m.message.id), ...change.outbox.map((m) => m.id)];
    if (new Set(ids).size < ids.length) return { kind: 'store-unavailable' };

    this.lines.set(change.lineId, {
      version: version + 1,
      state: change.state,
      dueAt: change.nextDueAt,
      leaseUntil: 0,
    });
    if (change.inboundId !== undefined)
      this.replies.set(`${change.lineId} ${change.inboundId}`, change.reply);
    this.journals.set(change.lineId, [...(this.journals.get(change.lineId) ?? []), ...change.journal]);
    for (const a of change.alerts) this.alerts.set(a.alertId, a);
    for (const message of change.outbox) {
      this.messages.push({
        message,
        state: 'waiting',
        attempts: 0,
        mayHaveBeenSent: false,
        leaseUntil: 0,
        taking: 0,
      });
    }
    return { kind: 'committed', version: version + 1 };
  }

  dueLines(now: number): readonly LineId[] {
    const due = [...this.lines].filter(([, l]) => l.dueAt !== null && l.dueAt <= now && l.leaseUntil <= now);
    return due.toSorted((a, b) => (a[1].dueAt ?? 0) - (b[1].dueAt ?? 0)).map(([id]) => id);
  }

  holdLines(taken: readonly LineId[], leaseUntil: number): void {
    for (const id of taken) {
      const kept = this.lines.get(id);
      if (kept) kept.leaseUntil = leaseUntil;
    }
  }

  /** Everything that may be taken at `now`, in the order of taking; equals in priority and time in the order of writing. */
  takeable(now: number): readonly SimpleMessage[] {
    for (const m of this.messages) {
      const { sendBefore } = m.message;
      if (isUnderWay(m) && sendBefore !== null && sendBefore < now && m.leaseUntil <= now)
        m.state = 'gave-up';
    }
    return this.messages
      .filter((m) => isUnderWay(m) && m.message.notBefore <= now && m.leaseUntil <= now && !this.#mustWait(m))
      .toSorted(
        (a, b) => a.message.priority - b.message.priority || a.message.notBefore - b.message.notBefore,
      );
  }

  take(m: SimpleMessage, now: number, leaseMs: number): void {
    m.mayHaveBeenSent ||= m.state === 'held';
    m.state = 'held';
    m.attempts++;
    m.leaseUntil = now + leaseMs;
    m.taking = ++this.takings;
  }

  settle(id: string, taking: number, outcome: SendOutcome): boolean {
    const m = this.messages.find((one) => one.message.id === id);
    if (m?.state !== 'held' || m.taking !== taking) return false;
    m.leaseUntil = 0;
    m.state = outcome.kind === 'again' ? 'waiting' : outcome.kind;
    if (outcome.kind === 'again') {
      m.message = { ...m.message, notBefore: outcome.at };
      m.mayHaveBeenSent ||= outcome.mayHaveBeenSent;
    }
    return true;
  }

  byCode(code: string): AlertEntry | undefined {
    const found = [...this.alerts.values()].filter((a) => a.code === code);
    return found.sort((a, b) => Number(b.open) - Number(a.open) || b.raisedAt - a.raisedAt || byId(a, b))[0];
  }

  openAlerts(): readonly AlertEntry[] {
    const open = [...this.alerts.values()].filter((a) => a.open);
    return open.sort((a, b) =>
      a.tier === b.tier ? a.raisedAt - b.raisedAt || byId(a, b) : a.tier < b.tier ? -1 : 1,
    );
  }

  backlog(now: number) {
    const due = [...this.lines.values()].flatMap((l) =>
      l.dueAt !== null && l.dueAt <= now ? [l.dueAt] : [],
    );
    const waiting = this.messages
      .filter((m) => isUnderWay(m) && m.message.notBefore <= now)
      .map((m) => m.message.notBefore);
    return {
      dueLines: due.length,
      oldestDueAt: due.length === 0 ? null : Math.min(...due),
      waitingMessages: waiting.length,
      oldestMessageAt: waiting.length === 0 ? null : Math.min(...waiting),
      openAlerts: this.openAlerts().length,
    };
  }

  #mustWait(m: SimpleMessage): boolean {
    const before = this.messages.slice(0, this.messages.indexOf(m));
    return before.some(
      ({ message, state }) =>
        (state === 'waiting' || state === 'held') &&
        message.lineId === m.message.lineId &&
        message.receiver === m.message.receiver &&
        message.priority <= m.message.priority,
    );
  }
}

function isUnderWay({ state }: SimpleMessage): boolean {
  return state === 'waiting' || state === 'held';
}

function byId(a: AlertEntry, b: AlertEntry): number {
  return a.alertId < b.alertId ? -1 : 1;
}
