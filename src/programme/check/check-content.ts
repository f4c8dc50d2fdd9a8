import { contentRoot, loadContent, loadFlows, loadLanguages, localeFiles } from '../load-content.ts';
import { checkFlowPaths } from './flow-paths.ts';
import { type Finding, remark } from './finding.ts';
import { leavesOf } from './leaves.ts';
import { checkCharacters, checkReadingEase } from './readable.ts';
import { checkSegments } from './segments.ts';
import { checkSpoken } from './spoken.ts';

/**
 * Everything that can be proved of flows and languages without running a server.
 * @throws ContentError when a file cannot be read at all
 */
export function checkContent(root: string = contentRoot): readonly Finding[] {
  loadContent(root);
  const flows = loadFlows(root);
  const messages = localeFiles(root, 'messages.yaml');
  const perLanguage = loadLanguages(root).flatMap((language): readonly Finding[] => {
    const file = messages.find((m) => m.language === language.code);
    if (file === undefined) return [];
    const leaves = leavesOf(file);
    return [
      ...checkSegments(file.file, leaves),
      ...checkCharacters(file.file, language.script, leaves),
      ...checkSpoken(file.file, leaves),
      ...(language.code === 'en' ? checkReadingEase(file.file, leaves) : []),
      ...(language.reviewedBy === null
        ? [remark(`locales/${language.code}: no native reader has reviewed ${language.name} yet`)]
        : []),
    ];
  });
  return [...checkFlowPaths(flows), ...perLanguage];
}
