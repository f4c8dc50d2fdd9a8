import type { Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { Carrier, Inbound, Reply } from '../../src/channels/carrier.ts';
import { practiceCarrier } from '../../src/channels/practice/carrier.ts';
import { type PracticeNetwork, practiceNetwork } from '../../src/channels/practice/network.ts';
import { newPracticeAccount } from '../../src/channels/practice/practice-account.ts';
import { practiceRouter } from '../../src/channels/practice/router.ts';
import { twilioWebhooks } from '../../src/channels/twilio/webhooks.ts';
import { webApp } from '../../src/web/app.ts';

/** A line on the practice network whose service is a function; its clock stands still unless moved forward. */
export interface PracticeLine {
  readonly base: string;
  readonly told: Inbound[];
  readonly troubles: unknown[];
  readonly network: PracticeNetwork;
  readonly carrier: Carrier;
  now(): number;
  close(): Promise<void>;
}

export const practiceStart = Date.UTC(2026, 2, 2, 4, 30);
export const lineNumber = '+447700900000';
export const counsellor = { name: 'Meera', number: '+447700900001' } as const;

/** @param receive answers what the network told the line; it gets the line, to send through the carrier */
export async function practiceLine(
  receive: (inbound: Inbound, line: PracticeLine) => Promise<Reply> | Reply,
  secondMs = 1000,
): Promise<PracticeLine> {
  const told: Inbound[] = [];
  const troubles: unknown[] = [];
  let now = practiceStart;
  let base = '';
  const account = newPracticeAccount();
  const publicUrl = 'http://practice.example.test';
  const network = practiceNetwork({
    account,
    line: { publicUrl, listenUrl: () => base },
    lineNumber,
    now: () => now,
    onTrouble: (error) => troubles.push(error),
    secondMs,
  });
  const line = { told, troubles, network, carrier: practiceCarrier(network), now: () => now };
  const app = webApp({
    carrierWebhooks: twilioWebhooks({
      ...account,
      numbers: [lineNumber],
      publicUrl,
      service: {
        receive: async (inbound) => {
          told.push(inbound);
          return receive(inbound, { ...line, base, close });
        },
      },
      apologies: { text: 'Sorry by text.', call: 'Sorry by call.', language: 'en' },
    }),
    practice: practiceRouter({
      network,
      clock: {
        now: () => now,
        forward: async (ms) => {
          now += ms;
        },
      },
      timeZone: 'Asia/Kolkata',
      counsellors: [counsellor],
    }),
    health: async () => ({ ready: true, parts: {} }),
    log: { error: (fields) => troubles.push(fields) },
  });
  const server = await new Promise<Server>((resolve) => {
    const listening = app.listen(0, '127.0.0.1', () => resolve(listening));
  });
  base = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  const close = () =>
    new Promise<void>((resolve) => {
      server.close(() => resolve());
      server.closeAllConnections();
    });
  return { ...line, base, close };
}
