import fc from 'fast-check';
import { expect, it } from 'vitest';
import type { LineId } from '../../src/dialog/line.ts';
import { AlertCodeTaken, StaleState, StoreUnavailable } from '../../src/errors.ts';
import type { AlertEntry, LineCommit, OutboxMessage, SendOutcome, Store } from '../../src/store/store.ts';
import { change, line, message, newSealer, t0 } from './sample-changes.ts';
import { SimpleStore } from './simple-store.ts';
import type { ContractPart } from './store.ts';
import { ownStore } from './with-store.ts';

/** One step of a random life. Numbers are small on purpose: everything meets everything else again and again. */
type Step =
  | {
      readonly kind: 'commit';
      readonly of: number;
      readonly behind: boolean;
      readonly inbound: number;
      readonly due: number | null;
      readonly entries: number;
      readonly outbox: readonly Posted[];
      readonly alerts: readonly Told[];
    }
  | { readonly kind: 'due' | 'outbox'; readonly limit: number; readonly leaseMs: number }
  | {
      readonly kind: 'settle';
      readonly which: number;
      readonly how: SendOutcome['kind'];
      readonly after: number;
      readonly maybe: boolean;
    }
  | { readonly kind: 'wait'; readonly ms: number }
  | { readonly kind: 'reopen' }
  | { readonly kind: 'look' };

interface Posted {
  readonly n: number;
  readonly priority: number;
  readonly notBefore: number;
  readonly sendBefore: number | null;
  readonly receiver: number;
}

interface Told {
  readonly n: number;
  readonly code: number;
  readonly tier: AlertEntry['tier'];
  readonly raised: number;
  readonly open: boolean;
}

const lineCount = 4;
const small = (max: number) => fc.integer({ min: 0, max });
const posted: fc.Arbitrary<Posted> = fc.record({
  n: small(400),
  priority: small(5),
  notBefore: fc.integer({ min: -50, max: 100 }),
  sendBefore: fc.option(small(200), { freq: 4 }),
  receiver: small(2),
});
const told: fc.Arbitrary<Told> = fc.record({
  n: small(3),
  code: small(6),
  tier: fc.constantFrom('A', 'B', 'C'),
  raised: small(20),
  open: fc.boolean(),
});
const step: fc.Arbitrary<Step> = fc.oneof(
  {
    weight: 200,
    arbitrary: fc.record({
      kind: fc.constant('commit' as const),
      of: small(lineCount - 1),
      behind: fc.integer({ min: 0, max: 9 }).map((n) => n === 0),
      inbound: small(200),
      due: fc.option(fc.integer({ min: -100, max: 300 })),
      entries: small(3),
      outbox: fc.uniqueArray(posted, { maxLength: 2, selector: ({ n }) => n }),
      alerts: fc.uniqueArray(told, { maxLength: 2, selector: ({ n }) => n }),
    }),
  },
  {
    weight: 20,
    arbitrary: fc.record({
      kind: fc.constantFrom('due' as const, 'outbox' as const),
      limit: fc.integer({ min: 1, max: 6 }),
      leaseMs: fc.integer({ min: 1, max: 120 }),
    }),
  },
  {
    weight: 20,
    arbitrary: fc.record({
      kind: fc.constant('settle' as const),
      which: small(30),
      how: fc.constantFrom('sent' as const, 'again' as const, 'gave-up' as const),
      after: fc.integer({ min: -20, max: 80 }),
      maybe: fc.boolean(),
    }),
  },
  { weight: 15, arbitrary: fc.record({ kind: fc.constant('wait' as const), ms: small(60) }) },
  { weight: 15, arbitrary: fc.constant<Step>({ kind: 'look' }) },
  { weight: 1, arbitrary: fc.constant<Step>({ kind: 'reopen' }) },
);

export const modelContract: ContractPart = (place) => {
  const { newPlace, at } = ownStore(place);

  it('does what the model does over 1,000 random steps', { timeout: 120_000 }, async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(step, { minLength: 125, maxLength: 175 }), async (steps) => {
        const where = await newPlace();
        const sealer = newSealer();
        const life = new Life(await at(where, sealer));
        for (const one of steps) {
          if (one.kind === 'reopen') {
            await life.store.close();
            life.store = await at(where, sealer);
          } else await life.step(one);
        }
        await life.look();
        await life.store.close();
      }),
      { numRuns: 8, interruptAfterTimeLimit: 90_000, markInterruptAsFailure: true },
    );
  });
};

/** A store and its model, living through the same steps. */
class Life {
  store: Store;
  readonly model = new SimpleStore();
  readonly #takings: { readonly id: string; readonly token: string; readonly taking: number }[] = [];
  #now = t0;

  constructor(store: Store) {
    this.store = store;
  }

  async step(one: Exclude<Step, { kind: 'reopen' }>): Promise<void> {
    switch (one.kind) {
      case 'commit':
        return this.#commit(one);
      case 'due':
        return this.#takeDue(one.limit, one.leaseMs);
      case 'outbox':
        return this.#takeOutbox(one.limit, one.leaseMs);
      case 'settle':
        return this.#settle(one);
      case 'wait':
        this.#now += one.ms;
        return;
      case 'look':
        return this.look();
    }
  }

