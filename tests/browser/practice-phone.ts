import { mkdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Locator, Page } from 'playwright-core';

/** One of the two phones on the page, found and used as a person would: by labels and roles. */
export interface PracticePhone {
  readonly root: Locator;
  /** Texts the line and waits for its answer, which is returned. */
  text(body: string): Promise<string>;
  /** The latest text that arrived. */
  latest(): Promise<string>;
  /** How many texts this phone has sent. */
  sent(): Promise<number>;
  /** Waits until a text arrives that matches; its words. */
  arrives(words: RegExp): Promise<string>;
  button(name: string): Locator;
  /** Presses keys in a call, once the line has said what matches. */
  key(said: RegExp, keys: string): Promise<void>;
}

export function phoneOf(page: Page, name: 'Mother’s phone' | 'Counsellor’s phone'): PracticePhone {
  const root = page.getByRole('region', { name });
  const texts = root.getByRole('log', { name: 'Texts' });
  const received = texts.locator('li.received');
  const wordsOf = async (item: Locator) => (await item.locator('p').textContent()) ?? '';
  const button = (label: string) => root.getByRole('button', { name: label, exact: true });
  return {
    root,
    button,
    async text(body) {
      const before = await received.count();
      await root.getByLabel('Text to the line').fill(body);
      await button('Send').click();
      await received.nth(before).waitFor();
      return wordsOf(received.nth(before));
    },
    latest: () => wordsOf(received.last()),
    sent: () => texts.locator('li.sent').count(),
    async arrives(words) {
      const found = received.filter({ hasText: words }).last();
      await found.waitFor();
      return wordsOf(found);
    },
    async key(said, keys) {
      await root.getByRole('log', { name: 'What the line says' }).getByText(said).last().waitFor();
      for (const key of keys) {
        await button(`Key ${key === '#' ? 'hash' : key === '*' ? 'star' : key}`).click();
      }
    },
  };
}

/** Keeps a picture of the page, in the folder that SHOTS names or beside the tests. */
export async function picture(page: Page, name: string): Promise<void> {
  const folder = process.env.SHOTS ?? fileURLToPath(new URL('shots', import.meta.url));
  mkdirSync(folder, { recursive: true });
  await page.screenshot({ path: `${folder}/${name}.png`, fullPage: true });
}
