import { afterEach, expect, test, vi } from 'vitest';
import type { Inbound, Reply } from '../../../src/channels/carrier.ts';
import { counsellor, lineNumber, type PracticeLine, practiceLine } from '../../stand-in/practice-line.ts';

const mother = '+447700900101';
const open: PracticeLine[] = [];
afterEach(async () => {
  await Promise.all(open.splice(0).map((each) => each.close()));
});

/** A line that calls the counsellor and connects her to the mother when she presses 1. */
async function connecting(): Promise<PracticeLine> {
  const practice = await practiceLine((inbound: Inbound): Reply => {
    switch (inbound.kind) {
      case 'call-answered':
        return { kind: 'ask', say: 'Press 1.', language: 'en', digits: 1, bound: true };
      case 'keys':
        return { kind: 'connect', say: 'Connecting.', language: 'en', to: mother };
      case 'connect-ended':
        return { kind: 'say-and-end', say: inbound.answered ? 'You spoke.' : 'Nobody came.', language: 'en' };
      default:
        return { kind: 'nothing' };
    }
  });
  open.push(practice);
  await practice.carrier.placeCall({ id: 'alert-1', to: counsellor.number });
  await practice.network.calls.answer(counsellor.number);
  await practice.network.calls.press(counsellor.number, '1');
  return practice;
}
const call = (practice: PracticeLine, number: string) => practice.network.phones.get(number).call;

test('a key connects the two phones, and the line hears when they have done', async () => {
  const practice = await connecting();
  expect(practice.told).toContainEqual(
    expect.objectContaining({ kind: 'keys', digits: '1', outboxId: 'alert-1', party: counsellor.number }),
  );
  expect(call(practice, mother)).toMatchObject({ stage: 'ringing' });
  await practice.network.calls.answer(mother);
  expect(call(practice, mother)).toMatchObject({ stage: 'talking' });
  await practice.network.calls.hangUp(mother);
  await vi.waitFor(() => expect(call(practice, counsellor.number)).toMatchObject({ stage: 'ended' }));
  expect(practice.told).toContainEqual(
    expect.objectContaining({ kind: 'connect-ended', answered: true, outboxId: 'alert-1' }),
  );
  // The mother's phone made no call to the line, so the line hears of none.
  const parties = practice.told.map((t) => ('party' in t ? t.party : undefined));
  expect(parties).not.toContain(mother);
  expect(practice.troubles).toEqual([]);
});

test.each([
  ['declines', async (p: PracticeLine) => p.network.calls.hangUp(mother)],
  ['is given up by the counsellor', async (p: PracticeLine) => p.network.calls.hangUp(counsellor.number)],
])('a mother who %s was not reached', async (_, act) => {
  const practice = await connecting();
  await act(practice);
  await vi.waitFor(() =>
    expect(practice.told).toContainEqual(
      expect.objectContaining({ kind: 'connect-ended', answered: false, outboxId: 'alert-1' }),
    ),
  );
  expect(practice.troubles).toEqual([]);
});

test('a mother in another call is busy', async () => {
  const practice = await practiceLine((inbound): Reply => {
    if (inbound.kind === 'call-rang') return { kind: 'ask', say: 'Hello.', language: 'en', digits: 1 };
    if (inbound.kind === 'call-answered')
      return { kind: 'connect', say: 'Connecting.', language: 'en', to: mother };
    return { kind: 'nothing' };
  });
  open.push(practice);
  await practice.network.calls.dial(mother);
  await practice.carrier.placeCall({ id: 'alert-2', to: counsellor.number });
  await practice.network.calls.answer(counsellor.number);
  await vi.waitFor(() =>
    expect(practice.told).toContainEqual(expect.objectContaining({ kind: 'connect-ended', status: 'busy' })),
  );
  expect(lineNumber).not.toBe(mother);
});
