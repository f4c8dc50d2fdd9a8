import { createHash } from 'node:crypto';

/** How a carrier's id is named in the logs: 16 hex digits, the same for the same id, from which nobody reads the id. */
export function traceOf(inboundId: string): string {
  return createHash('sha256').update(inboundId).digest('hex').slice(0, 16);
}

/**
 * What ties a webhook to the others of its call or message: the carrier's ids of later steps are the first one's, a colon and
 * the step.
 */
export function traceIds(inboundId: string): { readonly trace: string; readonly root?: string } {
  const colon = inboundId.indexOf(':');
  const trace = traceOf(inboundId);
  return colon < 0 ? { trace } : { trace, root: traceOf(inboundId.slice(0, colon)) };
}
