import express from 'express';
import type { z } from 'zod';
import type { Accounts } from '../../counsel/accounts.ts';
import type { Roll } from '../../counsel/roll.ts';
import { sendPage } from './answer.ts';
import type { DeskParts } from './desk-parts.ts';
import { type FramePaths, framed, type Place } from './frame.ts';
import { html, type Piece } from './html.ts';
import { hasProof, type Reading, type SignedIn } from './reading.ts';

/** A page's name, and what stands on it. */
type Written = { readonly title: string; readonly content: Piece };

/** Adds pages and forms to the desk; none is ever open to who is not signed in, or for a form without its proof. */
export interface DeskPages {
  readonly router: express.Router;
  now(): {
    readonly now: number;
    readonly salt: number;
    readonly content: DeskParts['content'];
    readonly programme: DeskParts['programme'];
    readonly calendar: DeskParts['calendar'];
  };
  /** Writing nothing means that there is no such page, for her. */
  page(
    path: string,
    place: Place,
    write: (who: SignedIn, request: express.Request) => Promise<Written | undefined>,
  ): void;
  form<Form>(
    path: string,
    schema: z.ZodType<Form>,
    act: (who: SignedIn, form: Form, request: express.Request, response: express.Response) => Promise<void>,
  ): void;
  /** Answers with a page that has no place of its own. */
  show(
    who: SignedIn,
    request: express.Request,
    response: express.Response,
    page: Written,
    status?: number,
  ): Promise<void>;
  nothingHere(who: SignedIn, request: express.Request, response: express.Response): Promise<void>;
}

export function openDeskPages(
  desk: DeskParts,
  accounts: Accounts,
  reading: Reading,
  paths: FramePaths,
  roll: Roll,
): DeskPages {
  const router = express.Router();
  /** Those who have left, as far as it was known at the last page. */
  let formerly: ReadonlyMap<string, string> = new Map();
  const callRoll = async ({ counsellor }: SignedIn): Promise<void> => {
    await roll.remember(counsellor);
    formerly = await roll.names(desk.clock.now());
  };
  const send = (
    who: SignedIn,
    request: express.Request,
    response: express.Response,
    place: Place,
    { title, content }: Written,
    status = 200,
  ) => sendPage(request, response, framed(who, paths, place, title, content), status);

  const told = (who: SignedIn, key: string): Written => ({
    title: who.speech.say(`${key}.title`),
    content: html`<h1>${who.speech.say(`${key}.title`)}</h1><p>${who.speech.say(`${key}.what`)}</p>`,
  });

  const pages: DeskPages = {
    router,
    now: () => ({
      now: desk.clock.now(),
      salt: 0,
      content: desk.content,
      programme: { ...desk.programme, formerly },
      calendar: desk.calendar,
    }),
    nothingHere: (who, request, response) =>
      send(who, request, response, 'elsewhere', told(who, 'nothing-here'), 404),
    show: (who, request, response, page, status) => send(who, request, response, 'elsewhere', page, status),
    page: (path, place, write) => {
      router.get(path, async (request, response) => {
        const who = await reading.signedIn(request);
        if (who === undefined) {
          response.redirect(303, '/desk/sign-in');
          return;
        }
        await callRoll(who);
        const written = await write(who, request);
        if (written === undefined) await pages.nothingHere(who, request, response);
        else await send(who, request, response, place, written);
      });
    },
    form: (path, schema, act) => {
      router.post(path, async (request, response) => {
        const who = await reading.signedIn(request);
        if (who === undefined) {
          response.redirect(303, '/desk/sign-in');
          return;
        }
        if (!hasProof(request, who.formKey)) {
          await accounts.log(who.counsellor.id, { action: 'form-refused' });
          await pages.show(who, request, response, told(who, 'refused'), 403);
          return;
        }
        const form = schema.safeParse(request.body);
        if (form.success) await act(who, form.data, request, response);
        else await pages.show(who, request, response, told(who, 'refused'), 400);
      });
    },
  };
  return pages;
}
