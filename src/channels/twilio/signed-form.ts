import type { ParsedUrlQuery } from 'node:querystring';
import { parse } from 'node:querystring';
import type express from 'express';
import { type FormBody, readFormBody } from './form-body.ts';
import type { Webhook } from './read-webhook.ts';
import type { SignedRequest } from './signature.ts';
import { together } from './together.ts';

/** What answers a webhook: TwiML, nothing (204), or a refusal. */
export type WebhookAnswer =
  | { readonly kind: 'twiml'; readonly twiml: string }
  | { readonly kind: 'nothing' }
  | { readonly kind: 'refused'; readonly status: keyof typeof refusals; readonly why: string };

/** Answers at once or later. What it throws or rejects with is the error of the request. */
export type AnswerWebhook = (webhook: Webhook) => WebhookAnswer | Promise<WebhookAnswer>;

export interface SignedFormOptions {
  readonly publicUrl: string;
  readonly isSigned: (request: SignedRequest) => boolean;
  readonly onRefused?: (refusal: {
    readonly path: string;
    readonly status: number;
    readonly why: string;
  }) => void;
}

/**
 * Handlers of POSTed forms, by path. Any other path goes on; any other method is a 405. Nothing is answered before the form
 * is read whole and its signature proved.
 *
 * One handler with a table and not a router with a route each: every text passes here, and a route of a router of the app
 * costs more than reading the form and proving its signature do together.
 */
export function signedForms(
  answers: ReadonlyMap<string, AnswerWebhook>,
  { publicUrl, isSigned, onRefused }: SignedFormOptions,
): express.RequestHandler {
  const withOthers = together();
  return (request, response, next) => {
    const { url } = request;
    const mark = url.indexOf('?');
    // A whole address in the request line is found its route too, so that it is refused for its signature.
    const path = !url.startsWith('/') ? request.path : mark === -1 ? url : url.slice(0, mark);
    const answer = answers.get(path);
    if (answer === undefined) {
      next();
      return;
    }
    if (request.method !== 'POST') {
      request.resume();
      response.statusCode = 405;
      response.setHeader('allow', 'POST');
      response.end('Only POST is answered here.');
      return;
    }
    const write = (written: WebhookAnswer): void => {
      switch (written.kind) {
        case 'twiml':
          response.setHeader('content-type', 'text/xml; charset=utf-8');
          response.end(written.twiml);
          break;
        case 'nothing':
          response.statusCode = 204;
          response.end();
          break;
        case 'refused':
          onRefused?.({ path, status: written.status, why: written.why });
          response.statusCode = written.status;
          response.setHeader('content-type', 'text/plain; charset=utf-8');
          response.end(refusals[written.status]);
          break;
        default:
          written satisfies never;
      }
    };
    const take = (body: FormBody): void => {
      try {
        if (body.kind === 'refused') {
          write({ kind: 'refused', status: body.status, why: 'body' });
          return;
        }
        const signature = headerOnce(request.headers['x-twilio-signature']);
        if (!isSigned({ url: publicUrl + url, fields: body.fields, signature })) {
          write({ kind: 'refused', status: 403, why: 'signature' });
          return;
        }
        const query = mark === -1 ? noQuery : parse(url.slice(mark + 1));
        const answered = answer({ fields: body.fields, query });
        if (answered instanceof Promise) answered.then(write).catch(next);
        else write(answered);
      } catch (error) {
        next(error);
      }
    };
    readFormBody(request, (body) => withOthers(() => take(body)));
  };
}

const noQuery: Readonly<ParsedUrlQuery> = {};

const refusals = {
  400: 'The request cannot be read.',
  403: 'The request is not for this line.',
  413: 'The request is too large.',
  415: 'Only forms in UTF-8 are read here.',
} as const;

/** Node joins a repeated header of this kind with commas; an array would be somebody else's invention. */
function headerOnce(header: string | readonly string[] | undefined): string | undefined {
  return typeof header === 'string' ? header : undefined;
}
