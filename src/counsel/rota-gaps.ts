import { dutyChanges, isCovered, type Rota } from './rota.ts';

/** A stretch in which no counsellor is on duty; epoch milliseconds, the end not included. */
export interface RotaGap {
  readonly fromAt: number;
  readonly untilAt: number;
}

/**
 * Every stretch between two instants that nobody covers, in order. Leads stand in, but are no cover without a shift.
 * @param area only who may see mothers of that area counts
 */
export function rotaGaps(rota: Rota, fromAt: number, untilAt: number, area?: string): readonly RotaGap[] {
  const gaps: RotaGap[] = [];
  const edges = [fromAt, ...dutyChanges(rota, fromAt, untilAt), untilAt];
  for (const [i, at] of edges.entries()) {
    const next = edges[i + 1];
    if (next === undefined || isCovered(rota, at, area)) continue;
    const last = gaps.at(-1);
    if (last?.untilAt === at) gaps[gaps.length - 1] = { fromAt: last.fromAt, untilAt: next };
    else gaps.push({ fromAt: at, untilAt: next });
  }
  return gaps;
}
