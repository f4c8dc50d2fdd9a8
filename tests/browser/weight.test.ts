import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { hasChromium, openChromium } from './chromium.ts';
import { type Answers, answerTo, phoneOf, picture } from './practice-phone.ts';
import { type StartedLine, startLine } from './started-line.ts';

/** 3200 g at birth and 2880 g now: exactly 10 percent lost. Source of the cut: NICE NG75 (from memory). */
const checkIn: Answers = [
  [/feeds, longest gap in hours, wet nappies, stools/, '9 3 6 4'],
  [/Pain while feeding/, '1 1 0'],
  [/Weight of Mina/, '2.88 1'],
];

describe.skipIf(!hasChromium)('a weight on the practice page', () => {
  let line: StartedLine;
  let browser: Browser;
  let page: Page;
  beforeAll(async () => {
    line = await startLine();
    browser = await openChromium();
    page = await browser.newPage({ viewport: { width: 1280, height: 900 } });
    page.setDefaultTimeout(15_000);
    await page.goto(line.url);
  }, 120_000);
  afterAll(async () => {
    await browser?.close();
    await line?.stop();
  });

  test('is asked for on its day, told back in plain words, and 10 percent under birth weight reaches the counsellor', async () => {
    const mother = phoneOf(page, 'Mother’s phone');
    const born = await page.evaluate<string>(
      "JSON.parse(document.getElementById('setup').textContent).mothers[0].bornOn.split('-').reverse().join('-')",
    );
    let said = await mother.text('JOIN');
    if (/Which language/.test(said)) said = await mother.text('1');
    await mother.text(`${born} Asha`);
    await mother.text('1 1 9');
    await mother.text('1 3.2 Mina');
    await page.getByRole('button', { name: 'Next morning' }).click();
    said = await mother.arrives(/About Mina, last 24 hours/);
    while (!/We ask again/.test(said)) said = await mother.text(answerTo(said, checkIn));
    expect(said).toContain('Mina weighs 2 kg 880 g, 10 percent under birth weight');
    expect(said).toMatch(/one breast, then offer the other/);
    expect(said).toContain('Anita will call you today');
    const alert = await phoneOf(page, 'Counsellor’s phone').arrives(/\b\d{4}\b/);
    expect(alert).toContain('TODAY');
    expect(alert).toContain('weight under birth weight');
    await picture(page, 'weight');
  });
});
