import { expect, it } from 'vitest';
import { StoreUnavailable } from '../../src/errors.ts';
import { inWaitedGroups, TooFewReplicas } from '../../src/store/redis/replicas.ts';

/** A connection that answers when it is told to: in order, and nothing after a WAIT before that is answered. */
function connection() {
  const sent: { readonly command: string; readonly group: symbol }[] = [];
  const open: ((answer: number | Error) => void)[] = [];
  return {
    sent,
    commands: () => sent.map(({ command }) => command),
    send: (args: readonly (string | Buffer)[], group: symbol) => {
      sent.push({ command: args.join(' '), group });
      return new Promise<unknown>((resolve, reject) => {
        open.push((answer) => (answer instanceof Error ? reject(answer) : resolve(answer)));
      });
    },
    answer: (...answers: readonly (number | Error)[]) => {
      for (const answer of answers) open.shift()?.(answer);
    },
  };
}

const round = () => new Promise((resolve) => setImmediate(resolve));
const waited = { count: 1, ms: 700 };
const outcome = (promise: Promise<unknown>) =>
  promise.then(
    (value) => value,
    (error: unknown) => error,
  );

it('sends what comes together with one WAIT, all in one group, and tells nothing before it is confirmed', async () => {
  const server = connection();
  const run = inWaitedGroups(server.send, waited);
  const told: unknown[] = [];
  const all = ['a', 'b', 'c'].map((name) => run([name]).then((answer) => told.push(answer)));
  await round();
  expect(server.commands()).toEqual(['a', 'b', 'c', 'WAIT 1 700']);
  expect(new Set(server.sent.map(({ group }) => group)).size).toBe(1);
  server.answer(11, 12, 13);
  await round();
  expect(told).toEqual([]);
  server.answer(1);
  await Promise.all(all);
  expect(told).toEqual([11, 12, 13]);
});

it('gathers the next group while one waits', async () => {
  const server = connection();
  const run = inWaitedGroups(server.send, waited);
  const first = run(['a']);
  await round();
  const later = [run(['b']), run(['c'])];
  await round();
  expect(server.commands()).toEqual(['a', 'WAIT 1 700']);
  server.answer(1, 1);
  await first;
  await round();
  expect(server.commands().slice(2)).toEqual(['b', 'c', 'WAIT 1 700']);
  server.answer(2, 3, 2);
  expect(await Promise.all(later)).toEqual([2, 3]);
});

it('does not know the outcome when too few confirm or the WAIT is lost, and sends nothing of what waits', async () => {
  for (const confirmed of [0, new Error('Socket closed')]) {
    const server = connection();
    const run = inWaitedGroups(server.send, waited);
    const refused = new Error('NOSCRIPT');
    const group = [outcome(run(['a'])), outcome(run(['b']))];
    await round();
    const next = outcome(run(['c']));
    server.answer(1, refused, confirmed);
    const [unknown, refusal] = await Promise.all(group);
    expect(unknown).toBeInstanceOf(TooFewReplicas);
    // What the server refused was not done, whatever the replicas have.
    expect(refusal).toBe(refused);
    expect(await next).toBeInstanceOf(StoreUnavailable);
    expect(await next).not.toBeInstanceOf(TooFewReplicas);
    expect(server.commands()).not.toContain('c');
    const again = run(['d']);
    await round();
    server.answer(4, 1);
    expect(await again).toBe(4);
  }
});

it('tells one refused script apart from the others of its group', async () => {
  const server = connection();
  const run = inWaitedGroups(server.send, waited);
  const moved = new Error('MOVED 1 127.0.0.1:1');
  const group = [outcome(run(['a'])), outcome(run(['b']))];
  await round();
  server.answer(moved, 7, 1);
  expect(await Promise.all(group)).toEqual([moved, 7]);
});
