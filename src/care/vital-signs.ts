import { daysInMonth } from './age.ts';
import type { Sign } from './signs.ts';

/** Young infant: 0 to 59 days. Source: WHO/UNICEF IMCI, 2014 and 2019. */
export const youngInfantDays = 60;

/** Under 3 months any fever is tier A. Source: NICE NG143. */
export const threeMonthsDays = 3 * daysInMonth;

/** Degrees Celsius under the arm. Source: WHO/UNICEF IMCI; 39.0 from IMCI and NICE NG143; 35.5 to 36.4 from memory. */
export const temperatureCuts = { fever: 37.5, highFever: 39, coldYoungInfant: 36.5, cold: 35.5 } as const;

/**
 * Breaths in one calm minute that count as fast: 60 under 2 months, 50 from 2 to 11 months, 40 from 12.
 * Source: WHO/UNICEF IMCI, 2014.
 */
export function fastBreaths(ageDays: number): number {
  if (ageDays < youngInfantDays) return 60;
  return ageDays < 12 * daysInMonth ? 50 : 40;
}

/** Breaths a minute at or below which a young infant breathes too slowly. Source: newborn danger list, rural health course. */
export const slowBreathsYoungInfant = 30;

/**
 * The sign that a temperature under the arm makes at an age, if any: fever from 37.5 C; cold under 35.5 C, and under 36.5 C
 * in a young infant.
 * Source: WHO/UNICEF IMCI, 2014 and 2019; WHO postnatal care, 2022.
 */
export function temperatureSign(temperatureC: number, ageDays: number): Sign | undefined {
  const coldUnder = ageDays < youngInfantDays ? temperatureCuts.coldYoungInfant : temperatureCuts.cold;
  if (temperatureC >= temperatureCuts.fever) return { code: 'fever', who: 'baby', detail: { temperatureC } };
  return temperatureC < coldUnder ? { code: 'cold', who: 'baby', detail: { temperatureC } } : undefined;
}

/** The sign that a count of breaths in one calm minute makes at an age, if any. Source: WHO/UNICEF IMCI, 2014. */
export function breathsSign(breathsPerMinute: number, ageDays: number): Sign | undefined {
  const slow = ageDays < youngInfantDays && breathsPerMinute <= slowBreathsYoungInfant;
  if (!slow && breathsPerMinute < fastBreaths(ageDays)) return undefined;
  return { code: 'fast-breathing', who: 'baby', detail: { breathsPerMinute } };
}

/** The mother's own temperature: fever from 38.0 C. Source: WHO PCPNC, 2015. */
export function motherTemperatureSign(temperatureC: number): Sign | undefined {
  return temperatureC >= 38 ? { code: 'maternal-fever', who: 'mother', detail: { temperatureC } } : undefined;
}
