import { hash } from 'node:crypto';
import type { LineId } from '../../dialog/line.ts';
import { StoreUnavailable } from '../../errors.ts';
import { packOf } from '../pack-text.ts';
import type { Sealer } from '../sealing.ts';
import type { JournalEntry } from '../store.ts';
import { type TurnRecord, turnRecordOf, turnText } from '../turn-record.ts';
import type { RestRecord } from './rest/rest-record.ts';
import type { RestSealer } from './rest/rest-sealer.ts';

/** The head of a line; see `lineLua` for its bytes. */
export interface Head {
  readonly version: number;
  readonly entries: number;
  /** Everything up to the sealed state. */
  readonly bytes: Buffer;
  /** Empty for a line at rest: its last pack has the state. */
  readonly sealedState: Buffer;
}

/** An element after the head, as far as it can be read without opening it. */
export type Element =
  | {
      readonly kind: 'turn';
      readonly firstSeq: number;
      readonly count: number;
      readonly inbound: number;
      /** 0 when there was no inbound id. */
      readonly keptAt: number;
      readonly sealed: Buffer;
    }
  | {
      /** `rest` has a state too; `pack` is what layout 2 wrote. */
      readonly kind: 'pack' | 'rest';
      readonly firstSeq: number;
      readonly count: number;
      readonly sealed: Buffer;
    }
  | { readonly kind: 'message'; readonly settledAt: number; readonly id: string; readonly kept: Buffer };

const headBytes = 17;
const recentBytes = 10;
const markBytes = 13;

export function headIn(element: Buffer): Head {
  const length = headBytes + recentBytes * element.readUInt16BE(15);
  return {
    version: element.readUInt32BE(1),
    entries: element.readUInt32BE(5),
    bytes: element.subarray(0, length),
    sealedState: element.subarray(length),
  };
}

export function elementIn(bytes: Buffer): Element {
  switch (bytes[0]) {
    case 1:
      return {
        kind: 'turn',
        firstSeq: bytes.readUInt32BE(1),
        count: bytes.readUInt32BE(5),
        inbound: bytes.readUIntBE(9, 6),
        keptAt: bytes.readUIntBE(15, 6),
        sealed: bytes.subarray(21),
      };
    case 2:
    case 4:
      return {
        kind: bytes[0] === 2 ? 'pack' : 'rest',
        firstSeq: bytes.readUInt32BE(1),
        count: bytes.readUInt32BE(5),
        sealed: bytes.subarray(11 + markBytes * bytes.readUInt16BE(9)),
      };
    default: {
      const from = 21 + bytes.readUInt16BE(19);
      return {
        kind: 'message',
        settledAt: bytes.readUIntBE(13, 6),
        id: bytes.toString('utf8', 21, from),
        kept: bytes.subarray(from),
      };
    }
  }
}

/** How a message is known by a pack. */
function messageMark(id: string): string {
  return hash('sha1', id, 'hex').slice(0, markBytes - 1);
}

/** What the stored hash of an inbound id looks like. */
export function inboundBytes(inbound: number): Buffer {
  const bytes = Buffer.alloc(6);
  bytes.writeUIntBE(inbound, 0, 6);
  return bytes;
}

/** A turn's element after its place and count, which only the script knows. `keptAt` is epoch milliseconds. */
export function turnTail(
  sealer: Sealer,
  lineId: LineId,
  record: TurnRecord,
  inbound: number | undefined,
  keptAt: number,
): Buffer {
  const sealed = sealer.seal(turnText(record), lineId, 'turn');
  const tail = Buffer.alloc(12 + sealed.length);
  if (inbound !== undefined) {
    tail.writeUIntBE(inbound, 0, 6);
    tail.writeUIntBE(keptAt, 6, 6);
  }
  sealed.copy(tail, 12);
  return tail;
}

/** A pack as an element. `firstSeq` is the place of its first entry in the journal; `ids` those of its messages. */
export function restElement(
  sealer: RestSealer,
  lineId: LineId,
  record: RestRecord,
  firstSeq: number,
  ids: readonly string[],
): Buffer {
  const head = Buffer.alloc(11);
  head[0] = 4;
  head.writeUInt32BE(firstSeq, 1);
  head.writeUInt32BE(record.journal.length, 5);
  head.writeUInt16BE(ids.length, 9);
  const marks = ids.map((id) => `${messageMark(id)}.`).join('');
  return Buffer.concat([head, Buffer.from(marks), sealer.sealRest(record, lineId)]);
}

/** A pack, opened. */
export function openPack(
  sealer: RestSealer,
  lineId: LineId,
  { kind, sealed }: Element & { readonly kind: 'pack' | 'rest' },
): RestRecord {
  return kind === 'rest'
    ? sealer.openRest(sealed, lineId)
    : { state: '', ...packOf(sealer.open(sealed, lineId, 'pack')) };
}

/** The line's state: in its head while it is awake, in its last pack when it rests. */
export function stateOf(sealer: RestSealer, lineId: LineId, head: Buffer, rest: Buffer | undefined): string {
  const { sealedState } = headIn(head);
  if (sealedState.length > 0) return sealer.open(sealedState, lineId, 'state');
  const element = rest && elementIn(rest);
  if (element?.kind !== 'rest') throw new StoreUnavailable(`The state of line ${lineId} cannot be found.`);
  return sealer.openRestState(element.sealed, lineId);
}

export function openTurn(sealer: Sealer, lineId: LineId, sealed: Buffer): TurnRecord {
  return turnRecordOf(sealer.open(sealed, lineId, 'turn'));
}

/** The journal entries of a turn or a pack. */
export function entriesOf(sealer: RestSealer, lineId: LineId, element: Element): readonly JournalEntry[] {
  switch (element.kind) {
    case 'turn':
      return openTurn(sealer, lineId, element.sealed).journal;
    case 'pack':
    case 'rest':
      return openPack(sealer, lineId, element).journal;
    default:
      return [];
  }
}
