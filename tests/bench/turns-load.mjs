/** A closed-loop load: so many keep-alive connections, each sending its next request when the last is answered. */
import { connect } from 'node:net';
import { getExpectedTwilioSignature } from 'twilio/lib/webhooks/webhooks.js';
import { account, lineNumber, publicUrl, textPath } from './turns-account.mjs';

/** @typedef {{ turns: number, ms: number, latenciesMs: number[], unexpected: number }} Measured */

/** One signed text webhook as bytes: the 21 fields of the carrier's form, about 600 bytes. */
export function signedText(port, sid, from, body) {
  const fields = {
    ToCountry: 'GB',
    ToState: '',
    SmsMessageSid: sid,
    NumMedia: '0',
    ToCity: '',
    FromZip: '',
    SmsSid: sid,
    FromState: '',
    SmsStatus: 'received',
    FromCity: '',
    Body: body,
    FromCountry: 'GB',
    To: lineNumber,
    ToZip: '',
    NumSegments: '1',
    MessageSid: sid,
    AccountSid: account.accountSid,
    From: from,
    ApiVersion: '2010-04-01',
    MessagingServiceSid: `MG${'0a'.repeat(16)}`,
    ChannelMetadata: '{"type":"sms","data":{"context":{"carrier":"invented for measuring"}}}',
  };
  const form = new URLSearchParams(fields).toString();
  const signature = getExpectedTwilioSignature(account.authToken, publicUrl + textPath, fields);
  return Buffer.from(
    `POST ${textPath} HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nContent-Type: application/x-www-form-urlencoded\r\n` +
      `X-Twilio-Signature: ${signature}\r\nContent-Length: ${Buffer.byteLength(form)}\r\n\r\n${form}`,
  );
}

/**
 * Drives one server for a time. `lists[i]` are the requests of connection i, each with what its answer must contain; a
 * connection that comes to the end of its list stops. What was sent is taken off the lists.
 * @param {number} port
 * @param {{ bytes: Buffer, expects: string }[][]} lists
 * @param {number} ms
 * @returns {Promise<Measured>}
 */
export async function drive(port, lists, ms) {
  const latenciesMs = [];
  let unexpected = 0;
  const began = performance.now();
  const until = began + ms;
  await Promise.all(
    lists.map(
      (list) =>
        new Promise((resolve, reject) => {
          const socket = connect(port, '127.0.0.1');
          socket.setNoDelay(true);
          let sentAt = 0;
          let expects = '';
          let heard = '';
          const next = () => {
            const request = performance.now() < until ? list.shift() : undefined;
            if (request === undefined) {
              socket.end();
              resolve();
              return;
            }
            expects = request.expects;
            heard = '';
            sentAt = performance.now();
            socket.write(request.bytes);
          };
          socket.on('connect', next);
          socket.on('error', reject);
          socket.on('close', () => reject(new Error('the server closed a connection')));
          socket.on('data', (chunk) => {
            heard += chunk.toString('latin1');
            if (!isWhole(heard)) return;
            latenciesMs.push(performance.now() - sentAt);
            if (!heard.startsWith('HTTP/1.1 200') || !heard.includes(expects)) unexpected += 1;
            next();
          });
        }),
    ),
  );
  return { turns: latenciesMs.length, ms: performance.now() - began, latenciesMs, unexpected };
}

function isWhole(heard) {
  const end = heard.indexOf('\r\n\r\n');
  if (end === -1) return false;
  const length = /\r\ncontent-length: (\d+)/i.exec(heard)?.[1];
  if (length !== undefined) return heard.length >= end + 4 + Number(length);
  return heard.endsWith('0\r\n\r\n');
}

/** The latency that so many in a hundred stayed under. */
export function percentile(latencies, percent) {
  const sorted = [...latencies].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor((sorted.length * percent) / 100))] ?? Number.NaN;
}

export function median(values) {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? Number.NaN;
}
