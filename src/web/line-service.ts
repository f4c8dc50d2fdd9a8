import type { Inbound, Reply } from '../channels/carrier.ts';

/**
 * The one way in for the shell: what the carrier told us goes in, what to answer comes out, after the turn is durable.
 * @throws StoreUnavailable when the turn could not be kept; nothing of it was
 */
export interface LineService {
  receive(inbound: Inbound): Promise<Reply>;
}

/** The time now, in epoch milliseconds. The practice clock can be moved forward; the real one cannot. */
export interface Clock {
  now(): number;
}
