/** Something on a phone's screen. `at` is epoch milliseconds on the practice clock. */
export interface ThreadItem {
  readonly seq: number;
  readonly at: number;
  /** Written by this phone, received by it, or a remark of the network. */
  readonly kind: 'sent' | 'received' | 'remark';
  /** The words; for a remark its name. */
  readonly text: string;
}

/** A call as the phone shows it. `words` is all that was said, oldest first. */
export interface CallView {
  readonly id: string;
  readonly stage: 'dialling' | 'ringing' | 'talking' | 'ended';
  readonly words: readonly { readonly text: string; readonly language: string }[];
  /** Keys pressed since the last words. */
  readonly pressed: string;
  /** True while the line waits for keys. */
  readonly listening: boolean;
  /** Why it ended, as the name of a remark. */
  readonly ending: Remark | null;
}

/** What the network itself can tell on a screen. */
export type Remark = 'busy' | 'call-over' | 'missed' | 'not-sent' | 'no-line';

/** A phone of the practice network. */
export interface PhoneView {
  readonly number: string;
  readonly thread: readonly ThreadItem[];
  readonly call: CallView | null;
}

/** Keeps the screens. */
export interface Phones {
  get(number: string): PhoneView;
  all(): readonly PhoneView[];
  add(number: string, kind: ThreadItem['kind'], text: string): void;
  setCall(number: string, call: CallView | null): void;
  /** Calls `changed` with a phone's number whenever its screen changed. Returns how to stop. */
  watch(changed: (number: string) => void): () => void;
}

/** Bounds, so that a practice line left running does not grow: the oldest goes first. */
const maxItemsOnPhone = 200;
const maxPhones = 100;

/** The screens of all phones, in memory: a practice network forgets when it stops. */
export function newPhones(now: () => number): Phones {
  const phones = new Map<string, PhoneView>();
  const watchers = new Set<(number: string) => void>();
  let seq = 0;
  const get = (number: string): PhoneView => phones.get(number) ?? { number, thread: [], call: null };
  const put = (phone: PhoneView) => {
    phones.delete(phone.number);
    phones.set(phone.number, phone);
    for (const [number, { call }] of phones) {
      if (phones.size <= maxPhones) break;
      if (call === null || call.stage === 'ended') phones.delete(number);
    }
    for (const changed of watchers) changed(phone.number);
  };
  return {
    get,
    all: () => [...phones.values()],
    add(number, kind, text) {
      const phone = get(number);
      seq += 1;
      const thread = [...phone.thread, { seq, at: now(), kind, text }].slice(-maxItemsOnPhone);
      put({ ...phone, thread });
    },
    setCall: (number, call) => put({ ...get(number), call }),
    watch(changed) {
      watchers.add(changed);
      return () => watchers.delete(changed);
    },
  };
}
