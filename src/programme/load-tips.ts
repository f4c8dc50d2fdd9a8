import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { readTips } from '../care/tips/tips-file.ts';
import type { Tip } from '../care/tips/index.ts';
import { ContentError } from '../errors.ts';
import { nearestName } from './nearest-name.ts';

const file = 'flows/tips.yaml';

/** The file of each language that holds the words of the tips. */
export const tipTextFile = 'tips.yaml';

/**
 * Reads the calendar of tips.
 * @param languages codes of the languages of the line
 * @throws ContentError with a sentence and a line for each thing wrong
 */
export function loadTips(root: string, languages: readonly string[]): readonly Tip[] {
  const text = readFileSync(join(root, file), 'utf8');
  const { tips, problems } = readTips({ path: file, text }, languages, nearestName);
  if (problems.length > 0) throw new ContentError(problems);
  return tips;
}
