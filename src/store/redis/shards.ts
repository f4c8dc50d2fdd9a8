import type { LineId } from '../../dialog/line.ts';

/**
 * Where things are. Lines spread over a fixed number of shards; every key of a shard begins with its root, whose hash tag puts
 * all of them in one slot of a cluster, so that one script can change them together:
 *
 *     <root>l:<line>    list: the line's head and state, then its history; see `lineLua`
 *     <root>q:<line>    hash of the line's messages under way: id to "seq priority mark"
 *     <root>m:<id>      a message under way: JSON head, a zero byte, sealed fields
 *     <root>p:<id>      line of a settled message whose id does not begin with it, with an expiry
 *     <root>ids         stream of line ids                <root>due     line ids by due time
 *     <root>taken       line ids by end of lease          <root>active  message ids by notBefore: waiting and held
 *     <root>ready       message ids by priority and notBefore: those that may be taken
 *     <root>held        message ids by end of lease       <root>late    message ids by sendBefore
 *     <root>seq         counts messages                   <root>alerts  alert id to its JSON
 *     <root>codes       alert code to a list of alert ids <root>urgent  open alert ids by tier and time
 *     <root>raised      line id to a list of its alerts, open and closed
 *     <root>told        set whenever something is told that was kept before
 */
export interface Shards {
  readonly count: number;
  readonly roots: readonly string[];
  /** The root of a line's shard. */
  rootOf(lineId: LineId): string;
  indexOf(lineId: LineId): number;
}

/** `prefix` keeps several programmes on one server apart. `count` is fixed for the life of the data. */
export function shards(prefix: string, count: number): Shards {
  const roots = Array.from({ length: count }, (_, index) => rootAt(prefix, index));
  const indexOf = (lineId: LineId): number => spread(lineId) % count;
  return { count, roots, indexOf, rootOf: (lineId) => roots[indexOf(lineId)] ?? rootAt(prefix, 0) };
}

function rootAt(prefix: string, index: number): string {
  return `${prefix}:{${index}}:`;
}

/** FNV-1a, 32 bits: spreads any text evenly, and is the same in every version of this program. */
function spread(text: string): number {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
  return hash >>> 0;
}
