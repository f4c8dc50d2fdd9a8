import express from 'express';
import { z } from 'zod';
import type { Counsellor } from '../../dialog/world.ts';
import type { Accounts } from '../../counsel/accounts.ts';
import { addressLimit } from './address-limit.ts';
import type { Cookies } from './cookies.ts';
import type { DeskParts } from './desk-parts.ts';
import type { FramePaths } from './frame.ts';
import { hasProof, type Reading } from './reading.ts';
import { codeHash, isSame, newCode, newFormToken, newToken, tokenHash } from './secrets.ts';
import { codePage, numberPage } from './sign-in-pages.ts';
import {
  codeMinutes,
  counsellorOfNumber,
  waitingFor,
  withCode,
  withoutSession,
  withSession,
  withWrongTry,
} from './sign-in-rules.ts';
import type { Speech } from './speech.ts';

const minuteMs = 60_000;
/** In 15 minutes from one address: more than a clinic of counsellors behind one router needs. Common practice, no source. */
const mostCodesAsked = 30;
const mostCodesTried = 60;
/** Each wrong code from an address doubles the wait, up to four seconds. */
const longestWaitMs = 4_000;

const numberForm = z.object({ number: z.string().max(24) });
const codeForm = z.object({ number: z.string().max(24), code: z.string().max(12) });

export interface SignInParts {
  readonly desk: DeskParts;
  readonly accounts: Accounts;
  readonly cookies: Cookies;
  readonly reading: Reading;
  readonly paths: FramePaths;
}

