import type { Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { Inbound, Reply } from '../../src/channels/carrier.ts';
import { twilioWebhooks, type TwilioWebhookOptions } from '../../src/channels/twilio/webhooks.ts';
import { webApp } from '../../src/web/app.ts';
import { carrierSignature } from './carrier-signature.ts';

/** An account and numbers for tests. Numbers are from Ofcom's range for fiction. */
export const account = {
  accountSid: `AC${'a1'.repeat(16)}`,
  authToken: 'token-for-tests-0123456789',
  publicUrl: 'https://line.example.test',
  lineNumber: '+447700900000',
  mother: '+447700900123',
} as const;

export const messageSid = `SM${'0f'.repeat(16)}`;
export const callSid = `CA${'0f'.repeat(16)}`;

/** A line whose service is a function, listening on loopback; all it was told is kept in `told`. */
export interface WebhookLine {
  readonly base: string;
  readonly told: Inbound[];
  readonly refused: { readonly status: number; readonly why: string }[];
  readonly logged: object[];
  /** Posts signed as the carrier would; `overrides` breaks it on purpose. */
  post(path: string, fields: Readonly<Record<string, string>>, overrides?: Overrides): Promise<Response>;
  close(): Promise<void>;
}

export interface Overrides {
  readonly signature?: string | null;
  readonly contentType?: string;
  readonly body?: string;
  readonly headers?: Readonly<Record<string, string>>;
  readonly method?: string;
}

/** @param receive answers what the carrier told; what it throws is the service's failure */
export async function webhookLine(
  receive: (inbound: Inbound) => Promise<Reply> | Reply,
  options: Partial<TwilioWebhookOptions> = {},
): Promise<WebhookLine> {
  const told: Inbound[] = [];
  const refused: { status: number; why: string }[] = [];
  const logged: object[] = [];
  const app = webApp({
    carrierWebhooks: twilioWebhooks({
      accountSid: account.accountSid,
      authToken: account.authToken,
      numbers: [account.lineNumber],
      publicUrl: account.publicUrl,
      service: {
        receive: async (inbound) => {
          told.push(inbound);
          return receive(inbound);
        },
      },
      apologies: { text: 'Sorry by text.', call: 'Sorry by call.', language: 'en' },
      onRefused: ({ status, why }) => refused.push({ status, why }),
      ...options,
    }),
    health: async () => ({ ready: true, parts: {} }),
    log: { error: (fields) => logged.push(fields) },
  });
  const server = await new Promise<Server>((resolve) => {
    const listening = app.listen(0, '127.0.0.1', () => resolve(listening));
  });
  const base = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  return {
    base,
    told,
    refused,
    logged,
    async post(path, fields, overrides = {}) {
      const all = { AccountSid: account.accountSid, From: account.mother, To: account.lineNumber, ...fields };
      const entries = Object.entries(all);
      const signature =
        overrides.signature === undefined
          ? carrierSignature(account.authToken, account.publicUrl + path, entries)
          : overrides.signature;
      return fetch(base + path, {
        method: overrides.method ?? 'POST',
        headers: {
          'content-type': overrides.contentType ?? 'application/x-www-form-urlencoded',
          ...(signature === null ? {} : { 'x-twilio-signature': signature }),
          ...overrides.headers,
        },
        ...(overrides.method === 'GET'
          ? {}
          : { body: overrides.body ?? new URLSearchParams(entries).toString() }),
      });
    },
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
}
