import { type JourneyLine, numbers, type Post, type Sent, sid } from './journey-line.ts';

/** What a call says and wants: the words, and where keys go; no address when the call is over. */
export interface CallStep {
  readonly words: string;
  readonly keysTo: string | undefined;
  readonly isRejected: boolean;
}

/** A phone in a journey: it texts and calls the line through `post`, and reads what came. */
export interface Phone {
  readonly number: string;
  /** Sends a text and gives the words of the reply. */
  text(body: string): Promise<string>;
  /** Rings the line; gives whether it was turned away as busy. */
  ring(): Promise<CallStep>;
  /** Takes the call that the line placed last. */
  answer(): Promise<CallStep>;
  /** Presses keys in the call under way; the hash that ends a number is not sent on, as at the carrier. */
  press(keys: string): Promise<CallStep>;
  hangUp(): Promise<void>;
  /** Texts that the line sent by itself since this was last asked. */
  received(): readonly string[];
}

/** @param name keeps the ids of this phone apart from those of another; a journey played again gives the same ids */
export function phoneOf(line: JourneyLine, number: string, name: string, post: Post = line.post): Phone {
  let messages = 0;
  let calls = 0;
  let seen = 0;
  let callSid = '';
  let keysTo = '';
  const inCall = async (path: string, fields: Record<string, string>): Promise<CallStep> => {
    const response = await post(path, {
      CallSid: callSid,
      From: numbers.line,
      To: number,
      Direction: 'outbound-api',
      CallStatus: 'in-progress',
      ...fields,
    });
    const step = await callStep(response);
    keysTo = step.keysTo ?? '';
    return step;
  };
  const placed = () =>
    line.sent.filter((s): s is Sent & { kind: 'call' } => s.kind === 'call' && s.to === number);
  return {
    number,
    text: async (body) => {
      const response = await post('/carrier/text', {
        MessageSid: sid('SM', `${name} ${++messages}`),
        From: number,
        To: numbers.line,
        Body: body,
        NumMedia: '0',
        NumSegments: '1',
      });
      const twiml = await ok(response);
      await line.catchUp();
      return all(twiml, /<Message[^>]*>([^<]*)<\/Message>/g).join('\n');
    },
    ring: async () => {
      callSid = sid('CA', `${name} ${++calls}`);
      const step = await callStep(
        await post('/carrier/call', {
          CallSid: callSid,
          From: number,
          To: numbers.line,
          Direction: 'inbound',
          CallStatus: 'ringing',
        }),
      );
      keysTo = step.keysTo ?? '';
      // She is called back once her own call is over.
      await line.forward(10_000);
      return step;
    },
    answer: async () => {
      const call = placed().at(-1);
      if (call === undefined) throw new Error(`The line has not called ${name}.`);
      callSid = sid('CA', `${name} ${++calls}`);
      return inCall(`/carrier/answer?outbox=${encodeURIComponent(call.id)}`, {});
    },
    press: (keys) => {
      if (keysTo === '') throw new Error('No keys are waited for.');
      return inCall(keysTo, { Digits: keys.replace(/#$/, '') });
    },
    hangUp: async () => {
      await post('/carrier/call-status', {
        CallSid: callSid,
        From: numbers.line,
        To: number,
        CallStatus: 'completed',
      });
    },
    received: () => {
      const texts = line.sent.filter(
        (s): s is Sent & { kind: 'text' } => s.kind === 'text' && s.to === number,
      );
      const news = texts.slice(seen).map((t) => t.body);
      seen = texts.length;
      return news;
    },
  };
}

async function ok(response: Response): Promise<string> {
  const body = await response.text();
  if (response.status !== 200) throw new Error(`The line answered ${response.status}: ${body}`);
  return body;
}

async function callStep(response: Response): Promise<CallStep> {
  const twiml = await ok(response);
  const action = /<Gather[^>]*\baction="([^"]*)"/.exec(twiml)?.[1];
  const url = action === undefined ? undefined : new URL(plain(action));
  return {
    words: all(twiml, /<Say[^>]*>([^<]*)<\/Say>/g).join(' '),
    keysTo: url === undefined ? undefined : url.pathname + url.search,
    isRejected: /<Reject[^>]*reason="busy"/.test(twiml),
  };
}

function all(xml: string, pattern: RegExp): readonly string[] {
  return [...xml.matchAll(pattern)].map((m) => plain(m[1] ?? ''));
}

function plain(escaped: string): string {
  return escaped
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&quot;', '"')
    .replaceAll('&apos;', "'")
    .replaceAll('&amp;', '&');
}

/** Joins in English, whatever languages the line offers, and gives the first question of the enrolment proper. */
export async function joinInEnglish(phone: Phone): Promise<string> {
  const reply = await phone.text('JOIN');
  const english = /(\d+)\s+English\b/.exec(reply)?.[1];
  return english === undefined ? reply : phone.text(english);
}
