import { cpSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, expect, it } from 'vitest';
import { readConfig } from '../../src/config.ts';
import type { LineId } from '../../src/dialog/line.ts';
import { outcomeOf } from '../../src/dialog/outcome.ts';
import { turn } from '../../src/dialog/turn.ts';
import { openCalendar } from '../../src/language/calendar.ts';
import { loadContent } from '../../src/programme/load-content.ts';
import { type ContentCopy, copyContent } from './content-copy.ts';

let copy: ContentCopy | undefined;
afterEach(() => copy?.remove());

it('adds a language by copying a folder, without code', () => {
  copy = copyContent();
  const folder = join(copy.root, 'locales', 'qaa');
  cpSync(join(copy.root, 'locales', 'en'), folder, { recursive: true });
  // An invented language (ISO 639 keeps qaa for private use): each text begins with a word of its own.
  const messages = readFileSync(join(folder, 'messages.yaml'), 'utf8');
  writeFileSync(
    join(folder, 'messages.yaml'),
    messages
      .replace('ask: "Welcome. When was', 'ask: "Zuli. When was')
      .replace('  name: English', '  name: Zulish'),
  );
  writeFileSync(
    join(folder, 'commands.yaml'),
    ['join', 'stop', 'start', 'help', 'language', 'repeat', 'back', 'person', 'another']
      .map((c) => `${c}: [zu${c}]`)
      .join('\n'),
  );

  const content = loadContent(copy.root);
  expect(content.languages).toContain('qaa');
  const { programme } = readConfig({});
  const world = {
    now: Date.UTC(2026, 10, 25, 6),
    salt: 0,
    content,
    programme,
    calendar: openCalendar('Asia/Kolkata'),
  };
  const event = { kind: 'text', id: 'a', phone: '+447700900150', body: 'zujoin' } as const;
  const draft = turn('l' as LineId, event.phone, undefined, event, world);
  expect(draft.state.language).toBe('qaa');
  expect(outcomeOf(draft, event).reply).toMatchObject({
    kind: 'text',
    body: expect.stringMatching(/^Zuli\./),
  });
});
