import { randomBytes } from 'node:crypto';
import type { OutgoingCall } from '../carrier.ts';
import type { CallView, Phones, Remark } from './phones.ts';
import { readTwiml, type Verb } from './read-twiml.ts';
import type { PostWebhook } from './webhook-post.ts';

/** What the calls of a practice network need. */
export interface CallDeskOptions {
  readonly phones: Phones;
  readonly post: PostWebhook;
  readonly trouble: (error: unknown) => void;
  readonly lineNumber: string;
  readonly publicUrl: string;
  readonly secondMs: number;
}

/** The calls of the practice network: one at most on a phone. No method rejects; what goes wrong is on the screen. */
export interface CallDesk {
  /** A phone calls the line. */
  dial(number: string): Promise<void>;
  /** The line calls a phone; returns `callId`. A phone in another call is busy. */
  ring(callId: string, call: OutgoingCall): string;
  answer(number: string): Promise<void>;
  /** One key: 0-9, * or #. Without a call that listens it does nothing. */
  press(number: string, key: string): Promise<void>;
  hangUp(number: string): Promise<void>;
}

type Gather = Verb & { readonly kind: 'gather' };
type Dial = Verb & { readonly kind: 'dial' };

/** A question, and what the line wants done when there is no key at all. */
interface Waiting {
  readonly gather: Gather;
  readonly otherwise: readonly Verb[];
}

interface Call {
  readonly id: string;
  readonly number: string;
  /** Our outbox id when the line placed the call. */
  readonly outboxId: string | undefined;
  view: CallView;
  /** Set while the line waits for keys. */
  waiting: Waiting | undefined;
  timer: NodeJS.Timeout | undefined;
  /** The call on the other phone, when the line connected the two. */
  other: Call | undefined;
  /** How the line had this phone rung from within another call; undefined for a call of its own. */
  readonly dial: Dial | undefined;
}

/** Seconds a phone rings before the call counts as missed. */
const ringSeconds = 25;

/** Letters spoken in a second: about 150 English words a minute, common practice, no source. */
const lettersPerSecond = 14;

