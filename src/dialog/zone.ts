import type { LineState } from './line.ts';
import type { Programme } from './world.ts';

/**
 * The IANA time zone of a phone: as a counsellor set it for this one, else that of the longest beginning of its number for which
 * the programme names one, else the programme's own. A phone is where it is: all its mothers share the zone.
 */
export function zoneOf(
  state: Pick<LineState, 'zone'> | undefined,
  phone: string,
  programme: Pick<Programme, 'timeZone' | 'zones'>,
): string {
  if (state?.zone !== undefined) return state.zone;
  const prefixes = [...(programme.zones ?? [])].filter(([prefix]) => phone.startsWith(prefix));
  const longest = prefixes.sort(([a], [b]) => b.length - a.length)[0];
  return longest?.[1] ?? programme.timeZone;
}
