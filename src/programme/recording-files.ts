import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { openRecordings, type Recordings } from '../language/recording.ts';

/** Names of the recordings of a language: `locales/<language>/recordings/`. */
export function recordingFiles(root: string, language: string): ReadonlySet<string> {
  const folder = join(root, 'locales', language, 'recordings');
  return new Set(existsSync(folder) ? readdirSync(folder) : []);
}

export function loadRecordings(root: string, languages: readonly string[]): Recordings {
  return openRecordings(new Map(languages.map((code) => [code, recordingFiles(root, code)])));
}
