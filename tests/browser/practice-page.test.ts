import axe from 'axe-core';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { counsellor as meera, type PracticeLine, practiceLine } from '../stand-in/practice-line.ts';
import { hasChromium, openChromium } from './chromium.ts';
import { phoneOf, picture } from './practice-phone.ts';

const asha = '+447700900101';

describe.skipIf(!hasChromium)('the practice page', () => {
  let browser: Browser;
  let line: PracticeLine;
  let page: Page;
  beforeAll(async () => {
    browser = await openChromium();
  });
  afterAll(() => browser?.close());
  beforeEach(async () => {
    line = await practiceLine((inbound) => {
      switch (inbound.kind) {
        case 'text':
          return { kind: 'text', body: `Heard: ${inbound.body}` };
        case 'call-rang':
          return { kind: 'busy' };
        case 'call-answered':
        case 'keys':
          return {
            kind: 'ask',
            say: `You pressed ${'digits' in inbound ? inbound.digits : 'nothing'}. Press two keys.`,
            language: 'en',
            digits: 2,
          };
        default:
          return { kind: 'nothing' };
      }
    });
    page = await browser.newPage({ viewport: { width: 1280, height: 900 } });
    page.setDefaultTimeout(10_000);
    await page.goto(line.base);
  });
  afterEach(async () => {
    await page.close();
    await line.close();
  });
  const mother = () => phoneOf(page, 'Mother’s phone');
  const ring = async () => {
    await line.carrier.placeCall({ id: 'c1', to: asha });
    await mother().button('Answer').click();
    await mother().root.getByText('Press two keys').waitFor();
  };
  const complaints = async () => {
    // Evaluated, not added as a script: the page's policy rightly forbids other scripts.
    await page.evaluate(axe.source);
    const found = await page.evaluate<{ violations: { id: string; nodes: { html: string }[] }[] }>(
      'axe.run()',
    );
    return found.violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`);
  };
  const isTooWide = () => page.evaluate<boolean>('document.documentElement.scrollWidth > innerWidth');

  test.each([
    [1280, 900],
    [360, 740],
    [320, 640],
  ])('is usable at %i by %i, and axe-core (WCAG rules) has nothing to say', async (width, height) => {
    await page.setViewportSize({ width, height });
    await mother().text(
      'hello, a long word: Donaudampfschifffahrtselektrizitaetenhauptbetriebswerkbauunterbeamte',
    );
    expect(await complaints()).toEqual([]);
    expect(await isTooWide()).toBe(false);
    await ring();
    expect(await complaints()).toEqual([]);
    expect(await isTooWide()).toBe(false);
    await picture(page, `page-${width}`);
  });

  test('can be used with a keyboard alone', async () => {
    await mother().root.getByLabel('Text to the line').focus();
    await page.keyboard.type('9 6 4');
    await page.keyboard.press('Enter');
    await mother().arrives(/Heard: 9 6 4/);
    await line.carrier.placeCall({ id: 'c1', to: asha });
    await mother().button('Answer').focus();
    await page.keyboard.press('Enter');
    await mother().root.getByText('Press two keys').waitFor();
    await mother().root.getByText('You pressed nothing').waitFor();
    await page.keyboard.type('42');
    await mother().root.getByText('You pressed 42').waitFor();
    await mother().button('Hang up').focus();
    await page.keyboard.press('Enter');
    await mother().root.getByText('Call over').waitFor();
    await page.keyboard.press('Enter');
    expect(await mother().root.getByRole('region', { name: 'Call' }).isHidden()).toBe(true);
  });

  test('each mother has her own phone, and a new phone is nobody’s yet', async () => {
    await mother().text('from Asha');
    const who = mother().root.getByLabel('Who are you?');
    await who.selectOption('Grace');
    expect(await mother().sent()).toBe(0);
    expect(
      await mother()
        .root.getByText(/^Joy, girl/)
        .isVisible(),
    ).toBe(true);
    await who.selectOption('A new phone');
    await mother().root.getByText('does not know yet').waitFor();
    await mother().text('from a new phone');
    const from = line.told.flatMap((inbound) => (inbound.kind === 'text' ? [inbound.from] : []));
    expect(from[0]).toBe(asha);
    expect(from[1]).toMatch(/^\+447700900[2-8]\d\d$/);
    await who.selectOption('Asha');
    expect(await mother().sent()).toBe(1);
    await page.reload();
    expect(await mother().arrives(/from Asha/)).toBe('Heard: from Asha');
    expect(await mother().root.getByRole('option').count()).toBe(7);
  });

  test('tells of what came to a phone that is not in hand, until it is looked at', async () => {
    const isNew = mother().root.getByText('Something new for: Grace');
    await mother().text('hello');
    await line.carrier.sendText({ id: 'x', to: '+447700900104', body: 'For Grace' });
    await isNew.waitFor();
    await mother().root.getByLabel('Who are you?').selectOption('Grace');
    expect(await mother().latest()).toBe('For Grace');
    await isNew.waitFor({ state: 'hidden' });
    await page.reload();
    await phoneOf(page, 'Mother’s phone').arrives(/Heard: hello/);
    expect(await isNew.count()).toBe(0);
    await line.carrier.placeCall({ id: 'c', to: '+447700900104' });
    await isNew.waitFor();
  });

  test('words of the line stay words', async () => {
    const evil = '<img src=x onerror="document.title=1"><script>document.title=2</script>';
    await line.carrier.sendText({ id: 'x', to: meera.number, body: evil });
    expect(await phoneOf(page, 'Counsellor’s phone').arrives(/onerror/)).toBe(evil);
    expect(await page.title()).toBe('Eightfeeds: practice line');
  });

  test('a call is spoken, in its own language, unless that is switched off', async () => {
    await page.evaluate(
      `window.spoken = []; speechSynthesis.speak = (it) => spoken.push(it.lang + ': ' + it.text);`,
    );
    await ring();
    expect(await page.evaluate('spoken')).toEqual(['en-IN: You pressed nothing. Press two keys.']);
    await page.getByLabel('Speak calls aloud').uncheck();
    await mother().press('12');
    await mother().root.getByText('You pressed 12').waitFor();
    expect(await page.evaluate('spoken.length')).toBe(1);
  });

  test('a line that is away is told, and the page comes back by itself', async () => {
    await page.route('**/practice/text', (route) => route.abort());
    await mother().root.getByLabel('Text to the line').fill('hello');
    await mother().button('Send').click();
    await page.getByRole('alert').getByText('The line does not answer').waitFor();
    expect(await mother().root.getByLabel('Text to the line').inputValue()).toBe('hello');
    await page.unroute('**/practice/text');
    await mother().text('again');
    expect(await page.getByText('The line does not answer').isHidden()).toBe(true);
  });
});