/** Makes the calls of a network. */
export function newCallDesk(options: CallDeskOptions): CallDesk {
  const { phones } = options;
  const calls = new Map<string, Call>();
  /** Calls back that came while the phone still heard its own call being turned away: they ring when that is over. */
  const waitingToRing = new Map<string, { readonly callId: string; readonly call: OutgoingCall }>();

  const show = (call: Call, change: Partial<CallView>) => {
    call.view = { ...call.view, ...change };
    phones.setCall(call.number, call.view);
  };
  const sides = (call: Pick<Call, 'id' | 'number' | 'outboxId'>) => ({
    CallSid: call.id,
    Direction: call.outboxId === undefined ? 'inbound' : 'outbound-api',
    From: call.outboxId === undefined ? call.number : options.lineNumber,
    To: call.outboxId === undefined ? options.lineNumber : call.number,
  });
  const fields = (call: Call, status: string) => ({ ...sides(call), CallStatus: status });
  const start = (
    id: string,
    number: string,
    outboxId: string | undefined,
    stage: CallView['stage'],
    dial?: Dial,
  ) => {
    const view: CallView = { id, stage, words: [], pressed: '', listening: false, ending: null };
    const call: Call = {
      id,
      number,
      outboxId,
      view,
      waiting: undefined,
      timer: undefined,
      other: undefined,
      dial,
    };
    calls.set(number, call);
    show(call, {});
    return call;
  };
  const wait = (call: Call, seconds: number, then: () => Promise<void>) => {
    clearTimeout(call.timer);
    call.timer = setTimeout(() => void then().catch(options.trouble), seconds * options.secondMs);
    call.timer.unref();
  };
  const isOn = (call: Call) => calls.get(call.number) === call;

  const end = async (call: Call, ending: Remark, status: string) => {
    if (!isOn(call)) return;
    calls.delete(call.number);
    clearTimeout(call.timer);
    show(call, { stage: 'ended', listening: false, ending });
    phones.add(call.number, 'remark', ending);
    const next = waitingToRing.get(call.number);
    waitingToRing.delete(call.number);
    if (next !== undefined) ringNow(next.callId, next.call);
    const { other } = call;
    call.other = undefined;
    if (call.dial !== undefined) {
      // The other side goes on with what the line says about it; the network tells of the first call only.
      if (other !== undefined) await afterDial(other, call.dial, status);
      return;
    }
    if (other !== undefined) await end(other, 'call-over', 'completed');
    if (status === 'rejected') return; // The line turned the call away itself: no call was held that could end.
    const query = call.outboxId === undefined ? '' : `?outbox=${encodeURIComponent(call.outboxId)}`;
    await options.post(`/carrier/call-status${query}`, fields(call, status)).catch(options.trouble);
  };

  const ask = async (call: Call, path: string, more: Readonly<Record<string, string>>) => {
    try {
      const status = call.view.stage === 'dialling' ? 'ringing' : 'in-progress';
      const verbs = readTwiml(await options.post(path, { ...fields(call, status), ...more }));
      if (isOn(call)) await act(call, verbs);
    } catch (error) {
      options.trouble(error);
      await end(call, 'no-line', 'failed');
    }
  };
  const speak = (call: Call, says: readonly (Verb & { readonly kind: 'say' })[]) => {
    const words = says.map(({ text, language }) => ({ text, language: language ?? 'en' }));
    show(call, { stage: 'talking', pressed: '', words: [...call.view.words, ...words] });
    return words.reduce((letters, { text }) => letters + text.length, 0) / lettersPerSecond;
  };
  const pathOf = (action: string): string | undefined =>
    action.startsWith(`${options.publicUrl}/`) ? action.slice(options.publicUrl.length) : undefined;
  const connect = (call: Call, dial: Dial): void => {
    if (calls.has(dial.number)) {
      setImmediate(() => void afterDial(call, dial, 'busy').catch(options.trouble));
      return;
    }
    const leg = start(`CA${randomBytes(16).toString('hex')}`, dial.number, undefined, 'ringing', dial);
    leg.other = call;
    call.other = leg;
    wait(leg, dial.timeoutSeconds, () => end(leg, 'missed', 'no-answer'));
  };
  const afterDial = async (call: Call, { action }: Dial, status: string): Promise<void> => {
    call.other = undefined;
    if (!isOn(call)) return;
    const path = pathOf(action);
    if (path === undefined) {
      options.trouble(new SyntaxError('The line sent the end of a call to an address that is not its own.'));
      return end(call, 'no-line', 'failed');
    }
    return ask(call, path, { DialCallStatus: status });
  };
  const act = async (call: Call, verbs: readonly Verb[]): Promise<void> => {
    for (const [index, verb] of verbs.entries()) {
      switch (verb.kind) {
        case 'reject':
          return end(call, 'busy', 'rejected');
        case 'hangup':
          return end(call, 'call-over', 'completed');
        case 'say':
          speak(call, [verb]);
          break;
        case 'gather': {
          const seconds = speak(call, verb.says);
          call.waiting = { gather: verb, otherwise: verbs.slice(index + 1) };
          show(call, { listening: true });
          wait(call, seconds + verb.timeoutSeconds, () => keysDone(call));
          return;
        }
        case 'dial':
          connect(call, verb);
          return;
        case 'message':
          throw new SyntaxError('A call was answered with a text.');
        default:
          verb satisfies never;
      }
    }
    return end(call, 'call-over', 'completed');
  };
  const keysDone = async (call: Call): Promise<void> => {
    if (call.waiting === undefined || !isOn(call)) return;
    const { gather, otherwise } = call.waiting;
    clearTimeout(call.timer);
    call.waiting = undefined;
    const digits = call.view.pressed;
    show(call, { listening: false });
    if (digits === '' && !gather.actionOnEmptyResult) return act(call, otherwise);
    const path = pathOf(gather.action);
    if (path === undefined) {
      options.trouble(new SyntaxError('The line sent the keys to an address that is not its own.'));
      return end(call, 'no-line', 'failed');
    }
    return ask(call, path, { Digits: digits });
  };

  const ringNow = (callId: string, { id, to }: OutgoingCall) => {
    const call = start(callId, to, id, 'ringing');
    wait(call, ringSeconds, () => end(call, 'missed', 'no-answer'));
  };
  const reportBusy = async (callId: string, { id, to }: OutgoingCall) => {
    await options.post(`/carrier/call-status?outbox=${encodeURIComponent(id)}`, {
      ...sides({ id: callId, number: to, outboxId: id }),
      CallStatus: 'busy',
    });
  };

  return {
    async dial(number) {
      if (calls.has(number)) return;
      const call = start(`CA${randomBytes(16).toString('hex')}`, number, undefined, 'dialling');
      await ask(call, '/carrier/call', {});
    },
    ring(callId, call) {
      const current = calls.get(call.to);
      if (current === undefined) ringNow(callId, call);
      else if (current.view.stage === 'dialling' && !waitingToRing.has(call.to)) {
        waitingToRing.set(call.to, { callId, call });
      } else setImmediate(() => void reportBusy(callId, call).catch(options.trouble));
      return callId;
    },
    async answer(number) {
      const call = calls.get(number);
      if (call?.view.stage !== 'ringing') return;
      clearTimeout(call.timer);
      show(call, { stage: 'talking' });
      if (call.dial !== undefined) return;
      await ask(call, `/carrier/answer?outbox=${encodeURIComponent(call.outboxId ?? '')}`, {});
    },
    async press(number, key) {
      const call = calls.get(number);
      const gather = call?.waiting?.gather;
      if (call === undefined || gather === undefined || !/^[0-9*#]$/.test(key)) return;
      if (key === gather.finishOnKey) return keysDone(call);
      show(call, { pressed: call.view.pressed + key });
      if (call.view.pressed.length === gather.numDigits) return keysDone(call);
      wait(call, gather.timeoutSeconds, () => keysDone(call));
    },
    async hangUp(number) {
      const call = calls.get(number);
      if (call === undefined) return;
      const ringing = call.view.stage === 'ringing';
      // Who hangs up while the other phone still rings has reached nobody.
      if (call.other?.view.stage === 'ringing') await end(call.other, 'missed', 'canceled');
      await end(call, ringing ? 'missed' : 'call-over', ringing ? 'busy' : 'completed');
    },
  };
}
