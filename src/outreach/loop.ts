/** Work that is looked for again and again, one run at a time. */
export interface Loop {
  start(): void;
  /** Runs now, or once more after the run that is under way; settles when that run is done. Never rejects. */
  runNow(): Promise<void>;
  /** Lets the run under way finish and starts no other. */
  stop(): Promise<void>;
}

/** @param work is given whether to go on: asked between pieces, so that a long backlog does not hold up a stop */
export function loop(
  everyMs: number,
  onTrouble: (error: unknown) => void,
  work: (goOn: () => boolean) => Promise<void>,
): Loop {
  let timer: NodeJS.Timeout | undefined;
  let running: Promise<void> | undefined;
  let waiting: Promise<void> | undefined;
  let isStopped = false;
  const once = (): Promise<void> => {
    running = work(() => !isStopped)
      .catch(onTrouble)
      .finally(() => {
        running = undefined;
      });
    return running;
  };
  const runNow = (): Promise<void> => {
    if (isStopped) return Promise.resolve();
    if (running === undefined) return once();
    waiting ??= running.then(() => {
      waiting = undefined;
      return isStopped ? undefined : once();
    });
    return waiting;
  };
  const tick = (): void => {
    timer = setTimeout(() => {
      void (running ?? once()).then(() => {
        if (!isStopped) tick();
      });
    }, everyMs);
  };
  return {
    start: tick,
    runNow,
    stop: async () => {
      isStopped = true;
      clearTimeout(timer);
      await (waiting ?? running);
    },
  };
}
