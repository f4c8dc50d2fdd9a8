import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { hasChromium, openChromium } from './chromium.ts';
import { phoneOf, picture } from './practice-phone.ts';
import { type StartedLine, startLine } from './started-line.ts';

/** Two counsellors of the practice line, each with a browser of her own, and a third browser with the two practice phones. */
describe.skipIf(!hasChromium)('the desk of a line that was just started', () => {
  let line: StartedLine;
  let browser: Browser;
  let phones: Page;
  beforeAll(async () => {
    line = await startLine();
    browser = await openChromium();
    phones = await browser.newPage({ viewport: { width: 1280, height: 900 } });
    phones.setDefaultTimeout(15_000);
    await phones.goto(line.url);
  }, 120_000);
  afterAll(async () => {
    await browser?.close();
    await line?.stop();
  });

  const mother = () => phoneOf(phones, 'Mother’s phone');
  const counsellor = () => phoneOf(phones, 'Counsellor’s phone');

  /** Signs in on a new browser with the code that came to the counsellor's phone. */
  const signIn = async (number: string, name: string, width: number, height: number): Promise<Page> => {
    const context: BrowserContext = await browser.newContext({ viewport: { width, height } });
    const page = await context.newPage();
    page.setDefaultTimeout(15_000);
    await page.goto(`${line.url}/desk`);
    await page.getByLabel('Your phone number').fill(number);
    await counsellor().root.getByRole('combobox').selectOption({ label: name });
    const codes = counsellor().root.locator('li.received p', { hasText: /^\d{6} is your code/ });
    const before = await codes.count();
    await page.getByRole('button', { name: 'Send me a code' }).click();
    await codes.nth(before).waitFor();
    const code = ((await codes.nth(before).textContent()) ?? '').slice(0, 6);
    await page.getByLabel('The code').fill(code);
    await page.getByRole('button', { name: 'Sign in', exact: true }).click();
    await page.getByRole('heading', { name: 'Whom to reach first' }).waitFor();
    return page;
  };

  test('an alert is seen, taken, noted and closed by one counsellor, and another sees it leave without reloading', async () => {
    const anita = await signIn('+447700900011', 'Anita', 360, 740);
    const mary = await signIn('+447700900012', 'Mary', 1280, 900);
    await anita.getByText('Nobody is waiting.').waitFor();

    await mother().text('my baby is not waking up and does not feed');
    for (const page of [anita, mary]) await page.getByText('my baby is not waking up').waitFor();
    expect(await mary.getByText('waits under a minute').count()).toBe(1);
    await picture(anita, 'desk-live-360');

    await anita.getByRole('link', { name: /not enrolled/ }).click();
    await anita.getByRole('heading', { name: 'What was said' }).waitFor();
    await anita.getByRole('link', { name: '+44 77009 00101' }).waitFor();
    await anita.getByRole('button', { name: "I'll take her" }).click();
    await anita.getByText('You have her now.').waitFor();
    await mary.getByText('Anita has her').waitFor();

    await mother().text('we are in the taxi now');
    await anita.getByText('Something new came in.').click();
    await anita.getByText('we are in the taxi now').first().waitFor();

    await anita.getByLabel('Note', { exact: true }).fill('In a taxi to the hospital.');
    await anita.getByRole('button', { name: 'Keep the note' }).click();
    await anita.getByText('In a taxi to the hospital.').waitFor();
    await anita.getByText('Close this alert').click();
    await anita.getByLabel('What came of it').selectOption({ label: 'she reached care' });
    await anita.getByRole('button', { name: 'Close it' }).click();
    await anita.getByText('This alert is closed.').waitFor();

    await mary.getByText('Nobody is waiting.').waitFor();
    await anita.goto(`${line.url}/desk`);
    await anita.getByText('Nobody is waiting.').waitFor();
    await picture(mary, 'desk-after-1280');
    expect(line.output()).not.toContain('"level":50');
  });

  test('the lead reads who did it', async () => {
    const mary = await signIn('+447700900012', 'Mary', 1280, 900);
    await mary.getByRole('link', { name: 'Who did what' }).click();
    await mary.getByRole('cell', { name: 'closed an alert' }).waitFor();
    await mary.getByText('None was changed or taken out.').waitFor();
    await mary.getByRole('button', { name: 'Sign out' }).click();
    await mary.getByText('You are signed out.').waitFor();
  });
});
