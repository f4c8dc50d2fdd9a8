import { createHash } from 'node:crypto';
import express from 'express';
import { readTodaysList } from '../../line-service.ts';
import { openAccounts } from './accounts.ts';
import { openCookies } from './cookies.ts';
import type { DeskParts } from './desk-parts.ts';
import { refuseForeign } from './foreign.ts';
import { type FramePaths, framed, type Place } from './frame.ts';
import type { Piece } from './html.ts';
import { hasProof, openReading, type SignedIn } from './reading.ts';
import { script } from './script.ts';
import { signInRouter } from './sign-in-router.ts';
import { deskLanguages } from './speech.ts';
import { style } from './style.ts';
import { todayPage } from './today-page.ts';

/** The counsellor's desk, to be mounted at `/desk`. Nothing but signing in is open to who is not signed in. */
export function deskRouter(desk: DeskParts): express.Router {
  const accounts = openAccounts(desk.store, desk.lineOf, () => desk.clock.now());
  const cookies = openCookies(desk.publicUrl.startsWith('https:'));
  const reading = openReading(desk, accounts, cookies);
  const paths: FramePaths = {
    style: `/desk/${named(style)}.css`,
    script: `/desk/${named(script)}.js`,
  };
  const router = express.Router({ strict: false });

  const file = (path: string, type: string, content: string) =>
    router.get(path.slice('/desk'.length), (_request, response) => {
      // Named by its content, so it may be kept: on a slow line that is most of a page.
      response.setHeader('cache-control', 'public, max-age=31536000, immutable');
      response.type(type).end(content);
    });
  file(paths.style, 'css', style);
  file(paths.script, 'text/javascript', script);

  router.use((request, response, next) => {
    if (request.method === 'POST') refuseForeign(request, response, next);
    else next();
  });
  router.use(express.urlencoded({ extended: false, limit: '16kb', parameterLimit: 20 }));
  router.use(signInRouter({ desk, accounts, cookies, reading, paths }));
  router.post('/language', async (request, response) => {
    const who = await reading.signedIn(request);
    const key = who?.formKey ?? cookies.read(request, 'asking') ?? '';
    const chosen = deskLanguages.find(
      (l) => l === (request.body as { language?: unknown } | undefined)?.language,
    );
    if (key === '' || !hasProof(request, key) || chosen === undefined) {
      response.status(403).type('text/plain').end('Only a page of the desk may do this.');
      return;
    }
    cookies.set(response, 'language', chosen, 365 * 86_400);
    response.redirect(303, '/desk');
  });

  const page = (
    path: string,
    place: Place,
    write: (who: SignedIn, request: express.Request) => Promise<{ title: string; content: Piece }>,
  ) =>
    router.get(path, async (request, response) => {
      const who = await reading.signedIn(request);
      if (who === undefined) {
        response.redirect(303, '/desk/sign-in');
        return;
      }
      const { title, content } = await write(who, request);
      response.type('html').end(framed(who, paths, place, title, content));
    });

  const todayParts = () => ({
    programme: desk.programme,
    calendar: desk.calendar,
    now: desk.clock.now(),
    salt: 0,
    content: desk.content,
  });
  page('/', 'today', async (who) => {
    const list = await readTodaysList(desk.store, todayParts());
    return { title: who.speech.say('place.today'), content: todayPage(list, who, todayParts()) };
  });
  return router;
}

function named(content: string): string {
  return createHash('sha256').update(content).digest('base64url').slice(0, 12);
}
