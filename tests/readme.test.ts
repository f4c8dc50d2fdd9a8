import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { settingsTable } from '../src/config.ts';
import { contentRoot, loadLanguages } from '../src/programme/load-content.ts';

const readme = readFileSync(join(contentRoot, 'README.md'), 'utf8');

it('shows in the README every setting as the schema has it (`eightfeeds settings` prints the table)', () => {
  const shown = /<!-- settings -->\n([\s\S]*?)\n<!-- \/settings -->/.exec(readme)?.[1];
  expect(shown).toBe(settingsTable());
});

it('names in the README every language of the line, and says of each unreviewed one that it is', () => {
  for (const { code, reviewedBy } of loadLanguages()) {
    const row = readme
      .split('\n')
      .find((line) => line.startsWith('|') && line.includes(`\`locales/${code}\``));
    expect(row, code).toBeDefined();
    expect(row, code).toContain('writes');
    if (reviewedBy === null) expect(row, code).toContain('not yet');
  }
});
