import type { Reading } from '../language/asked.ts';
import type { Field } from './flow.ts';

/** From so many bare figures on, one short of the question, they are taken as the first ones in order. */
const fewest = 3;

/**
 * "9 3 6" to a question of four: the reader doubts each, since one is missing. Three in order and each in its range are kept,
 * and the last is asked for; the feedback says back what was understood.
 */
export const allButLast = (
  text: string,
  figures: readonly Field[],
  readings: Readonly<Record<string, Reading>>,
): Readonly<Record<string, Reading>> => {
  const told = text.match(/[\d०-९]+/gu) ?? [];
  const isBare = /^[\d०-९\s,.;]+$/u.test(text);
  if (!isBare || told.length < fewest || told.length !== figures.length - 1) return readings;
  const first = figures.slice(0, -1).map(({ field }) => ({ field, reading: readings[field] }));
  const kept: Record<string, Reading> = { ...readings };
  for (const { field, reading } of first) {
    if (reading?.kind !== 'read' || !reading.inRange) return readings;
    kept[field] = { ...reading, sure: true };
  }
  return kept;
};
