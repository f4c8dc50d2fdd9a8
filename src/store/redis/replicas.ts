import { ErrorReply } from 'redis';
import { StoreUnavailable } from '../../errors.ts';

/** How far a change must have come before anybody is told that it is kept. */
export interface ReplicasWaited {
  /** How many replicas of the server that took it must have it in their memory; 0 for none. */
  readonly count: number;
  /** How long they may take, in milliseconds; then its outcome is unknown. Well below the time of a command. */
  readonly ms: number;
}

/** One connection's way of sending. What has the same `group` goes out on one connection, or the rest of it not at all. */
export type SendInGroup = (args: readonly (string | Buffer)[], group: symbol) => Promise<unknown>;

/** The server did what was asked, and answered; whether that would outlive the server is not known. */
export class TooFewReplicas extends StoreUnavailable {
  /** What was answered, to be told to nobody as kept. */
  readonly answer: unknown;
  constructor(message: string, answer: unknown, options?: ErrorOptions) {
    super(message, options);
    this.answer = answer;
  }
}

interface Gathered {
  readonly args: readonly (string | Buffer)[];
  resolve(answer: unknown): void;
  reject(error: unknown): void;
}

/**
 * Sends scripts of one connection in groups, each followed by one WAIT, and tells an answer only when enough replicas have the
 * whole group. A connection stands still while it waits, so meanwhile the next group gathers, and nothing else may use it.
 *
 * WAIT counts the replicas that have what this very connection wrote. A script that writes nothing is therefore not covered: one
 * whose answer is an acknowledgement of what was written before must write something itself.
 */
export function inWaitedGroups(
  send: SendInGroup,
  { count, ms }: ReplicasWaited,
): (args: readonly (string | Buffer)[]) => Promise<unknown> {
  let gathered: Gathered[] = [];
  let isSending = false;

  async function sendGroup(group: readonly Gathered[]): Promise<void> {
    const name = Symbol('group');
    const answers = group.map(({ args }) => send(args, name));
    const confirmations = send(['WAIT', String(count), String(ms)], name);
    const [confirmed, ...told] = await Promise.allSettled([confirmations, ...answers]);
    const have = confirmed.status === 'fulfilled' ? Number(confirmed.value) : 0;
    for (const [i, { resolve, reject }] of group.entries()) {
      const answer = told[i];
      if (answer?.status === 'fulfilled' && have >= count) resolve(answer.value);
      else if (answer?.status === 'fulfilled') reject(tooFew(answer.value, confirmed, have, count));
      else reject(answer?.reason);
    }
    if (have >= count) return;
    // They were not sent yet, and would wait as long for the same replicas.
    for (const { reject } of gathered.splice(0)) reject(notTried());
  }

  async function sendAll(): Promise<void> {
    while (gathered.length > 0) {
      const group = gathered;
      gathered = [];
      await sendGroup(group);
    }
    isSending = false;
  }

  return (args) =>
    new Promise((resolve, reject) => {
      gathered.push({ args, resolve, reject });
      if (isSending) return;
      isSending = true;
      // Everything of this round of the event loop goes together.
      setImmediate(() => void sendAll());
    });
}

function tooFew(
  answer: unknown,
  confirmed: PromiseSettledResult<unknown>,
  have: number,
  count: number,
): StoreUnavailable {
  const cause = confirmed.status === 'rejected' ? { cause: confirmed.reason as unknown } : undefined;
  return new TooFewReplicas(
    `${have} of ${count} replicas have the change so far. Whether it stays is not known: ask again with the same inbound id.`,
    answer,
    cause,
  );
}

/** The error for what is not even sent, since the replicas were too few a moment ago. Nothing of it was kept. */
export function notTried(): StoreUnavailable {
  return new StoreUnavailable(
    'Too few replicas of the Redis server confirm what it takes. It is tried again shortly.',
  );
}

/** Whether the server said that the slot lies elsewhere: nothing of the command was done. */
export function isMoved(error: unknown): boolean {
  return error instanceof ErrorReply && error.message.startsWith('MOVED');
}