/** Signing in by a code that is sent to her own phone. Every number gets the same answers. */
export function signInRouter({ desk, accounts, cookies, reading, paths }: SignInParts): express.Router {
  const { programme, wallNow } = desk;
  const asked = addressLimit();
  const tried = addressLimit();
  const wrong = addressLimit();

  /** What this browser holds before it is signed in: a code is good for the browser that asked for it. */
  const askingOf = (request: express.Request, response: express.Response): string => {
    const held = cookies.read(request, 'asking');
    if (held !== undefined) return held;
    const fresh = newToken();
    cookies.set(response, 'asking', fresh);
    return fresh;
  };

  const sendCode = async (counsellor: Counsellor | undefined, browser: string): Promise<void> => {
    const code = newCode();
    const salt = newToken();
    const hash = await codeHash(code, salt);
    if (counsellor === undefined) {
      await accounts.log('nobody', { action: 'unknown-number' });
      return;
    }
    await accounts.change(counsellor.id, (record) => {
      const changed = withCode(record, { salt, hash, browser: tokenHash(browser) }, wallNow());
      if (changed === undefined) return { record, deeds: [{ action: 'code-refused' }], answer: undefined };
      const now = desk.clock.now();
      const body = desk.words.say(
        'sign-in.sms',
        { code, programme: programme.name, count: codeMinutes },
        counsellor.language,
        'text',
      );
      return {
        record: changed,
        deeds: [{ action: 'code-sent' }],
        message: {
          channel: 'text',
          to: counsellor.phone,
          body,
          language: counsellor.language,
          purpose: 'sign-in',
          priority: 1,
          notBefore: now,
          sendBefore: now + codeMinutes * minuteMs,
          receiver: counsellor.id,
        },
        answer: undefined,
      };
    });
  };

  /** The cookie of a new session, or undefined when the code is not right. */
  const enter = async (counsellor: Counsellor | undefined, browser: string, code: string) => {
    const record = counsellor === undefined ? undefined : await accounts.read(counsellor.id);
    const meant = record && waitingFor(record, tokenHash(browser), wallNow());
    const typed = code.normalize('NFKC').replace(/[०-९]/g, (d) => String(d.charCodeAt(0) - 0x0966));
    // Hashed also when nothing waits, so that the time taken tells nothing.
    const hash = await codeHash(typed.replace(/\D/g, ''), meant?.salt ?? 'nobody');
    if (counsellor === undefined || meant === undefined) {
      await accounts.log(counsellor?.id ?? 'nobody', { action: 'wrong-code' });
      return undefined;
    }
    const token = newToken();
    return accounts.change(counsellor.id, (latest) => {
      const now = wallNow();
      // Looked at again: of two tries at once one may have used it up.
      const waiting = waitingFor(latest, tokenHash(browser), now);
      if (waiting === undefined || !isSame(waiting.hash, hash)) {
        const after = waiting === undefined ? latest : withWrongTry(latest, waiting, now);
        return { record: after, deeds: [{ action: 'wrong-code' }], answer: undefined };
      }
      return {
        record: withSession(latest, tokenHash(token), now),
        deeds: [{ action: 'signed-in' }],
        answer: `${counsellor.id}.${token}`,
      };
    });
  };

  /** The number is asked for again, with the reason. */
  const askAgain = (
    response: express.Response,
    status: number,
    speech: Speech,
    browser: string,
    notice: 'form-old' | 'too-often',
  ): void => {
    response
      .status(status)
      .type('html')
      .end(numberPage(speech, paths, newFormToken(browser), notice));
  };

  const endSession = async (request: express.Request): Promise<void> => {
    const who = await reading.signedIn(request, 'look');
    if (who === undefined) return;
    await accounts.change(who.counsellor.id, (record) => ({
      record: withoutSession(record, who.sessionHash),
      deeds: [{ action: 'signed-out' }],
      answer: undefined,
    }));
  };

  const router = express.Router();
  router.get('/sign-in', (request, response) => {
    const notice = request.query['after'] === 'signed-out' ? 'signed-out' : undefined;
    response
      .type('html')
      .end(numberPage(reading.speech(request), paths, newFormToken(askingOf(request, response)), notice));
  });

  router.post('/sign-in', async (request, response) => {
    const speech = reading.speech(request);
    const browser = askingOf(request, response);
    const form = numberForm.safeParse(request.body);
    if (!hasProof(request, browser) || !form.success) {
      askAgain(response, 403, speech, browser, 'form-old');
      return;
    }
    if (asked.count(request.ip ?? '', wallNow()) > mostCodesAsked) {
      askAgain(response, 429, speech, browser, 'too-often');
      return;
    }
    await sendCode(counsellorOfNumber(form.data.number, programme.counsellors), browser);
    response.type('html').end(codePage(speech, paths, newFormToken(browser), form.data.number));
  });

  router.post('/sign-in/code', async (request, response) => {
    const speech = reading.speech(request);
    const browser = askingOf(request, response);
    const form = codeForm.safeParse(request.body);
    if (!hasProof(request, browser) || !form.success) {
      askAgain(response, 403, speech, browser, 'form-old');
      return;
    }
    const address = request.ip ?? '';
    if (tried.count(address, wallNow()) > mostCodesTried) {
      askAgain(response, 429, speech, browser, 'too-often');
      return;
    }
    const { number, code } = form.data;
    const cookie = await enter(counsellorOfNumber(number, programme.counsellors), browser, code);
    if (cookie === undefined) {
      await desk.wait(Math.min(longestWaitMs, 125 * 2 ** wrong.count(address, wallNow())));
      response
        .status(403)
        .type('html')
        .end(codePage(speech, paths, newFormToken(browser), number, 'wrong-code'));
      return;
    }
    await endSession(request);
    cookies.set(response, 'session', cookie);
    cookies.clear(response, 'asking');
    response.redirect(303, '/desk');
  });

  router.post('/sign-out', async (request, response) => {
    const who = await reading.signedIn(request, 'look');
    if (who !== undefined && !hasProof(request, who.formKey)) {
      response.status(403).type('text/plain').end('Only a page of the desk may do this.');
      return;
    }
    await endSession(request);
    cookies.clear(response, 'session');
    response.redirect(303, '/desk/sign-in?after=signed-out');
  });
  return router;
}
