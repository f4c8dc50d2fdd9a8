import { checkFoodContent } from '../../care/diet/content-check.ts';
import {
  contentRoot,
  loadContent,
  loadFlows,
  loadLanguages,
  localeFiles,
  messageFiles,
} from '../load-content.ts';
import { foodContentTexts, foodTextFiles } from '../load-food.ts';
import { checkFlowPaths } from './flow-paths.ts';
import { type Finding, problem, remark } from './finding.ts';
import { leavesOf } from './leaves.ts';
import { checkCharacters, checkReadingEase } from './readable.ts';
import { checkSegments } from './segments.ts';
import { checkSpoken } from './spoken.ts';

/**
 * Everything that can be proved of flows and languages without running a server.
 * @throws ContentError when a file cannot be read at all
 */
export function checkContent(root: string = contentRoot): readonly Finding[] {
  const foodTexts = foodTextFiles.flatMap((name) => localeFiles(root, name));
  const food = checkFoodContent(foodContentTexts(root, foodTexts)).map(problem);
  // With these the content cannot be opened; here each is told with its line.
  if (food.length > 0) return food;
  loadContent(root);
  const flows = loadFlows(root);
  const messages = messageFiles(root);
  const perLanguage = loadLanguages(root).flatMap((language): readonly Finding[] => {
    const own = messages.filter((m) => m.language === language.code);
    const ofFile = own.flatMap((file): readonly Finding[] => {
      const leaves = leavesOf(file);
      return [
        ...checkSegments(file.file, leaves),
        ...checkCharacters(file.file, language.script, leaves),
        ...checkSpoken(file.file, leaves),
        ...(language.code === 'en' ? checkReadingEase(file.file, leaves) : []),
      ];
    });
    return [
      ...ofFile,
      ...(language.reviewedBy === null
        ? [remark(`locales/${language.code}: no native reader has reviewed ${language.name} yet`)]
        : []),
    ];
  });
  return [...checkFlowPaths(flows), ...perLanguage];
}
