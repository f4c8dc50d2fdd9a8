import type { Inbound, Reply } from '../channels/carrier.ts';
import type { LineWatcher } from '../running-line.ts';
import { traceIds } from '../trace-id.ts';
import type { TurnReport } from '../turn-report.ts';
import type { LineService } from './line-service.ts';
import type { Metrics } from './metrics.ts';

/** The slice of a log that is written to. */
export interface WatchLog {
  isLevelEnabled(level: 'debug'): boolean;
  debug(fields: object, message: string): void;
  warn(fields: object, message: string): void;
}

/** A turn that takes so long is logged at any time; a carrier waits 15 s. */
const slowTurnMs = 2_000;

/**
 * Counts what the line does, and at debug level logs it as one line each: `webhook`, `turn`, `send`. The fields `trace`,
 * `root`, `outbox` and `message` tie them together, for `eightfeeds trace`. Ids and figures only.
 */
export function watchLine(log: WatchLog, metrics: Metrics | undefined): LineWatcher {
  return {
    onTurn(report) {
      metrics?.turn(report);
      const slow = report.totalMs >= slowTurnMs;
      if (slow) log.warn(turnFields(report), 'turn');
      else if (log.isLevelEnabled('debug')) log.debug(turnFields(report), 'turn');
    },
    onSend(message, outcome) {
      metrics?.send(message, outcome);
      if (!log.isLevelEnabled('debug')) return;
      const { id, lineId, channel, purpose, attempts } = message;
      log.debug(
        {
          ...{ message: id, line: lineId, channel, purpose, attempt: attempts + 1, outcome: outcome.kind },
          ...(outcome.kind === 'sent' ? { carrierId: outcome.carrierId } : { why: outcome.why }),
        },
        'send',
      );
    },
    onLook: (at) => metrics?.look(at),
  };
}

/** The same service, with each webhook counted and, at debug level, logged. */
export function watchedService(
  service: LineService,
  log: WatchLog,
  metrics: Metrics | undefined,
): LineService {
  const told = (inbound: Inbound, startedAt: number, outcome: 'answered' | 'failed') => {
    metrics?.inbound(inbound, outcome === 'answered');
    if (!log.isLevelEnabled('debug')) return;
    const ms = roundedMs(performance.now() - startedAt);
    const message = inbound.kind === 'receipt' ? { message: inbound.outboxId, state: inbound.status } : {};
    log.debug({ ...traceIds(inbound.id), kind: inbound.kind, ...message, outcome, ms }, 'webhook');
  };
  return {
    async receive(inbound): Promise<Reply> {
      const startedAt = performance.now();
      try {
        const reply = await service.receive(inbound);
        told(inbound, startedAt, 'answered');
        return reply;
      } catch (error) {
        told(inbound, startedAt, 'failed');
        throw error;
      }
    },
  };
}

/** Most webhooks turned away that are logged in a minute: a wrong address shows, a flood does not fill the disk. */
const refusalsAMinute = 6;

/** Counts webhooks that were turned away, and logs some. A carrier's own one is turned away when `PUBLIC_URL` is not as it calls us. */
export function refusalWatch(log: WatchLog, metrics: Metrics | undefined) {
  let minute = 0;
  let logged = 0;
  return (refusal: { readonly path: string; readonly status: number; readonly why: string }): void => {
    metrics?.refused(refusal.status);
    const now = Math.floor(performance.now() / 60_000);
    if (now !== minute) [minute, logged] = [now, 0];
    if (++logged <= refusalsAMinute) log.warn({ ...refusal }, 'a webhook was turned away');
  };
}

function turnFields(report: TurnReport): object {
  const { lineId, kind, inboundId, outcome, stale, codesTaken, receipt, outboxIds, dangers, raised } = report;
  return {
    ...(inboundId === undefined ? {} : traceIds(inboundId)),
    ...{ line: lineId, kind, outcome },
    ...(receipt === undefined ? {} : { message: receipt.outboxId, state: receipt.status }),
    ...(outboxIds.length === 0 ? {} : { outbox: outboxIds }),
    ...(dangers.length === 0 ? {} : { dangers }),
    ...(raised.length === 0 ? {} : { raised }),
    ...(stale + codesTaken === 0 ? {} : { again: stale + codesTaken }),
    ms: {
      total: roundedMs(report.totalMs),
      wait: roundedMs(report.waitMs),
      load: roundedMs(report.loadMs),
      turn: roundedMs(report.turnMs),
      commit: roundedMs(report.commitMs),
    },
  };
}

/** To a hundredth of a millisecond. */
function roundedMs(ms: number): number {
  return Math.round(ms * 100) / 100;
}
