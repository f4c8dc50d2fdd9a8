/** Runs work that keeps the processor busy, a little of it in each turn of the event loop. */
export type GiveWay = <T>(work: () => T) => Promise<T>;

/**
 * A page of the desk opens the states of hundreds of lines at rest, at once. Each takes a third of a millisecond, and all in one go
 * would keep the mothers who write meanwhile waiting: what goes beyond `mostMs` in a turn of the event loop waits for the next one.
 * @param mostMs above 0
 */
export function openGiveWay(mostMs = 4): GiveWay {
  let spentMs = 0;
  let nextTurn: Promise<void> | undefined;

  function later(): Promise<void> {
    nextTurn ??= new Promise((resolve) => {
      setImmediate(() => {
        spentMs = 0;
        nextTurn = undefined;
        resolve();
      });
    });
    return nextTurn;
  }

  return async (work) => {
    while (spentMs >= mostMs) await later();
    void later();
    const from = performance.now();
    try {
      return work();
    } finally {
      spentMs += performance.now() - from;
    }
  };
}
