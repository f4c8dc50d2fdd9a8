import type { Counsellor, World } from '../dialog/world.ts';
import type { Store } from '../store/store.ts';
import type { Told } from './told.ts';
import { areasKnown, areasOf } from './area.ts';
import type { DutyBook } from './duty-book.ts';
import { readTodaysList } from './read-todays-list.ts';
import { isCovered, leadersOf, onDuty, peopleOnDuty, type Rota, rotaOf, shiftEnd } from './rota.ts';

/** Off duty without a shift that ends: so long, or a forgotten "on" would leave mothers to the lead. Common practice, no source. */
const offHours = 12;

/**
 * "Off" and "on": she is not told of alerts until her shift ends, or she says that she is back. The reply says who is told
 * instead; when nobody is left on duty the lead hears of it in the same commit.
 */
export async function dutyText(
  parts: {
    readonly store: Store;
    readonly book: DutyBook;
    readonly world: World;
    readonly onOutbox: () => void;
  },
  what: 'off' | 'on',
  counsellor: Counsellor,
  inboundId: string,
  told: Told,
): Promise<string> {
  const { book, world, onOutbox } = parts;
  const { now } = world;
  const before = rotaOf(world);
  const { id } = counsellor;
  if (what === 'on') {
    const rota: Rota = { ...before, away: new Map([...before.away, [id, 0]]) };
    const isOn = counsellor.lead || peopleOnDuty(rota, now).some((c) => c.id === id);
    return book.change(
      () => ({ away: { [id]: 0 }, reply: told(isOn ? 'counsellor.on' : 'counsellor.on-later') }),
      inboundId,
    );
  }
  if (counsellor.lead && leadersOf(before).length === 1) return told('counsellor.off-lead');
  const until = shiftEnd(before, id, now) ?? now + offHours * 3_600_000;
  const rota: Rota = { ...before, away: new Map([...before.away, [id, until]]) };
  // An area that she leaves with nobody counts: there the lead must stand in.
  const areas = areasOf(counsellor) ?? [undefined, ...areasKnown(world.programme)];
  const bare = areas
    .filter((area) => !isCovered(rota, now, area) && (area === areas[0] || isCovered(before, now, area)))
    .map((area) => ({ area }));
  const isLast = bare.length > 0;
  const next = onDuty(rota, now, 0, undefined, bare[0] === undefined ? areas[0] : bare[0].area);
  const name = next?.name ?? world.programme.name;
  const time = timeWords(until, world);
  const held = (await readTodaysList(parts.store, world)).filter((l) => l.alert.acknowledgedBy === id);
  const lines = [
    told(isLast ? 'counsellor.off-last' : 'counsellor.off', { time, name }),
    ...(held.length === 0
      ? []
      : [told('counsellor.off-holding', { codes: held.map((l) => l.alert.code).join(' ') })]),
  ];
  const toLead =
    isLast && next !== undefined && next.id !== id
      ? [
          {
            channel: 'text',
            to: next.phone,
            body: world.content.wording.say(
              'counsellor.lead-now',
              { name: counsellor.name, time },
              next.language,
              'text',
            ),
            language: next.language,
            purpose: 'alert',
            priority: 1,
            notBefore: now,
            sendBefore: until,
            receiver: next.id,
          } as const,
        ]
      : [];
  const reply = await book.change(
    () => ({ away: { [id]: until }, messages: toLead, reply: lines.join('\n') }),
    inboundId,
  );
  if (toLead.length > 0) onOutbox();
  return reply;
}

function timeWords(at: number, { calendar }: World): string {
  const minute = calendar.minuteOfDay(at);
  return `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;
}
