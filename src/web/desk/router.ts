import { createHash } from 'node:crypto';
import express from 'express';
import { z } from 'zod';
import { openDutyBook } from '../../counsel/duty-book.ts';
import { readComingUp } from '../../counsel/read-coming-up.ts';
import { readTodaysList } from '../../counsel/read-todays-list.ts';
import { openRoll } from '../../counsel/roll.ts';
import { openAccounts } from '../../counsel/accounts.ts';
import type { LineId } from '../../dialog/line.ts';
import { alertsPage } from './alerts-page.ts';
import { auditPage } from './audit-page.ts';
import { comingDays, comingKinds, comingPage } from './coming-page.ts';
import { openCookies } from './cookies.ts';
import { openDeskPages } from './desk-pages.ts';
import type { DeskParts } from './desk-parts.ts';
import { findMother } from './find-mother.ts';
import { refuseForeign } from './foreign.ts';
import type { FramePaths } from './frame.ts';
import { html } from './html.ts';
import { addLivePages } from './live-pages.ts';
import { addMotherPages } from './mother-pages.ts';
import { hasProof, openReading } from './reading.ts';
import { rotaPage } from './rota-page.ts';
import { script } from './script.ts';
import { signInRouter } from './sign-in-router.ts';
import { deskLanguages } from './speech.ts';
import { icon, style } from './style.ts';
import { todayPage } from './today-page.ts';

const findForm = z.strictObject({ proof: z.string(), what: z.string().max(30) });

/** The counsellor's desk, to be mounted at `/desk`. Nothing but signing in is open to who is not signed in. */
export function deskRouter(desk: DeskParts): express.Router {
  const { store, programme } = desk;
  const accounts = openAccounts(store, desk.lineOf, () => desk.clock.now());
  const cookies = openCookies(desk.publicUrl.startsWith('https:'));
  const reading = openReading(desk, accounts, cookies);
  const duty = openDutyBook(store, desk.lineOf);
  const paths: FramePaths = {
    style: `/desk/${named(style)}.css`,
    script: `/desk/${named(script)}.js`,
    icon: `/desk/${named(icon)}.svg`,
  };
  const roll = openRoll(store, desk.lineOf);
  const pages = openDeskPages(desk, accounts, reading, paths, roll);
  const router = express.Router();

  const file = (path: string, type: string, content: string) =>
    router.get(path.slice('/desk'.length), (_request, response) => {
      // Named by its content, so it may be kept: on a slow line that is most of a page.
      response.setHeader('cache-control', 'public, max-age=31536000, immutable');
      response.type(type).end(content);
    });
  file(paths.style, 'css', style);
  file(paths.script, 'text/javascript', script);
  file(paths.icon, 'image/svg+xml', icon);

  router.post('/{*any}', refuseForeign);
  router.use(express.urlencoded({ extended: false, limit: '16kb', parameterLimit: 20 }));
  router.use(signInRouter({ desk, accounts, cookies, reading, paths }));
  router.post('/language', async (request, response) => {
    const who = await reading.signedIn(request);
    const key = who?.formKey ?? cookies.read(request, 'asking') ?? '';
    const asked = (request.body as { readonly language?: unknown } | undefined)?.language;
    const chosen = deskLanguages.find((language) => language === asked);
    if (key === '' || !hasProof(request, key) || chosen === undefined) {
      response.status(403).type('text/plain').end('Only a page of the desk may do this.');
      return;
    }
    cookies.set(response, 'language', chosen, 365 * 86_400);
    response.redirect(303, '/desk');
  });

  pages.page('/', 'today', async (who) => ({
    title: who.speech.say('place.today'),
    content: todayPage(await readTodaysList(store, pages.now(), who.counsellor), who, pages.now()),
  }));
  pages.page('/alerts', 'alerts', async (who) => ({
    title: who.speech.say('place.alerts'),
    content: alertsPage(await readTodaysList(store, pages.now(), who.counsellor), who, pages.now()),
  }));
  pages.page('/coming', 'coming', async (who, request) => {
    const { kind, from } = request.query;
    const world = pages.now();
    const isLine = typeof from === 'string' && /^[\w-]{10,64}$/.test(from);
    const untilAt = world.now + comingDays * 86_400_000;
    const coming = await readComingUp(
      ...([store, world, who.counsellor, untilAt] as const),
      ...(isLine ? [from as LineId] : []),
    );
    const one = comingKinds.find((each) => each === kind);
    return { title: who.speech.say('place.coming'), content: comingPage(coming, one, who, world) };
  });
  pages.page('/rota', 'rota', async (who) => ({
    title: who.speech.say('place.rota'),
    content: rotaPage(who, { ...pages.now(), away: await duty.away(desk.clock.now()) }),
  }));
  pages.page('/audit', 'audit', async (who) => {
    if (!who.counsellor.lead) return undefined;
    await accounts.log(who.counsellor.id, { action: 'read-audit' });
    const formerly = await roll.names(desk.clock.now());
    const ids = new Set([...programme.counsellors.map((c) => c.id), ...formerly.keys(), 'nobody']);
    const logs = await Promise.all([...ids].map((id) => accounts.audit(id)));
    return { title: who.speech.say('place.audit'), content: auditPage(logs, who, pages.now().programme) };
  });
  pages.form('/find', findForm, async (who, { what }, request, response) => {
    const { path, lineId } = await findMother(desk, what, who.counsellor);
    const isRefused = path === undefined && lineId !== undefined;
    const action = isRefused ? 'not-hers' : 'looked-for';
    await accounts.log(who.counsellor.id, { action, object: lineId ?? 'nobody' });
    if (path !== undefined) {
      response.redirect(303, `/desk/mother/${path.lineId}/${path.index}`);
      return;
    }
    const { say } = who.speech;
    const content = html`<h1>${say('find.title')}</h1><p class="note">${say('find.none')}</p>`;
    await pages.show(who, request, response, { title: say('find.title'), content });
  });
  addMotherPages(desk, accounts, pages);
  addLivePages(desk, reading, pages);
  router.use(pages.router);
  // Without a session every other path is answered alike, so that none can be told from another.
  router.use(async (request, response) => {
    const who = await reading.signedIn(request);
    if (who === undefined) response.redirect(303, '/desk/sign-in');
    else await pages.nothingHere(who, request, response);
  });
  return router;
}

function named(content: string): string {
  return createHash('sha256').update(content).digest('base64url').slice(0, 12);
}
