import { existsSync } from 'node:fs';
import { type Browser, chromium } from 'playwright-core';

const executablePath = process.env.CHROMIUM ?? '/usr/bin/chromium';

/** Whether the browser tests can run. Without Chromium they fail in CI, and elsewhere say loudly that nothing was tested. */
export const hasChromium = existsSync(executablePath);

if (!hasChromium) {
  const missing = `No Chromium at ${executablePath}: set CHROMIUM to its path.`;
  if (process.env.CI === 'true') throw new Error(missing);
  console.warn(`\n*** ${missing} THE BROWSER TESTS DO NOT RUN. ***\n`);
}

/** A real Chromium that talks to nobody but the page; it also runs as root in a container. */
export function openChromium(): Promise<Browser> {
  return chromium.launch({
    executablePath,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
}
