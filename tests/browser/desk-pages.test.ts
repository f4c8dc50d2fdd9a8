import axe from 'axe-core';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { RotaPlan } from '../../src/counsel/rota-plan.ts';
import type { Counsellor } from '../../src/dialog/world.ts';
import { anita, asha, type DeskAtWork, deskAtWork, mary } from '../web/desk/desk-at-work.ts';
import { exampleWeek, grace, sunita } from '../web/desk/example-week.ts';
import { hasChromium, openChromium } from './chromium.ts';
import { picture } from './practice-phone.ts';

/** Numbers from Ofcom's range for fiction. Two who share day and night, with a swap, a holiday, and the gap that it leaves. */
const person = (id: string, name: string, phone: string, more: Partial<Counsellor> = {}): Counsellor => ({
  ...{ id, name, phone, language: 'en', lead: false },
  ...more,
});
const counsellors = [
  person('anita', 'Anita', anita, { languages: ['en', 'hi'] }),
  person('sunita', 'Sunita', '+447700900013', { language: 'hi', languages: ['hi', 'mr'] }),
  person('mary', 'Mary', mary, { lead: true }),
  person('leela', 'Leela', '+447700900014', { lead: true, clinical: true }),
];
const days = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'] as const;
const rota: RotaPlan = {
  week: [
    { who: 'anita', days, fromMinuteOfDay: 7 * 60, toMinuteOfDay: 19 * 60 },
    { who: 'sunita', days, fromMinuteOfDay: 19 * 60, toMinuteOfDay: 7 * 60 },
  ],
  swaps: [{ from: 'anita', to: 'sunita', day: '2026-12-06' }],
  holidays: [{ who: 'sunita', firstDay: '2026-12-08', lastDay: '2026-12-08' }],
  climbMinutes: {},
};

const sizes = [
  [360, 740],
  [1280, 900],
] as const;

