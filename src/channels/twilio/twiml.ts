import VoiceResponse from 'twilio/lib/twiml/VoiceResponse.js';
import type { Reply, Spoken } from '../carrier.ts';
import type { Voices } from './voices.ts';

/** Seconds without a key before the answer is taken as it is; the carrier's own default of 5 is short for a first caller. */
const waitForKeySeconds = 8;

/** Longest text of one message, and of one spoken piece. Source: the carrier's documents (1600), and 4 KB for speech. */
const maxMessageLength = 1600;
const maxSpokenLength = 1300;

/**
 * The answer to a text. A reply that only a call can carry is no text: it becomes an empty answer.
 * @param receiptUrl where to tell what became of it; none unless the reply wants receipts
 */
export function textTwiml(reply: Reply, receiptUrl?: string): string {
  const receipts =
    receiptUrl === undefined ? '' : ` statusCallback="${escaped(receiptUrl).replaceAll('"', '&quot;')}"`;
  const parts = reply.kind === 'text' ? pieces(xmlSafe(reply.body), maxMessageLength) : [];
  // As the SDK's builder writes it, which a test holds it to: the builder takes longer than the text's signature.
  const messages = parts.map((part) => `<Message${receipts}>${escaped(part)}</Message>`).join('');
  return `<?xml version="1.0" encoding="UTF-8"?>${messages === '' ? '<Response/>' : `<Response>${messages}</Response>`}`;
}

/** Words as XML character data, by XML 1.0, sections 2.4 and 2.11. */
function escaped(text: string): string {
  if (!/[&<>\r]/.test(text)) return text;
  return text.replace(/[&<>\r]/g, (mark) => escapes[mark] ?? mark);
}

const escapes: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '\r': '&#xD;' };

/**
 * The answer to a step of a call. Keys go to `keysUrl`; also when there were none, so that silence is heard too.
 * A reply that only a text can carry ends the call.
 * @param recordingsUrl where recordings are served, without a slash at the end; without it everything is said by the voice
 */
export function callTwiml(
  reply: Reply,
  keysUrl: string,
  voices: Voices,
  recordingsUrl?: string,
  connecting?: Connecting,
): string {
  const response = new VoiceResponse();
  switch (reply.kind) {
    case 'busy':
      response.reject({ reason: 'busy' });
      break;
    case 'ask':
      say(
        response.gather({
          input: ['dtmf'],
          action: keysUrl,
          method: 'POST',
          timeout: waitForKeySeconds,
          actionOnEmptyResult: true,
          ...keysWanted(reply.digits),
        }),
        reply,
        voices,
        recordingsUrl,
      );
      break;
    case 'say-and-end':
      say(response, reply, voices, recordingsUrl);
      response.hangup();
      break;
    case 'connect':
      say(response, reply, voices, recordingsUrl);
      if (connecting === undefined) response.hangup();
      else connect(response, reply.to, connecting);
      break;
    case 'text':
    case 'nothing':
      response.hangup();
      break;
    default:
      reply satisfies never;
  }
  return response.toString();
}

/** How a call is connected to a third phone. */
export interface Connecting {
  /** The line's own number: what both sides see. Without it each would see the other's. */
  readonly callerId: string;
  /** Told when the connected call is over or did not come about. */
  readonly endedUrl: string;
}

/** Seconds her phone rings, and the longest talk. Common practice, no source. */
const ringSeconds = 25;
const longestTalkSeconds = 1800;

function connect(response: VoiceResponse, to: string, { callerId, endedUrl }: Connecting): void {
  response
    .dial({
      callerId,
      answerOnBridge: true,
      timeout: ringSeconds,
      timeLimit: longestTalkSeconds,
      action: endedUrl,
      method: 'POST',
    })
    .number(to);
}

/** With one key every key is an answer, # too; a number of several keys may be ended early with #. */
function keysWanted(digits: number | 'hash'): { numDigits?: number; finishOnKey: string } {
  if (digits === 'hash') return { finishOnKey: '#' };
  return digits === 1 ? { numDigits: 1, finishOnKey: '' } : { numDigits: digits, finishOnKey: '#' };
}

interface Speaker {
  say(attributes: VoiceResponse.SayAttributes, message: string): unknown;
  play(url: string): unknown;
}

function say(
  speaker: Speaker,
  words: { readonly say: string; readonly language: string; readonly pieces?: readonly Spoken[] },
  voices: Voices,
  recordingsUrl: string | undefined,
): void {
  const voice = Object.hasOwn(voices, words.language) ? voices[words.language] : undefined;
  const whole: readonly Spoken[] = [{ kind: 'words', text: words.say }];
  for (const piece of recordingsUrl === undefined ? whole : (words.pieces ?? whole)) {
    if (piece.kind === 'recording') speaker.play(`${recordingsUrl}/${piece.file}`);
    else for (const part of pieces(xmlSafe(piece.text), maxSpokenLength)) speaker.say({ ...voice }, part);
  }
}

/** Without the characters that XML 1.0 does not allow: the builder throws on them, and a reply must never be lost so. */
function xmlSafe(text: string): string {
  return text.replace(/[^\t\n\r\u{20}-\u{D7FF}\u{E000}-\u{FFFD}\u{10000}-\u{10FFFF}]/gu, '');
}

/** Cut at a space where there is one in the last third; never inside a surrogate pair. An empty text has no pieces. */
function pieces(text: string, longest: number): readonly string[] {
  const parts: string[] = [];
  let rest = text;
  while (rest.length > longest) {
    const space = rest.lastIndexOf(' ', longest);
    let cut = space > longest * (2 / 3) ? space : longest;
    if (/[\uDC00-\uDFFF]/.test(rest.charAt(cut))) cut -= 1;
    parts.push(rest.slice(0, cut));
    rest = rest.slice(cut).trimStart();
  }
  return rest === '' ? parts : [...parts, rest];
}
