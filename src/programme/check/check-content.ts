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
import { tipTextFile } from '../load-tips.ts';
import { checkFlowPaths } from './flow-paths.ts';
import { type Finding, problem, remark } from './finding.ts';
import { leavesOf } from './leaves.ts';
import { checkCharacters, checkReadingEase } from './readable.ts';
import { checkSegments } from './segments.ts';
import { checkSpoken } from './spoken.ts';
import { checkTipsSpoken } from './tips-spoken.ts';
import { checkTips } from './tips.ts';

/**
 * Everything that can be proved of flows and languages without running a server.
 * @throws ContentError when a file cannot be read at all
 */
export function checkContent(root: string = contentRoot): readonly Finding[] {
  const foodTexts = foodTextFiles.flatMap((name) => localeFiles(root, name));
  const food = checkFoodContent(foodContentTexts(root, foodTexts)).map(problem);
  // With these the content cannot be opened; here each is told with its line.
  if (food.length > 0) return food;
  const { tips } = loadContent(root);
  const flows = loadFlows(root);
  const messages = messageFiles(root);
  const tipTexts = localeFiles(root, tipTextFile);
  const languages = loadLanguages(root);
  const perLanguage = languages.flatMap((language): readonly Finding[] => {
    const own = [...messages, ...tipTexts].filter((m) => m.language === language.code);
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
  const codes = languages.map(({ code }) => code);
  return [
    ...checkFlowPaths(flows),
    ...perLanguage,
    ...checkTips(tips, tipTexts, codes),
    ...checkTipsSpoken(tipTexts, languages),
  ];
}
