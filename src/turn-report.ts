import type { Draft } from './dialog/draft.ts';
import type { LineEvent } from './dialog/event.ts';
import type { LineId, LineState } from './dialog/line.ts';
import { AlertCodeTaken } from './errors.ts';
import type { AlertEntry, LineCommit } from './store/store.ts';

export type AlertTier = AlertEntry['tier'];

/** What one turn did and how long it took: for metrics and logs. Ids and figures only, nothing that a person said or is called. */
export interface TurnReport {
  readonly lineId: LineId;
  readonly kind: LineEvent['kind'];
  /** The carrier's id of what came in; absent for due times. */
  readonly inboundId: string | undefined;
  /** `nothing`: there is nobody to keep it for. `failed`: nothing was kept, and who asked was told so. */
  outcome: 'committed' | 'repeated' | 'nothing' | 'failed';
  /** Runs that somebody else's commit made void, and runs whose alert code was taken. */
  stale: number;
  codesTaken: number;
  /** Milliseconds from coming in to the end; of these, waiting for the line's earlier events, and the last run's parts. */
  totalMs: number;
  waitMs: number;
  loadMs: number;
  turnMs: number;
  commitMs: number;
  /** The most urgent sign of each time that danger was told. */
  dangers: readonly DangerTold[];
  /** Tiers of the alerts raised, or raised again. */
  raised: readonly AlertTier[];
  /** Ids of the messages put into the outbox. */
  outboxIds: readonly string[];
  /** For a receipt: the message that it tells of, and what. */
  readonly receipt: { readonly outboxId: string; readonly status: string } | undefined;
}

export interface DangerTold {
  readonly tier: AlertTier | 'none';
  readonly sure: boolean;
}

const nothing: readonly never[] = [];

/** A report with nothing done yet. */
export function newReport(lineId: LineId, event: LineEvent): TurnReport {
  return {
    lineId,
    kind: event.kind,
    inboundId: 'id' in event ? event.id : undefined,
    outcome: 'failed',
    stale: 0,
    codesTaken: 0,
    totalMs: 0,
    waitMs: 0,
    loadMs: 0,
    turnMs: 0,
    commitMs: 0,
    dangers: nothing,
    raised: nothing,
    outboxIds: nothing,
    receipt: event.kind === 'receipt' ? { outboxId: event.outboxId, status: event.status } : undefined,
  };
}

/** Notes what a committed turn told of danger, raised and sent. @param before the state that it began with */
export function noteEffects(
  report: TurnReport,
  before: LineState | undefined,
  draft: Draft,
  { outbox }: Pick<LineCommit, 'outbox'>,
): void {
  report.dangers = draft.journal.flatMap(({ kind, body }) => (kind === 'danger-told' ? firstSign(body) : []));
  report.raised = draft.state.alerts.flatMap(({ id, raisedAt, tier }) =>
    before?.alerts.some((a) => a.id === id && a.raisedAt === raisedAt) === true ? [] : [tier],
  );
  report.outboxIds = outbox.map((m) => m.id);
}

/** Notes why a run must be done again. */
export function noteRefusal(report: TurnReport, error: unknown): void {
  if (error instanceof AlertCodeTaken) report.codesTaken++;
  else report.stale++;
}

/** The signs stand most urgent first. */
function firstSign(body: unknown): readonly DangerTold[] {
  const [first] = (body as { readonly signs: readonly DangerTold[] }).signs;
  return first === undefined ? nothing : [{ tier: first.tier, sure: first.sure }];
}
