import type { Counsellor, World } from '../dialog/world.ts';
import { segmentBudget, segmentsOf } from '../language/sms-segments.ts';
import type { OutboxMessage } from '../store/store.ts';
import { isBrief } from './alert-words.ts';
import { maySee } from './area.ts';
import { leadersOf, peopleOnDuty, rotaOf } from './rota.ts';
import { briefWords, type Listed, listedWords } from './todays-list.ts';

/** Minutes after local midnight at which the digest goes out: 07:30, before the first visits. Common practice, no source. */
const digestMinuteOfDay = 7 * 60 + 30;
/** A digest read at noon says what was so in the morning. */
const worthMs = 4 * 3_600_000;
const shownFirst = 3;

/** The next time of day at which a digest is due, later than `now`. */
export function nextDigestAt({ now, calendar }: Pick<World, 'now' | 'calendar'>): number {
  const today = calendar.instant(calendar.day(now), digestMinuteOfDay);
  return today > now ? today : calendar.instant(calendar.plusDays(calendar.day(now), 1), digestMinuteOfDay);
}

/**
 * The morning text to each who is on duty: how many of those whom she may see are to be reached, the first three, and where the
 * desk is. What nobody on duty may see goes to the lead; with nobody to reach nobody is written to.
 */
export function digestMessages(
  list: readonly Listed[],
  world: World,
  deskUrl: string | undefined,
): readonly Omit<OutboxMessage, 'id' | 'lineId'>[] {
  const rota = rotaOf(world);
  const ready = peopleOnDuty(rota, world.now);
  const lead = leadersOf(rota)[0];
  const seenBy = (counsellor: Counsellor) => list.filter((l) => maySee(counsellor, l.state, world));
  const unseen = list.filter((l) => !ready.some((counsellor) => maySee(counsellor, l.state, world)));
  const told = [
    ...ready.map((counsellor) => ({ counsellor, hers: seenBy(counsellor) })),
    ...(lead === undefined ? [] : [{ counsellor: lead, hers: unseen }]),
  ].filter(({ hers }) => hers.length > 0);
  return told.map(({ counsellor, hers }) => ({
    channel: 'text',
    to: counsellor.phone,
    body: digestWords(hers, counsellor, world, deskUrl),
    language: counsellor.language,
    purpose: 'follow-up',
    priority: 3,
    notBefore: world.now,
    sendBefore: world.now + worthMs,
    receiver: counsellor.id,
  }));
}

function digestWords(
  list: readonly Listed[],
  { language }: Counsellor,
  world: World,
  deskUrl: string | undefined,
): string {
  const { wording } = world.content;
  const head = wording.say('counsellor.digest', { count: list.length }, language, 'text');
  const desk =
    deskUrl === undefined ? [] : [wording.say('counsellor.digest-desk', { url: deskUrl }, language, 'text')];
  const lineWords = isBrief(world) ? briefWords : listedWords;
  // Fewer of the first three where their words are long: how many there are is said in any case.
  for (let shown = Math.min(shownFirst, list.length); ; shown--) {
    const lines = list.slice(0, shown).map((l) => lineWords(l, world, language));
    const body = [head, ...lines, ...desk].join('\n');
    const { encoding, segments } = segmentsOf(body);
    if (shown <= 1 || segments <= segmentBudget[encoding]) return body;
  }
}
