/**
 * `npm run stand-in`: the carrier's REST API on loopback, to run the line as with an account and without one. It prints what the
 * line sends, tells it what became of each, and posts texts that you type. Troubles can be asked for.
 */
import { createInterface } from 'node:readline';
import { parseArgs } from 'node:util';
import { carrierRest } from './carrier-rest.ts';
import { carrierSignature } from './carrier-signature.ts';
import { field, kindOf } from './rest-answers.ts';

const number = '+447700900999';
const accountSid = `AC${'0'.repeat(32)}`;
const authToken = '0123456789abcdef0123456789abcdef';

const text = { type: 'string' } as const;
const { values } = parseArgs({
  options: {
    port: { ...text, default: '8090' },
    line: { ...text, default: 'http://127.0.0.1:8080' },
    seed: { ...text, default: '1' },
    'time-outs': { ...text, default: '0' },
    errors: { ...text, default: '0' },
    busy: { ...text, default: '0' },
    delay: { ...text, default: '0' },
    lost: { ...text, default: '0' },
    repeated: { ...text, default: '0' },
    shuffled: { ...text, default: '0' },
    undelivered: { ...text, default: '0' },
  },
});
const percent = (
  name: 'time-outs' | 'errors' | 'busy' | 'lost' | 'repeated' | 'shuffled' | 'undelivered',
) => {
  const share = Number(values[name]) / 100;
  if (!(share >= 0 && share <= 1)) throw new RangeError(`--${name} is a percentage from 0 to 100`);
  return share;
};
const line = values.line.replace(/\/+$/, '');
const say = (words: string) => process.stdout.write(`${words}\n`);

const rest = await carrierRest({
  port: Number(values.port),
  seed: Number(values.seed),
  delayMs: Number(values.delay),
  chances: { timeOut: percent('time-outs'), serverError: percent('errors'), tooMany: percent('busy') },
  account: { number, publicUrl: line },
  receipts: {
    authToken,
    listenUrl: () => line,
    lost: percent('lost'),
    repeated: percent('repeated'),
    shuffled: percent('shuffled'),
    undelivered: percent('undelivered'),
  },
  onAccepted: (request, sid) =>
    say(
      kindOf(request) === 'call'
        ? `  call to ${field(request, 'To') ?? ''} (${sid.slice(-4)})`
        : `  to ${field(request, 'To') ?? ''}: ${field(request, 'Body') ?? ''}`,
    ),
});

say(`The stand-in for the carrier's API is at ${rest.url}. Start the line in another terminal with:

  PORT=${new URL(line).port || '80'} DATA_DIR=data/stand-in TWILIO_API_URL=${rest.url} PUBLIC_URL=${line} \\
  TWILIO_ACCOUNT_SID=${accountSid} TWILIO_AUTH_TOKEN=${authToken} TWILIO_NUMBER=${number} \\
  SEALING_KEYS=stand-in:${Buffer.alloc(32, 1).toString('base64')} LINE_PEPPER=only-for-the-stand-in \\
  COUNSELLORS=anita:Anita:+447700900011:en,mary:Mary:+447700900012:en:lead npm start

Then write here, a text a line:  +447700900101 join`);

let texts = 0;
createInterface({ input: process.stdin }).on('line', (typed) => {
  const [, from, body] = /^(\+447700900\d{3})\s+(.*)$/.exec(typed.trim()) ?? [];
  if (from === undefined || body === undefined) {
    if (typed.trim() !== '')
      say('A line is a number for fiction, +447700900000 to 999, and the words: +447700900101 join');
    return;
  }
  texts += 1;
  const sid = `SM${(Date.now() * 1000 + texts).toString(16).padStart(32, '0')}`;
  const fields = {
    AccountSid: accountSid,
    ApiVersion: '2010-04-01',
    MessageSid: sid,
    SmsSid: sid,
    From: from,
    To: number,
    Body: body,
    NumMedia: '0',
  };
  const url = `${line}/carrier/text`;
  fetch(url, {
    method: 'POST',
    headers: {
      'content-type': 'application/x-www-form-urlencoded',
      'x-twilio-signature': carrierSignature(authToken, url, Object.entries(fields)),
    },
    body: new URLSearchParams(fields).toString(),
  }).then(
    async (answer) => say(`  ${answer.status} to ${from}: ${wordsOf(await answer.text())}`),
    () => say(`  ${url} does not answer: is the line started?`),
  );
});

/** The words of a reply's messages. */
function wordsOf(twiml: string): string {
  return [...twiml.matchAll(/<Message[^>]*>([^<]*)<\/Message>/g)]
    .map(([, words = '']) =>
      words
        .replaceAll('&lt;', '<')
        .replaceAll('&gt;', '>')
        .replaceAll('&quot;', '"')
        .replaceAll('&apos;', "'")
        .replaceAll('&amp;', '&'),
    )
    .join('\n');
}
