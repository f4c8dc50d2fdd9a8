import type { LineId } from '../../../dialog/line.ts';
import type { Pack } from '../../pack-text.ts';
import type { BitCoder } from './arithmetic-coder.ts';
import type { TextCoder } from './text-coder.ts';

/** What is sealed together of a line at rest. `state` is '' in packs that are full: the last one has it. */
export interface RestRecord extends Pack {
  readonly state: string;
}

/** Names of sizes and instants in `Numbers`, beside those of `text-coder.ts`. Part of the form: never to be changed. */
const entries = 44;
const replies = 45;
const messages = 46;
const inbound = 47;
const keptAt = 21;
const entryKinds = 16;

const nothing: RestRecord = { state: '', journal: [], replies: [], messages: [] };

/** Writes the state, or reads it: it stands first, and can be read without the rest. */
export function codeState(coder: TextCoder, io: BitCoder, lineId: LineId, state: string): string {
  coder.start();
  return shown(coder.text(io, hidden(state, lineId)), lineId);
}

/** Writes a record, or reads one and heeds `record` not. */
export function codeRecord(
  coder: TextCoder,
  io: BitCoder,
  lineId: LineId,
  record: RestRecord = nothing,
): RestRecord {
  const { numbers } = coder;
  const text = (value: string | undefined) => shown(coder.text(io, hidden(value ?? '', lineId)), lineId);
  const each = <T>(name: number, all: readonly T[], code: (one: T | undefined) => T): readonly T[] =>
    Array.from({ length: numbers.size(io, name, all.length) }, (_, i) => code(all[i]));

  const state = codeState(coder, io, lineId, record.state);
  let before = 0;
  const journal = each(entries, record.journal, (entry) => {
    const kind = text(entry?.kind);
    before = numbers.instant(io, kindName(kind), before, entry?.at ?? 0);
    return { at: before, kind, body: text(entry?.body) };
  });
  return {
    ...{ state, journal },
    replies: each(replies, record.replies, (reply) => {
      const hash = numbers.size(io, inbound, reply?.inbound ?? 0);
      before = numbers.instant(io, keptAt, before, reply?.keptAt ?? 0);
      return { inbound: hash, keptAt: before, reply: text(reply?.reply) };
    }),
    messages: each(messages, record.messages, text),
  };
}

/** Entries of one kind are much the same time after the entry before. */
function kindName(kind: string): number {
  let sum = kind.length;
  for (let i = 0; i < kind.length; i++) sum = (sum * 31 + kind.charCodeAt(i)) & 0xffff;
  return sum % entryKinds;
}

/** Without the line's own id, which whoever opens the record knows: nothing is so dear to spell. */
function hidden(text: string, lineId: LineId): string {
  const whole = text.includes('\u0001') ? text.replaceAll('\u0001', '\u0001\u0002') : text;
  return lineId === '' ? whole : whole.replaceAll(lineId, '\u0001\u0003');
}

function shown(text: string, lineId: LineId): string {
  if (!text.includes('\u0001')) return text;
  return text.replace(/\u0001([\u0002\u0003])/g, (_, what: string) =>
    what === '\u0002' ? '\u0001' : lineId,
  );
}
