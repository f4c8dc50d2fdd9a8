import type { LineId } from '../../../dialog/line.ts';
import type { Sealer } from '../../sealing.ts';
import type { RestRecord } from './rest-record.ts';
import { openShrinker } from './shrink.ts';

/** A sealer that also knows how lines at rest are kept: shrunk, then sealed as one. */
export interface RestSealer extends Sealer {
  sealRest(record: RestRecord, lineId: LineId): Buffer;
  /** @throws StoreUnavailable as `open` */
  openRest(sealed: Buffer, lineId: LineId): RestRecord;
  /** The state alone, in a fifth of the time. @throws StoreUnavailable as `open` */
  openRestState(sealed: Buffer, lineId: LineId): string;
}

const field = 'rest';

export function restSealer(sealer: Sealer): RestSealer {
  const shrinker = openShrinker();
  return {
    ...sealer,
    sealRest: (record, lineId) => sealer.sealBytes(shrinker.shrink(record, lineId), lineId, field),
    openRest: (sealed, lineId) => shrinker.grow(sealer.openBytes(sealed, lineId, field), lineId),
    openRestState: (sealed, lineId) => shrinker.stateIn(sealer.openBytes(sealed, lineId, field), lineId),
  };
}
