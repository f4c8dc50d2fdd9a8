import { parsePhoneNumberFromString } from 'libphonenumber-js';
import { maySee } from '../../counsel/area.ts';
import { isCounsellorRecord } from '../../counsel/counsellor-record.ts';
import type { LineId, LineState } from '../../dialog/line.ts';
import type { Counsellor } from '../../dialog/world.ts';
import type { DeskParts } from './desk-parts.ts';

type FindParts = Pick<DeskParts, 'store' | 'lineOf' | 'programme' | 'clock'>;

/** Whose page it is: a line, and which of its mothers. */
export interface FoundMother {
  readonly lineId: LineId;
  readonly index: number;
}

/** What was found: `path` only when she may see it, `lineId` in any case, for the audit log. */
export interface Found {
  readonly path?: FoundMother;
  readonly lineId?: LineId;
}

/** Looks for a mother by the four digits of an alert, or by a number as it is written or dialled. */
export async function findMother(desk: FindParts, typed: string, reader: Counsellor): Promise<Found> {
  const what = typed
    .normalize('NFKC')
    .replace(/[०-९]/g, (d) => String(d.charCodeAt(0) - 0x0966))
    .trim();
  const found = /^#?\d{4}$/.test(what) ? await byCode(desk, what.slice(-4)) : await byNumber(desk, what);
  if (found === undefined) return {};
  const { lineId, index, state } = found;
  const isHers = maySee(reader, state, { programme: desk.programme, now: desk.clock.now() });
  return { lineId, ...(isHers ? { path: { lineId, index } } : {}) };
}

async function byCode({ store }: FindParts, code: string) {
  const entry = await store.alertByCode(code);
  const state = entry && (await motherLine(store, entry.lineId));
  if (entry === undefined || state === undefined) return undefined;
  const mother = state.alerts.find((a) => a.code === code)?.mother ?? 0;
  return { lineId: entry.lineId, index: state.mothers[mother] === undefined ? 0 : mother, state };
}

async function byNumber({ store, lineOf, programme }: FindParts, what: string) {
  for (const number of numbersMeant(
    what,
    programme.counsellors.map((c) => c.phone),
  )) {
    const lineId = lineOf(number);
    const state = await motherLine(store, lineId);
    if (state !== undefined) return { lineId, index: 0, state };
  }
  return undefined;
}

async function motherLine(store: DeskParts['store'], lineId: LineId): Promise<LineState | undefined> {
  const stored = await store.load(lineId);
  return stored === undefined || isCounsellorRecord(stored.state)
    ? undefined
    : (JSON.parse(stored.state) as LineState);
}

/** A number without its country is read as one of the countries of the counsellors. */
function numbersMeant(typed: string, known: readonly string[]): readonly string[] {
  if (!/^(\+|00)?[\d\s().-]{6,24}$/.test(typed)) return [];
  const countries = new Set(
    known.flatMap((phone) => parsePhoneNumberFromString(phone)?.countryCallingCode ?? []),
  );
  const meant = [...countries].flatMap(
    (defaultCallingCode) => parsePhoneNumberFromString(typed, { defaultCallingCode })?.number ?? [],
  );
  return [...new Set([...meant, `+${typed.replace(/\D/g, '').replace(/^00/, '')}`])];
}
