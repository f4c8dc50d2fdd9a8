/**
 * A number from 0 to below 1 that is always the same for one message and try, and spread evenly over messages: what failed together
 * is not tried again together, and a test needs no dice. FNV-1a, then the mixer of MurmurHash3, since FNV's last characters weigh little.
 * @param attempts how often it was tried before, 0 or more
 */
export function jitterOf(messageId: string, attempts: number): number {
  let h = 0x811c9dc5;
  for (const c of `${messageId}/${attempts}`) h = Math.imul(h ^ c.charCodeAt(0), 0x01000193) >>> 0;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b) >>> 0;
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35) >>> 0;
  return ((h ^ (h >>> 16)) >>> 0) / 2 ** 32;
}