describe.skipIf(!hasChromium)('the desk after a week', () => {
  let desk: DeskAtWork;
  let browser: Browser;
  const faults: string[] = [];
  beforeAll(async () => {
    desk = await deskAtWork({ programme: { counsellors, rota } });
    await exampleWeek(desk);
    browser = await openChromium();
  }, 120_000);
  afterAll(async () => {
    await browser?.close();
    await desk?.close();
  });

  const open = async (phone: string, width: number, height: number, scripts = true) => {
    const context: BrowserContext = await browser.newContext({
      viewport: { width, height },
      javaScriptEnabled: scripts,
    });
    const page = await context.newPage();
    page.setDefaultTimeout(10_000);
    page.on('console', (message) => {
      if (message.type() === 'error') faults.push(message.text());
    });
    const who = await desk.signedIn(phone);
    await context.addCookies([...who.cookies].map(([name, value]) => ({ name, value, url: desk.base })));
    return page;
  };
  /** What axe-core, with the rules of WCAG 2.2 A and AA, finds. */
  const complaints = async (page: Page) => {
    await page.evaluate(axe.source);
    const found = await page.evaluate<{ violations: { id: string; nodes: { html: string }[] }[] }>(
      'axe.run()',
    );
    return found.violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`);
  };
  const mother = (phone: string) => `/desk/mother/${desk.lineOf(phone)}/0`;

  test.each(sizes)(
    'every page is whole at %i by %i, and axe-core has nothing to say',
    async (width, height) => {
      const page = await open(mary, width, height);
      const pages = {
        today: '/desk',
        alerts: '/desk/alerts',
        coming: '/desk/coming',
        rota: '/desk/rota',
        audit: '/desk/audit',
        mother: mother(sunita),
        newborn: mother(asha),
        twins: mother(grace),
        nothing: '/desk/nothing',
      };
      for (const [name, path] of Object.entries(pages)) {
        await page.goto(desk.base + path);
        expect([name, await complaints(page)]).toEqual([name, []]);
        const tooWide = await page.evaluate<boolean>('document.documentElement.scrollWidth > innerWidth');
        expect([name, tooWide]).toEqual([name, false]);
        await picture(page, `desk-${name}-${width}`);
      }
      await page.context().close();
    },
  );

  test('it is read in Hindi as well', async () => {
    const page = await open(anita, 360, 740);
    await page.goto(`${desk.base}/desk`);
    await page.getByRole('button', { name: 'हिन्दी' }).click();
    await page.getByRole('heading', { name: 'पहले किससे बात करनी है' }).waitFor();
    await picture(page, 'desk-today-hi-360');
    await page.getByRole('link', { name: /Sunita, बच्चा 5 हफ़्ते/ }).click();
    await page.getByRole('heading', { name: 'बातचीत' }).waitFor();
    expect(await complaints(page)).toEqual([]);
    await picture(page, 'desk-mother-hi-360');
    for (const [name, path] of Object.entries({
      coming: '/desk/coming',
      rota: '/desk/rota',
      alerts: '/desk/alerts',
    })) {
      await page.goto(desk.base + path);
      expect([name, await complaints(page)]).toEqual([name, []]);
      const tooWide = await page.evaluate<boolean>('document.documentElement.scrollWidth > innerWidth');
      expect([name, tooWide]).toEqual([name, false]);
      await picture(page, `desk-${name}-hi-360`);
    }
    await page.context().close();
  });

  test.each(sizes)('signing in is whole at %i by %i, in Hindi too', async (width, height) => {
    const page = await browser.newPage({ viewport: { width, height }, locale: 'hi-IN' });
    await page.goto(`${desk.base}/desk`);
    expect(await complaints(page)).toEqual([]);
    await picture(page, `desk-sign-in-${width}`);
    await page.locator('input[type=tel]').fill(anita);
    await page.locator('main button').first().click();
    await page.locator('input[autocomplete=one-time-code]').waitFor();
    expect(await complaints(page)).toEqual([]);
    await picture(page, `desk-code-${width}`);
    await page.close();
  });

  test('everything can be done with scripts off', async () => {
    const page = await open(anita, 360, 740, false);
    await page.goto(`${desk.base}/desk`);
    await page
      .getByRole('link', { name: /Sunita/ })
      .first()
      .click();
    await page.getByRole('button', { name: "I'll take her" }).click();
    await page.getByText('You have her now.').waitFor();
    await page.getByLabel('Note', { exact: true }).fill('Weighs tomorrow at the clinic.');
    await page.getByRole('button', { name: 'Keep the note' }).click();
    await page.getByText('The note is kept.').waitFor();
    await page.getByText('Close this alert').click();
    await page.getByLabel('What came of it').selectOption({ label: 'helped by phone' });
    await page.getByRole('button', { name: 'Close it' }).click();
    await page.getByText('This alert is closed.').waitFor();
    await page.goto(`${desk.base}/desk`);
    expect(await page.getByRole('link', { name: /Sunita/ }).count()).toBe(0);
    await page.context().close();
  });

  test.each([
    ['of this week', 0],
    ['of 200 who wait at once', 200],
  ])('today’s list %s, with all it needs, stays under 60 KB on the wire', async (_name, more) => {
    for (let n = 0; n < more; n += 1) {
      await desk.text(
        `+447700900${200 + n}`,
        `my baby number ${n} has fever and does not feed since ${n % 24} hours`,
      );
    }
    const waiting = Math.min(200, (await desk.store.openAlerts(1_000)).length);
    expect(waiting).toBeGreaterThan(3);
    // Not Anita again: five codes an hour are all that she is sent.
    const page = await open(mary, 360, 740);
    const session = await page.context().newCDPSession(page);
    await session.send('Network.enable');
    let bytes = 0;
    session.on('Network.loadingFinished', ({ encodedDataLength }) => {
      bytes += encodedDataLength;
    });
    await page.goto(`${desk.base}/desk`, { waitUntil: 'load' });
    expect(bytes).toBeGreaterThan(1_000);
    expect(await page.locator('ol.people > li').count()).toBe(waiting);
    expect(bytes).toBeLessThan(60_000);
    console.info(`today's list with ${waiting}: ${bytes} bytes on the wire`);
    await page.context().close();
  });

  test('no page makes the browser complain', () => {
    expect(faults.filter((fault) => !/404/.test(fault))).toEqual([]);
  });
});
