import { hash } from 'node:crypto';

/** An inbound id as it is kept: 48 bits of its SHA-256 (FIPS 180-4), which tell apart the few hundred of one line. */
export function inboundHash(inboundId: string): number {
  return hash('sha256', inboundId, 'buffer').readUIntBE(0, 6);
}
