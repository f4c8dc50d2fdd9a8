import { deflateRawSync, inflateRawSync } from 'node:zlib';
import type { LineId } from '../../../dialog/line.ts';
import { bitReader, bitWriter } from './arithmetic-coder.ts';
import { primer } from './primer.ts';
import { codeRecord, codeState, type RestRecord } from './rest-record.ts';
import { mostCharacters, TextCoder } from './text-coder.ts';

/** Makes records of lines at rest small. */
export interface Shrinker {
  shrink(record: RestRecord, lineId: LineId): Buffer;
  grow(bytes: Buffer, lineId: LineId): RestRecord;
  /** The state alone, in a fifth of the time. */
  stateIn(bytes: Buffer, lineId: LineId): string;
}

/** The first byte tells the form; a better coder or primer gets a number of its own, and these two stay. */
const deflatedForm = 0;
const codedForm = 1;

const primerId = 'A-line-of-the-primer' as LineId;

/** Learning takes some 100 ms and comes to the same each time: a constant that is worked out when it is first wanted. */
const taught = onceWanted(() => taughtBy(primer));

/**
 * Shrinks with all that the primer teaches: a month of 26,000 characters becomes some 1,350 bytes in 2 ms. Records that do not
 * fit the coder, very long ones above all, are deflated.
 */
export function openShrinker(): Shrinker {
  const teacher = taught();
  const coder = new TextCoder();
  const ready = (): TextCoder => {
    coder.become(teacher);
    return coder;
  };

  return {
    shrink(record, lineId) {
      if (!fits(record)) {
        const { state, journal, replies, messages } = record;
        const text = JSON.stringify({ state, journal, replies, messages });
        return Buffer.concat([Buffer.of(deflatedForm), deflateRawSync(text)]);
      }
      const io = bitWriter();
      codeRecord(ready(), io, lineId, record);
      return Buffer.concat([Buffer.of(codedForm), io.end()]);
    },
    grow(bytes, lineId) {
      if (bytes[0] === deflatedForm) return deflated(bytes);
      return codeRecord(ready(), bitReader(bytes.subarray(1)), lineId);
    },
    stateIn(bytes, lineId) {
      if (bytes[0] === deflatedForm) return deflated(bytes).state;
      return codeState(ready(), bitReader(bytes.subarray(1)), lineId, '');
    },
  };
}

/** Records as a coder that knows nothing writes them, one after the other. */
export function primerOf(records: readonly RestRecord[]): Buffer {
  const coder = new TextCoder();
  const io = bitWriter();
  for (const record of records) codeRecord(coder, io, primerId, record);
  return io.end();
}

function onceWanted<T>(make: () => T): () => T {
  const made: T[] = [];
  return () => {
    made[0] ??= make();
    return made[0];
  };
}

function taughtBy({ records, coded }: typeof primer): TextCoder {
  const coder = new TextCoder();
  const io = bitReader(Buffer.from(coded, 'base64'));
  for (let i = 0; i < records; i++) codeRecord(coder, io, primerId);
  return coder;
}

function deflated(bytes: Buffer): RestRecord {
  return JSON.parse(inflateRawSync(bytes.subarray(1)).toString('utf8')) as RestRecord;
}

function fits({ state, journal, replies, messages }: RestRecord): boolean {
  let characters = state.length;
  for (const { at, kind, body } of journal) {
    if (!isInstant(at)) return false;
    characters += kind.length + body.length;
  }
  for (const { keptAt, reply } of replies) {
    if (!isInstant(keptAt)) return false;
    characters += reply.length;
  }
  for (const message of messages) characters += message.length;
  return characters <= mostCharacters;
}

function isInstant(value: number): boolean {
  return Number.isSafeInteger(value) && value >= 0;
}
