import type { Content, Programme } from '../../dialog/world.ts';
import type { LineEvent } from '../../dialog/event.ts';
import type { LineId } from '../../dialog/line.ts';
import type { Calendar } from '../../language/calendar.ts';
import type { Wording } from '../../language/wording.ts';
import type { Store } from '../../store/store.ts';
import type { Clock } from '../line-service.ts';

/** What the desk is put together from. */
export interface DeskParts {
  readonly store: Store;
  /** The one way in which a line changes. */
  readonly line: {
    tell(lineId: LineId, event: LineEvent): Promise<void>;
    watch(onChange: (lineId: LineId) => void): () => void;
  };
  readonly content: Content;
  /** `desk.yaml` of each language. */
  readonly words: Wording;
  readonly programme: Programme;
  readonly calendar: Calendar;
  /** The line's clock, which a practice can move. */
  readonly clock: Clock;
  /** The clock on the wall, for codes and sessions: a practice that jumps to the next morning signs nobody out. */
  readonly wallNow: () => number;
  /** The line of a number, by a keyed hash. Also names what is kept of counsellors. */
  readonly lineOf: (name: string) => LineId;
  /** Address at which browsers reach the desk. Over https its cookies are for https only. */
  readonly publicUrl: string;
  /** Waits, to slow down who tries too often. */
  readonly wait: (ms: number) => Promise<void>;
}
