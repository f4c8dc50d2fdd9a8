import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { parse } from 'yaml';
import { ContentError } from '../errors.ts';

/** One language's file as parsed. */
export interface LocaleFile {
  readonly language: string;
  readonly data: unknown;
  readonly file: string;
}

/**
 * The file of one name in every language folder that has it, by language.
 * @throws ContentError when a file is not YAML
 */
export function readLocales(
  name: string,
  root: URL = new URL('../../locales/', import.meta.url),
): readonly LocaleFile[] {
  return readdirSync(root, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => ({ language: entry.name, path: new URL(`${entry.name}/${name}`, root) }))
    .filter(({ path }) => existsSync(fileURLToPath(path)))
    .sort((a, b) => (a.language < b.language ? -1 : 1))
    .map(({ language, path }) => {
      const file = `locales/${language}/${name}`;
      try {
        return { language, file, data: parse(readFileSync(path, 'utf8')) as unknown };
      } catch (error) {
        throw new ContentError([
          `${file}: not readable as YAML: ${error instanceof Error ? error.message : String(error)}`,
        ]);
      }
    });
}
