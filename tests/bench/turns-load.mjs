/** Two loads over keep-alive connections: as much as the server can take, and so many a second whatever it does. */
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

/** One keep-alive connection: sends one request at a time and tells when its answer is whole. */
function openConnection(port) {
  const socket = connect(port, '127.0.0.1');
  socket.setNoDelay(true);
  let heard = '';
  let answered;
  const failed = (error) => answered?.reject(error);
  socket.on('error', failed);
  socket.on('close', () => failed(new Error('the server closed a connection')));
  socket.on('data', (chunk) => {
    heard += chunk.toString('latin1');
    if (isWhole(heard)) answered.resolve(heard);
  });
  return {
    opened: new Promise((resolve, reject) => socket.once('connect', resolve).once('error', reject)),
    /** Calls back with the answer: a promise for each would cost the load more than the socket does. */
    ask: (bytes, resolve, reject) => {
      heard = '';
      answered = { resolve, reject };
      socket.write(bytes);
    },
    close: () => {
      answered = undefined;
      socket.end();
    },
  };
}

const isExpected = (answer, { expects }) => answer.startsWith('HTTP/1.1 200') && answer.includes(expects);

/**
 * Drives one server for a time, in a closed loop: each connection sends its next request when the last is answered. `lists[i]`
 * are the requests of connection i, each with what its answer must contain; a connection that comes to the end of its list
 * stops. What was sent is taken off the lists.
 * @param {number} port
 * @param {{ bytes: Buffer, expects: string }[][]} lists
 * @param {number} ms
 * @returns {Promise<Measured>}
 */
export async function drive(port, lists, ms) {
  const latenciesMs = [];
  let unexpected = 0;
  const connections = lists.map(() => openConnection(port));
  await Promise.all(connections.map(({ opened }) => opened));
  const began = performance.now();
  const until = began + ms;
  await Promise.all(
    lists.map(
      (list, i) =>
        new Promise((resolve, reject) => {
          const next = () => {
            const request = performance.now() < until ? list.shift() : undefined;
            if (request === undefined) {
              connections[i].close();
              resolve();
              return;
            }
            const sentAt = performance.now();
            const hear = (answer) => {
              latenciesMs.push(performance.now() - sentAt);
              if (!isExpected(answer, request)) unexpected += 1;
              next();
            };
            connections[i].ask(request.bytes, hear, reject);
          };
          next();
        }),
    ),
  );
  return { turns: latenciesMs.length, ms: performance.now() - began, latenciesMs, unexpected };
}

/**
 * Drives one server in an open loop: requests come at a fixed rate, one connection after the other, whether or not the server
 * keeps up. A latency counts from the moment at which the request was to come, waiting for its connection included: a slow
 * moment of the server is not hidden by a load that waits for it.
 * @param {number} perSecond
 * @returns {Promise<Measured>}
 */
export async function driveAtRate(port, lists, ms, perSecond) {
  const latenciesMs = [];
  let unexpected = 0;
  const connections = lists.map(() => openConnection(port));
  await Promise.all(connections.map(({ opened }) => opened));
  const waiting = lists.map(() => []);
  const isBusy = lists.map(() => false);
  const began = performance.now();
  const all = Math.floor((perSecond * ms) / 1000);
  let come = 0;
  await new Promise((resolve, reject) => {
    const send = (i) => {
      const arrival = waiting[i].shift();
      if (arrival === undefined) return;
      isBusy[i] = true;
      const hear = (answer) => {
        latenciesMs.push(performance.now() - arrival.at);
        if (!isExpected(answer, arrival.request)) unexpected += 1;
        isBusy[i] = false;
        if (latenciesMs.length === all) resolve();
        else send(i);
      };
      connections[i].ask(arrival.request.bytes, hear, reject);
    };
    const arrive = () => {
      const due = Math.min(all, Math.floor(((performance.now() - began) * perSecond) / 1000));
      for (; come < due; come += 1) {
        const i = come % lists.length;
        const request = lists[i].shift();
        if (request === undefined) {
          reject(new Error('the load has no more requests'));
          return;
        }
        waiting[i].push({ request, at: began + (come * 1000) / perSecond });
        if (!isBusy[i]) send(i);
      }
      if (come < all) setTimeout(arrive, 1);
    };
    arrive();
  });
  for (const connection of connections) connection.close();
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