  async #commit(one: Step & { kind: 'commit' }): Promise<void> {
    const lineId = line(one.of);
    const version = this.model.lines.get(lineId)?.version ?? 0;
    const wanted: LineCommit = change(lineId, one.behind ? version + 1 : version, {
      ...(one.inbound < 150 ? { inboundId: `SM${one.inbound}` } : {}),
      reply: `reply ${version} to ${one.inbound}`,
      state: `{"line":${one.of},"turn":${version}}`,
      nextDueAt: one.due === null ? null : this.#now + one.due,
      journal: Array.from({ length: one.entries }, (_, n) => ({
        at: this.#now + n,
        kind: 'k',
        body: `{"n":${n},"v":${version}}`,
      })),
      outbox: one.outbox.map((m) => this.#message(one.of, m)),
      alerts: one.alerts.map((a) => ({
        alertId: `${one.of}-${a.n}`,
        lineId,
        code: String(1000 + a.code),
        tier: a.tier,
        raisedAt: t0 + a.raised,
        open: a.open,
      })),
    });
    const expected = this.model.commit(wanted);
    expect(await this.store.commit(wanted).catch(kindOfRefusal)).toEqual(expected);
  }

  #message(of: number, m: Posted): OutboxMessage {
    return message(line(of), `${line(of)}.${m.n}`, {
      priority: m.priority,
      notBefore: this.#now + m.notBefore,
      sendBefore: m.sendBefore === null ? null : this.#now + m.sendBefore,
      receiver: `counsellor-${m.receiver}`,
    });
  }

  /** Lines due at the same time may come in any order. */
  async #takeDue(limit: number, leaseMs: number): Promise<void> {
    const could = this.model.dueLines(this.#now);
    const taken = await this.store.takeDueLines(this.#now, limit, leaseMs);
    const dueAt = (lineId: LineId) => this.model.lines.get(lineId)?.dueAt;
    expect(taken.map(dueAt)).toEqual(could.slice(0, limit).map(dueAt));
    expect(could).toEqual(expect.arrayContaining([...taken]));
    expect(new Set(taken).size).toBe(taken.length);
    this.model.holdLines(taken, this.#now + leaseMs);
  }

  /** Messages that are equal in priority and time may come in any order; the model follows the store in that. */
  async #takeOutbox(limit: number, leaseMs: number): Promise<void> {
    const could = this.model.takeable(this.#now);
    const taken = await this.store.takeOutbox(this.#now, limit, leaseMs);
    const place = ({ priority, notBefore }: OutboxMessage) => [priority, notBefore];
    expect(taken.map(place)).toEqual(could.slice(0, limit).map((m) => place(m.message)));
    for (const { leaseToken, attempts, mayHaveBeenSent, ...rest } of taken) {
      const ours = could.find((m) => m.message.id === rest.id);
      expect(ours?.message).toEqual(rest);
      if (!ours) continue;
      expect(attempts).toBe(ours.attempts);
      this.model.take(ours, this.#now, leaseMs);
      expect(mayHaveBeenSent).toBe(ours.mayHaveBeenSent);
      this.#takings.push({ id: rest.id, token: leaseToken, taking: ours.taking });
    }
  }

  async #settle(one: Step & { kind: 'settle' }): Promise<void> {
    const taking = this.#takings.at(-1 - one.which) ?? this.#takings.at(-1);
    if (!taking) return;
    const at = this.#now + one.after;
    const outcome: SendOutcome =
      one.how === 'sent'
        ? { kind: 'sent', carrierId: 'SM', at }
        : one.how === 'again'
          ? { kind: 'again', at, why: 'busy', mayHaveBeenSent: one.maybe }
          : { kind: 'gave-up', at, why: 'no' };
    expect(await this.store.settleMessage(taking.id, taking.token, outcome)).toBe(
      this.model.settle(taking.id, taking.taking, outcome),
    );
  }

  async look(): Promise<void> {
    const { store, model } = this;
    for (let n = 0; n < lineCount; n++) {
      const ours = model.lines.get(line(n));
      expect(await store.load(line(n))).toEqual(ours && { version: ours.version, state: ours.state });
      const journal = (model.journals.get(line(n)) ?? []).map((entry, index) => ({
        ...entry,
        seq: index + 1,
      }));
      expect(await store.journal(line(n), 10_000)).toEqual(journal);
      expect(await store.journal(line(n), 5, 3)).toEqual(journal.slice(3, 8));
    }
    for (const [key, reply] of model.replies) {
      const [lineId, inboundId] = key.split(' ') as [ReturnType<typeof line>, string];
      expect(await store.replyTo(inboundId, lineId)).toBe(reply);
    }
    for (const { message: m, state, attempts } of model.messages)
      expect(await store.message(m.id)).toMatchObject({ ...m, state, attempts });
    for (let code = 1000; code <= 1006; code++)
      expect(await store.alertByCode(String(code))).toEqual(model.byCode(String(code)));
    expect(await store.openAlerts(100)).toEqual(model.openAlerts());
    expect(await store.openAlerts(2)).toEqual(model.openAlerts().slice(0, 2));
    expect(await store.backlog(this.#now)).toEqual(model.backlog(this.#now));
  }
}

function kindOfRefusal(error: unknown): { readonly kind: string } {
  if (error instanceof StaleState || error instanceof AlertCodeTaken || error instanceof StoreUnavailable)
    return { kind: error.code };
  throw error;
}
