/**
 * A look at the store that many may ask for: all who ask within `ms` of its beginning get the same one, so that nobody outside can make
 * the store work harder than once in that time. One that failed is shared just as long.
 */
export function sharedLook<T>(ms: number, look: () => Promise<T>): () => Promise<T> {
  let begunAt = Number.NEGATIVE_INFINITY;
  let latest: Promise<T> | undefined;
  return () => {
    const now = performance.now();
    if (latest === undefined || now - begunAt >= ms) {
      begunAt = now;
      latest = look();
    }
    return latest;
  };
}
