import { expect, it } from 'vitest';
import { AlertCodeTaken } from '../../src/errors.ts';
import { alert, change, line, message, t0 } from './sample-changes.ts';
import type { ContractPart } from './store.ts';
import { ownStore } from './with-store.ts';

export const alertsContract: ContractPart = (place) => {
  const { open } = ownStore(place);

  it('finds an alert by its code, and follows it to its end', async () => {
    const store = await open();
    const raised = alert(line(1), 'a1', '4711');
    await store.commit(change(line(1), 0, { alerts: [raised] }));
    expect(await store.alertByCode('4711')).toEqual(raised);
    await store.commit(change(line(1), 1, { alerts: [{ ...raised, tier: 'B' }] }));
    expect(await store.alertByCode('4711')).toEqual({ ...raised, tier: 'B' });
    await store.commit(change(line(1), 2));
    expect(await store.openAlerts(10)).toEqual([{ ...raised, tier: 'B' }]);
    await store.commit(change(line(1), 3, { alerts: [{ ...raised, open: false }] }));
    expect(await store.alertByCode('4711')).toEqual({ ...raised, open: false });
    expect(await store.openAlerts(10)).toEqual([]);
    await store.commit(change(line(1), 4, { alerts: [raised] }));
    expect(await store.openAlerts(10)).toEqual([raised]);
  });

  it('lists open alerts of all lines, most urgent tier first, then oldest', async () => {
    const store = await open();
    const alerts = [
      alert(line(1), 'a1', '1001', { tier: 'C', raisedAt: t0 }),
      alert(line(2), 'a2', '1002', { tier: 'B', raisedAt: t0 + 2 }),
      alert(line(3), 'a3', '1003', { tier: 'A', raisedAt: t0 + 9 }),
      alert(line(4), 'a4', '1004', { tier: 'B', raisedAt: t0 + 1 }),
      alert(line(5), 'a5', '1005', { tier: 'A', raisedAt: t0 + 8, open: false }),
    ];
    for (const a of alerts) await store.commit(change(a.lineId, 0, { alerts: [a] }));
    expect((await store.openAlerts(10)).map((a) => a.alertId)).toEqual(['a3', 'a4', 'a2', 'a1']);
    expect((await store.openAlerts(2)).map((a) => a.alertId)).toEqual(['a3', 'a4']);
    expect(await store.backlog(t0)).toMatchObject({ openAlerts: 4 });
  });

  it('refuses a code that another open alert holds, and keeps nothing of the turn', async () => {
    const store = await open();
    await store.commit(change(line(1), 0, { alerts: [alert(line(1), 'a1', '7777')] }));
    const second = change(line(2), 0, {
      inboundId: 'SM2',
      outbox: [message(line(2), 'm2')],
      alerts: [alert(line(2), 'b1', '8888'), alert(line(2), 'b2', '7777')],
    });
    await expect(store.commit(second)).rejects.toBeInstanceOf(AlertCodeTaken);
    expect(await store.load(line(2))).toBeUndefined();
    expect(await store.replyTo('SM2', line(2))).toBeUndefined();
    expect(await store.message('m2')).toBeUndefined();
    expect(await store.alertByCode('8888')).toBeUndefined();
    expect((await store.alertByCode('7777'))?.lineId).toBe(line(1));
    // With another salt the same turn goes through, and code 8888 was not left claimed.
    const salted = { ...second, alerts: [alert(line(2), 'b1', '8888'), alert(line(2), 'b2', '7778')] };
    expect(await store.commit(salted)).toEqual({ kind: 'committed', version: 1 });
  });

  it('refuses a turn that gives one code to two open alerts', async () => {
    const store = await open();
    const alerts = [alert(line(1), 'a1', '6666'), alert(line(1), 'a2', '6666')];
    await expect(store.commit(change(line(1), 0, { alerts }))).rejects.toBeInstanceOf(AlertCodeTaken);
    await store.commit(change(line(1), 0, { alerts: alerts.slice(0, 1) }));
    await expect(store.commit(change(line(1), 1, { alerts }))).rejects.toBeInstanceOf(AlertCodeTaken);
    expect(await store.openAlerts(10)).toEqual(alerts.slice(0, 1));
  });

  it('lets one of many turns at once have a code', async () => {
    const store = await open();
    const turns = Array.from({ length: 12 }, (_, n) =>
      store.commit(change(line(n), 0, { inboundId: `SM${n}`, alerts: [alert(line(n), `a${n}`, '5555')] })),
    );
    const settled = await Promise.allSettled(turns);
    const won = settled.flatMap((s, n) => (s.status === 'fulfilled' ? [n] : []));
    expect(won).toHaveLength(1);
    for (const s of settled) if (s.status === 'rejected') expect(s.reason).toBeInstanceOf(AlertCodeTaken);
    expect(await store.openAlerts(20)).toEqual([alert(line(won[0] ?? -1), `a${won[0]}`, '5555')]);
  });

  it('gives a code free again when its alert is closed; the open one wins over closed ones', async () => {
    const store = await open();
    const first = alert(line(1), 'a1', '7777');
    await store.commit(change(line(1), 0, { alerts: [first] }));
    await store.commit(change(line(1), 1, { alerts: [{ ...first, open: false }] }));
    const second = alert(line(2), 'b1', '7777', { raisedAt: t0 - 1 });
    await store.commit(change(line(2), 0, { alerts: [second] }));
    expect(await store.alertByCode('7777')).toEqual(second);
    await expect(store.commit(change(line(1), 2, { alerts: [first] }))).rejects.toBeInstanceOf(
      AlertCodeTaken,
    );
    await store.commit(change(line(2), 1, { alerts: [{ ...second, open: false }] }));
    // Both are closed: the one raised last is the one a counsellor means.
    expect(await store.alertByCode('7777')).toEqual({ ...first, open: false });
    await store.commit(change(line(1), 2, { alerts: [first] }));
    expect(await store.alertByCode('7777')).toEqual(first);
  });

  it('gives an alert another code within its line', async () => {
    const store = await open();
    const first = alert(line(1), 'a1', '1111');
    await store.commit(change(line(1), 0, { alerts: [first] }));
    await store.commit(
      change(line(1), 1, { alerts: [{ ...first, open: false }, alert(line(1), 'a2', '1111')] }),
    );
    expect((await store.alertByCode('1111'))?.alertId).toBe('a2');
    await store.commit(change(line(1), 2, { alerts: [alert(line(1), 'a2', '2222')] }));
    expect((await store.alertByCode('2222'))?.alertId).toBe('a2');
    await store.commit(change(line(2), 0, { alerts: [alert(line(2), 'b1', '1111')] }));
    expect((await store.alertByCode('1111'))?.alertId).toBe('b1');
  });
  it('lets two alerts of a line change codes with each other', async () => {
    const store = await open();
    await store.commit(
      change(line(1), 0, { alerts: [alert(line(1), 'a1', '1111'), alert(line(1), 'a2', '2222')] }),
    );
    await store.commit(
      change(line(1), 1, { alerts: [alert(line(1), 'a1', '2222'), alert(line(1), 'a2', '1111')] }),
    );
    expect((await store.alertByCode('1111'))?.alertId).toBe('a2');
    expect((await store.alertByCode('2222'))?.alertId).toBe('a1');
    await expect(
      store.commit(change(line(2), 0, { alerts: [alert(line(2), 'b1', '2222')] })),
    ).rejects.toThrow(AlertCodeTaken);
  });
};
