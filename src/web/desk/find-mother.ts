import { parsePhoneNumberFromString } from 'libphonenumber-js';
import { isCounsellorRecord } from '../../counsel/counsellor-record.ts';
import type { LineId, LineState } from '../../dialog/line.ts';
import type { DeskParts } from './desk-parts.ts';

/** Whose page it is: a line, and which of its mothers. */
export interface FoundMother {
  readonly lineId: LineId;
  readonly index: number;
}

/** Looks for a mother by the four digits of an alert, or by a number as it is written or dialled. */
export async function findMother(
  { store, lineOf, programme }: Pick<DeskParts, 'store' | 'lineOf' | 'programme'>,
  typed: string,
): Promise<FoundMother | undefined> {
  const what = typed
    .normalize('NFKC')
    .replace(/[०-९]/g, (d) => String(d.charCodeAt(0) - 0x0966))
    .trim();
  if (/^#?\d{4}$/.test(what)) {
    const code = what.slice(-4);
    const entry = await store.alertByCode(code);
    const state = entry && (await motherLine(store, entry.lineId));
    if (entry === undefined || state === undefined) return undefined;
    const mother = state.alerts.find((a) => a.code === code)?.mother ?? 0;
    return { lineId: entry.lineId, index: state.mothers[mother] === undefined ? 0 : mother };
  }
  for (const number of numbersMeant(
    what,
    programme.counsellors.map((c) => c.phone),
  )) {
    const lineId = lineOf(number);
    if ((await motherLine(store, lineId)) !== undefined) return { lineId, index: 0 };
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
