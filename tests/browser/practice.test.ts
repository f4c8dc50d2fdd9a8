import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { hasChromium, openChromium } from './chromium.ts';
import { type Answers, answerTo, phoneOf, picture } from './practice-phone.ts';
import { type StartedLine, startLine } from './started-line.ts';

/** A baby who feeds well, on a weighing day too. */
const byText: Answers = [
  [/feeds, longest gap in hours, wet nappies, stools/, '9 3 6 4'],
  [/Pain while feeding/, '1 1 0'],
  [/Weight of Mina/, '2.7 1'],
];
const byKeys: Answers = [
  [/how many times did Mina feed/, '9#'],
  [/longest time between two feeds/, '3#'],
  [/wet nappies/, '6#'],
  [/stools/, '4#'],
  [/pain while feeding/, '1'],
  [/softer after feeding/, '1'],
  [/worrying you/, '2'],
  [/weigh/i, '2700#'],
  [/where/i, '1'],
];

describe.skipIf(!hasChromium)('the practice page of a line that was just started', () => {
  let line: StartedLine;
  let browser: Browser;
  let page: Page;
  const faults: string[] = [];
  beforeAll(async () => {
    line = await startLine();
    browser = await openChromium();
    page = await browser.newPage({ viewport: { width: 1280, height: 900 } });
    page.setDefaultTimeout(15_000);
    page.on('pageerror', (error) => faults.push(error.message));
    page.on('console', (message) => {
      if (message.type() === 'error') faults.push(message.text());
    });
    await page.goto(line.url);
  }, 120_000);
  afterAll(async () => {
    await browser?.close();
    await line?.stop();
  });

  const mother = () => phoneOf(page, 'Mother’s phone');
  const counsellor = () => phoneOf(page, 'Counsellor’s phone');
  const nextMorning = async () => {
    const clock = page.getByRole('region', { name: 'Practice clock' });
    const before = (await clock.locator('time').textContent()) ?? '';
    await clock.getByRole('button', { name: 'Next morning' }).click();
    await clock.locator('time', { hasText: '09:00', hasNotText: before }).waitFor();
  };
  /** Asha's baby's day of birth as her card tells it, written day-month-year. */
  const birthday = () =>
    page.evaluate<string>(
      "JSON.parse(document.getElementById('setup').textContent).mothers[0].bornOn.split('-').reverse().join('-')",
    );

  test('a mother enrols by text', async () => {
    await picture(page, '1-start');
    expect(await mother().text('hello')).toMatch(/JOIN/);
    expect(await mother().text('JOIN')).toMatch(/Which language/);
    expect(await mother().text('1')).toMatch(/When was your baby born/);
    expect(await mother().text(`${await birthday()} Asha`)).toMatch(/how many babies/);
    expect(await mother().text('1 1 9')).toMatch(/birth weight/);
    expect(await mother().text('1 2.7 Mina')).toMatch(/You are on the line/);
    await picture(page, '2-enrolled');
  });

  test('she answers the check-in by text, in at most three texts', async () => {
    const before = await mother().sent();
    await nextMorning();
    let said = await mother().arrives(/About Mina, last 24 hours/);
    while (!/We ask again/.test(said)) said = await mother().text(answerTo(said, byText));
    expect(said).toMatch(/We ask again tomorrow/);
    expect((await mother().sent()) - before).toBeLessThanOrEqual(3);
    await picture(page, '3-check-in-by-text');
  });

  test('she answers the same check-in by a call that costs her nothing', async () => {
    await nextMorning();
    const phone = mother();
    await phone.button('Call the line').click();
    await phone.root.getByText('It was busy on purpose').waitFor();
    await phone.button('Answer').click();
    await phone.root.getByText(/how many times did Mina feed/).waitFor();
    await picture(page, '4-check-in-by-call');
    expect(await phone.answerCall(byKeys)).toMatch(/We ask again tomorrow/);
    await picture(page, '5-call-over');
    await phone.button('Close').click();
  });

  test('a danger is answered at once, and the counsellor takes the alert and closes it', async () => {
    const reply = await mother().text('My baby has fever and will not feed');
    expect(reply).toMatch(/nearest health facility/);
    expect(reply).toMatch(/112/);
    const alert = await counsellor().arrives(/\b\d{4}\b/);
    expect(alert).toContain('+447700900101');
    expect(alert).toMatch(/fever/i);
    await picture(page, '6-alert');
    const code = /\b\d{4}\b/.exec(alert)?.[0] ?? '';
    expect(await counsellor().text(code)).toContain(`You have ${code}`);
    expect(await counsellor().text(`${code} 1 seen at the clinic`)).toContain(`${code} closed`);
    expect(await counsellor().text('LIST')).toContain('Nothing is open');
    await picture(page, '7-closed');
  });

  test('nothing went wrong in the page or in the line meanwhile', () => {
    expect(faults).toEqual([]);
    expect(line.output()).not.toMatch(/"level":(50|60)/);
  });
});
