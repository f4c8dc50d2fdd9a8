import { expect, it } from 'vitest';
import { StaleState } from '../../src/errors.ts';
import { change, line, message, t0 } from './sample-changes.ts';
import type { ContractPart } from './store.ts';
import { ownStore } from './with-store.ts';

const minute = 60_000;

export const dueContract: ContractPart = (place) => {
  const { open } = ownStore(place);

  it('gives lines from their due time on, earliest first, up to the limit', async () => {
    const store = await open();
    const dueIn = [5, 1, 3, 2, 4, 600];
    for (const [n, minutes] of dueIn.entries())
      await store.commit(change(line(n), 0, { nextDueAt: t0 + minutes * minute }));
    await store.commit(change(line(99), 0, { nextDueAt: null }));
    expect(await store.takeDueLines(t0 + minute - 1, 10, minute)).toEqual([]);
    expect(await store.takeDueLines(t0 + minute, 10, 100 * minute)).toEqual([line(1)]);
    expect(await store.takeDueLines(t0 + 5 * minute, 2, 100 * minute)).toEqual([line(3), line(2)]);
    expect(await store.takeDueLines(t0 + 5 * minute, 10, 100 * minute)).toEqual([line(4), line(0)]);
    expect(await store.takeDueLines(t0 + 5 * minute, 10, 100 * minute)).toEqual([]);
  });

  it('gives a taken line again when its lease has run out, and not before', async () => {
    const store = await open();
    await store.commit(change(line(1), 0, { nextDueAt: t0 }));
    expect(await store.takeDueLines(t0, 10, minute)).toEqual([line(1)]);
    expect(await store.takeDueLines(t0 + minute - 1, 10, minute)).toEqual([]);
    expect(await store.takeDueLines(t0 + minute, 10, minute)).toEqual([line(1)]);
  });

  it('lets a commit end the lease: a new due time is given as soon as it comes', async () => {
    const store = await open();
    await store.commit(change(line(1), 0, { nextDueAt: t0 }));
    await store.takeDueLines(t0, 10, 60 * minute);
    await store.commit(change(line(1), 1, { nextDueAt: t0 + minute }));
    expect(await store.takeDueLines(t0 + minute - 1, 10, minute)).toEqual([]);
    expect(await store.takeDueLines(t0 + minute, 10, minute)).toEqual([line(1)]);
    await store.commit(change(line(1), 2, { nextDueAt: null }));
    expect(await store.takeDueLines(t0 + 100 * minute, 10, minute)).toEqual([]);
  });

  it('lets only one of two takers act, when the first stood still for longer than its lease', async () => {
    const store = await open();
    await store.commit(change(line(1), 0, { nextDueAt: t0 }));
    expect(await store.takeDueLines(t0, 10, minute)).toEqual([line(1)]);
    const paused = await store.load(line(1));
    expect(await store.takeDueLines(t0 + minute, 10, minute)).toEqual([line(1)]);
    const reminded = {
      outbox: [message(line(1), `${line(1)}.1.0`)],
      journal: [{ at: t0, kind: 'k', body: '{}' }],
    };
    await store.commit(change(line(1), 1, { ...reminded, nextDueAt: t0 + 100 * minute }));
    await expect(
      store.commit(change(line(1), paused?.version ?? 0, { ...reminded, nextDueAt: t0 })),
    ).rejects.toBeInstanceOf(StaleState);
    expect(await store.takeOutbox(t0 + minute, 10, minute)).toHaveLength(1);
    expect(await store.journal(line(1), 10)).toHaveLength(1);
    expect(await store.takeDueLines(t0 + 99 * minute, 10, minute)).toEqual([]);
  });

  it('moves a due time forward and back', async () => {
    const store = await open();
    await store.commit(change(line(1), 0, { nextDueAt: t0 + 10 * minute }));
    await store.commit(change(line(1), 1, { nextDueAt: t0 + minute }));
    expect(await store.takeDueLines(t0 + minute, 10, minute)).toEqual([line(1)]);
    await store.commit(change(line(1), 2, { nextDueAt: t0 + 20 * minute }));
    expect(await store.takeDueLines(t0 + 19 * minute, 10, minute)).toEqual([]);
  });

  it('gives each line to one of several takers at once', async () => {
    const store = await open();
    const ids = Array.from({ length: 100 }, (_, n) => line(n));
    await Promise.all(ids.map((id) => store.commit(change(id, 0, { nextDueAt: t0 }))));
    const takes = await Promise.all(Array.from({ length: 10 }, () => store.takeDueLines(t0, 15, minute)));
    const taken = takes.flat();
    expect(new Set(taken).size).toBe(taken.length);
    for (;;) {
      const more = await store.takeDueLines(t0, 15, minute);
      taken.push(...more);
      if (more.length === 0) break;
    }
    expect(taken.sort()).toEqual(ids.sort());
  });

  it('counts what is due', async () => {
    const store = await open();
    expect(await store.backlog(t0)).toEqual({
      dueLines: 0,
      oldestDueAt: null,
      waitingMessages: 0,
      oldestMessageAt: null,
      openAlerts: 0,
    });
    for (let n = 1; n <= 3; n++) await store.commit(change(line(n), 0, { nextDueAt: t0 + n }));
    await store.takeDueLines(t0 + 1, 1, minute);
    expect(await store.backlog(t0 + 2)).toMatchObject({ dueLines: 2, oldestDueAt: t0 + 1 });
  });
};
