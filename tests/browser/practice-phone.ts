import { mkdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Locator, Page } from 'playwright-core';

/** What to answer to which question: the first that matches. */
export type Answers = readonly (readonly [question: RegExp, answer: string])[];

/** @throws Error with the question when nothing was foreseen for it */
export function answerTo(question: string, answers: Answers): string {
  const found = answers.find(([pattern]) => pattern.test(question));
  if (found === undefined) throw new Error(`No answer was foreseen for: ${question}`);
  return found[1];
}

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
  /** Presses keys in a call. */
  press(keys: string): Promise<void>;
  /** Answers each question of a call by the first entry that matches, until the line ends it; the last words. */
  answerCall(answers: Answers): Promise<string>;
}

export function phoneOf(page: Page, name: 'Mother’s phone' | 'Counsellor’s phone'): PracticePhone {
  const root = page.getByRole('region', { name });
  const texts = root.getByRole('log', { name: 'Texts' });
  const received = texts.locator('li.received');
  const wordsOf = async (item: Locator) => (await item.locator('p').textContent()) ?? '';
  const button = (label: string) => root.getByRole('button', { name: label, exact: true });
  const press = async (keys: string) => {
    for (const key of keys) await button(`Key ${key === '#' ? 'hash' : key === '*' ? 'star' : key}`).click();
  };
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
    press,
    async answerCall(answers) {
      const said = root.getByRole('log', { name: 'What the line says' }).locator('p');
      for (let question = 0; question < 30; question += 1) {
        await said.nth(question).or(root.getByText('Call over')).first().waitFor();
        const words = (await said.nth(question).textContent()) ?? '';
        if (await root.getByText('Call over').isVisible()) return words;
        await press(answerTo(words, answers));
        await said.nth(question + 1).waitFor();
      }
      throw new Error('The call did not come to an end.');
    },
  };
}

/** Keeps a picture of the page, in the folder that SHOTS names or beside the tests. */
export async function picture(page: Page, name: string): Promise<void> {
  const folder = process.env.SHOTS ?? fileURLToPath(new URL('shots', import.meta.url));
  mkdirSync(folder, { recursive: true });
  await page.screenshot({ path: `${folder}/${name}.png`, fullPage: true });
}
