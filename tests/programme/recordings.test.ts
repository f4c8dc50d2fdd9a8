import { cpSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { contentRoot, loadContent } from '../../src/programme/load-content.ts';
import { recordingSheet } from '../../src/programme/recordings.ts';
import { callTwiml } from '../../src/channels/twilio/twiml.ts';
import { renderPieces } from '../../src/dialog/render.ts';
import type { World } from '../../src/dialog/world.ts';

describe('recorded prompts', () => {
  let root: string;
  const line = () => {
    const found = recordingSheet(root).find((l) => l.language === 'en' && l.key === 'call.later');
    if (found === undefined) throw new Error('the sheet has no call.later');
    return found;
  };
  const put = (file: string) => {
    mkdirSync(join(root, 'locales', 'en', 'recordings'), { recursive: true });
    writeFileSync(join(root, file), 'sound');
  };
  const spoken = () =>
    renderPieces([{ key: 'call.later' }, { key: 'call.hello', values: { programme: 'X' } }], 'en', {
      content: loadContent(root),
    } as World);

  beforeEach(() => {
    root = mkdtempSync(join(tmpdir(), 'recordings-'));
    for (const folder of ['flows', 'locales'])
      cpSync(join(contentRoot, folder), join(root, folder), { recursive: true });
  });
  afterEach(() => rmSync(root, { recursive: true, force: true }));

  it('lists a prompt as missing until its file is there', () => {
    expect(line().state).toBe('missing');
    put(line().file);
    expect(line().state).toBe('recorded');
  });

  it('calls a recording of other words out of date and does not play it', () => {
    put('locales/en/recordings/call.later.0000000.mp3');
    expect(line().state).toBe('out-of-date');
    expect(spoken().map((p) => p.kind)).toEqual(['words', 'words']);
  });

  it('plays what is recorded and says the rest, in order', () => {
    put(line().file);
    const pieces = spoken();
    expect(pieces.map((p) => p.kind)).toEqual(['recording', 'words']);
    const twiml = callTwiml(
      { kind: 'say-and-end', say: 'all', language: 'en', pieces },
      '',
      {},
      'https://x.test/recordings',
    );
    expect(twiml).toMatch(
      /<Play>https:\/\/x\.test\/recordings\/en\/call\.later\.[0-9a-z]+\.mp3<\/Play><Say>.*X/,
    );
  });

  it('never lists a prompt with something to fill in', () => {
    expect(recordingSheet(root).every((l) => !l.words.includes('{{'))).toBe(true);
  });

  it('lists every tip that names no number, for Hindi in Latin letters in the words that a call says', () => {
    const tips = recordingSheet(root).filter(({ key }) => key.startsWith('tips.'));
    const { tips: calendar, wording, languages } = loadContent(root);
    const emergency = '112';
    const plain = calendar.filter(
      ({ id }) => !wording.say(`tips.${id}`, { emergency }, 'en', 'voice').includes(emergency),
    );
    expect(plain.length).toBeGreaterThan(calendar.length - 12);
    expect(tips).toHaveLength(plain.length * languages.length);
    for (const { language, key, words } of tips)
      expect([language, key, words]).toEqual([language, key, wording.say(key, {}, language, 'voice')]);
  });
});
