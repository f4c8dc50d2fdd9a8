import { Counter, collectDefaultMetrics, Gauge, Histogram, Registry } from 'prom-client';
import { carrierFaults, type Inbound } from '../channels/carrier.ts';
import { readGiveUp } from '../outreach/give-up.ts';
import type { SendOutcome, TakenMessage } from '../store/store.ts';
import type { TurnReport } from '../turn-report.ts';

/** What is counted of a running process. No label ever holds an id, a number, a name or a word of anybody. */
export interface Metrics {
  /** Where gauges that are read on demand are added. */
  readonly registry: Registry;
  turn(report: TurnReport): void;
  send(message: TakenMessage, outcome: SendOutcome): void;
  inbound(inbound: Inbound, answered: boolean): void;
  /** A webhook turned away, by the field that was wrong. */
  refused(status: number): void;
  look(at: 'due' | 'outbox'): void;
}

/** What a process says of itself once. */
export interface ProcessFacts {
  readonly role: 'all' | 'web' | 'worker';
  readonly store: 'sqlite' | 'redis';
  readonly version: string;
}

/** Seconds. A carrier waits 15 s; a turn should take milliseconds. */
const turnBuckets = [0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10, 15];

/** The carrier's words for what became of a text or call, as its documentation lists them; any other counts as `other`. */
const receiptStates: ReadonlySet<string> = new Set([
  'accepted',
  'scheduled',
  'queued',
  'sending',
  'sent',
  'delivered',
  'undelivered',
  'failed',
  'canceled',
  'read',
]);

/** Counters and histograms of one process. Each event costs well under a microsecond or two; nothing is read or written. */
export function openMetrics(facts: ProcessFacts): Metrics {
  const registry = new Registry();
  const registers = [registry];
  collectDefaultMetrics({ register: registry });
  const counter = <L extends string>(name: string, help: string, labelNames: readonly L[]) =>
    new Counter<L>({ name: `eightfeeds_${name}`, help, labelNames, registers });
  const histogram = <L extends string>(name: string, help: string, labelNames: readonly L[]) =>
    new Histogram<L>({ name: `eightfeeds_${name}`, help, labelNames, registers, buckets: turnBuckets });

  new Gauge({
    name: 'eightfeeds_info',
    help: 'Always 1; the labels say what this process is.',
    labelNames: ['role', 'store', 'version'],
    registers,
  }).set({ ...facts }, 1);
  const turns = counter('turns_total', 'Turns, by kind of event and outcome.', ['kind', 'outcome']);
  const turnSeconds = histogram('turn_seconds', 'From coming in until it is durable, by kind of event.', [
    'kind',
  ]);
  const commitSeconds = histogram('commit_seconds', 'Time that a commit took to be durable.', []);
  const loadSeconds = histogram('load_seconds', 'Time that reading a line took.', []);
  const conflicts = counter('turn_conflicts_total', 'Turns run again, by what made them void.', ['why']);
  const dangers = counter('danger_told_total', 'Dangers told, by tier of the most urgent sign.', [
    'tier',
    'sure',
  ]);
  const raised = counter('alerts_raised_total', 'Alerts raised, or raised again, by tier.', ['tier']);
  const sends = counter('sends_total', 'Tries to send a message, by channel, purpose and outcome.', [
    'channel',
    'purpose',
    'outcome',
  ]);
  const faults = counter('send_faults_total', 'Sends that failed, by what the carrier said of it.', [
    'fault',
  ]);
  const inbounds = counter('webhooks_total', 'Webhooks of the carrier, by kind and outcome.', [
    'kind',
    'outcome',
  ]);
  const refusals = counter('webhooks_refused_total', 'Webhooks turned away, by status.', ['status']);
  const receipts = counter('receipts_total', 'Receipts of the carrier, by state of the message.', ['state']);
  const looks = new Gauge({
    name: 'eightfeeds_worker_last_look_timestamp_seconds',
    help: 'When this process last looked at what is due, or waits to be sent. Absent: it is no worker.',
    labelNames: ['at'],
    registers,
  });
  // Alerts on a rate need the series to be there before the first failure.
  for (const purpose of ['safety', 'alert'] as const)
    for (const channel of ['text', 'call'] as const)
      for (const outcome of ['sent', 'again', 'gave-up'] as const)
        sends.inc({ channel, purpose, outcome }, 0);
  for (const fault of carrierFaults) faults.inc({ fault }, 0);
  for (const tier of ['A', 'B', 'C'] as const) raised.inc({ tier }, 0);

  return {
    registry,
    turn(report) {
      const { kind } = report;
      turns.inc({ kind, outcome: report.outcome });
      turnSeconds.observe({ kind }, report.totalMs / 1000);
      loadSeconds.observe(report.loadMs / 1000);
      if (report.commitMs > 0) commitSeconds.observe(report.commitMs / 1000);
      if (report.stale > 0) conflicts.inc({ why: 'stale-state' }, report.stale);
      if (report.codesTaken > 0) conflicts.inc({ why: 'alert-code-taken' }, report.codesTaken);
      for (const { tier, sure } of report.dangers) dangers.inc({ tier, sure: String(sure) });
      for (const tier of report.raised) raised.inc({ tier });
    },
    send({ channel, purpose }, outcome) {
      sends.inc({ channel, purpose, outcome: outcome.kind });
      if (outcome.kind !== 'sent') faults.inc({ fault: readGiveUp(outcome.why).fault ?? 'no-answer' });
    },
    inbound(inbound, answered) {
      inbounds.inc({ kind: inbound.kind, outcome: answered ? 'answered' : 'failed' });
      if (inbound.kind === 'receipt')
        receipts.inc({ state: receiptStates.has(inbound.status) ? inbound.status : 'other' });
    },
    refused: (status) => refusals.inc({ status }),
    look: (at) => looks.set({ at }, Date.now() / 1000),
  };
}
