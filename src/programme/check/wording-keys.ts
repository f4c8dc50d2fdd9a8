import { basename } from 'node:path';
import { assessAdviceCodes } from '../../care/assess.ts';
import { goodCodes, reasonCodes } from '../../care/feeding-adequacy.ts';
import { growthGoodCodes, growthReasonCodes } from '../../care/growth.ts';
import { moodReasonCodes } from '../../care/mood.ts';
import { babySignCodes, motherSignCodes } from '../../care/signs.ts';
import type { Tip } from '../../care/tips/index.ts';
import { trendReasonCodes } from '../../care/trend.ts';
import type { Flow } from '../../dialog/flow.ts';
import { numberReasonCodes } from '../../dialog/her-number.ts';
import { outcomes } from '../../dialog/line.ts';
import type { LanguageFile } from '../../language/wording.ts';
import { type Finding, problem } from './finding.ts';
import { type Leaf, leavesOf } from './leaves.ts';

/** Every text that the flows, the care rules and the alerts can ask for by a name that is made from parts. */
function neededKeys(flows: readonly Flow[], tips: readonly Tip[]): readonly string[] {
  const manners = ['ask', 'simple', 'example'] as const;
  const asked = flows.flatMap((flow) =>
    flow.steps.flatMap((step) =>
      step.ask === undefined
        ? (step.say ?? [])
        : manners.flatMap((m) => [
            `ask.${flow.flow}.${step.id}.${m}`,
            ...(step.ask ?? []).map((f) => `field.${f.field}.${m}`),
          ]),
    ),
  );
  const signs = [...babySignCodes.map((c) => `baby.${c}`), ...motherSignCodes.map((c) => `mother.${c}`)];
  const reasons = [...reasonCodes, ...growthReasonCodes, ...moodReasonCodes, ...trendReasonCodes];
  const tiers = ['A', 'B', 'C'].flatMap((t) =>
    ['text', 'brief'].flatMap((kind) => [`alert.${kind}.${t}`, `alert.${kind}.${t}-unconfirmed`]),
  );
  const listed = ['A', 'B', 'C', 'taken'].flatMap((t) => [`counsellor.listed-${t}`, `counsellor.brief-${t}`]);
  const spoken = growthReasonCodes.filter((c) => c !== 'small-or-early' && c !== 'age-corrected');
  return [
    ...asked,
    ...signs.flatMap((s) => [`sign.${s}`, `safety.${s}`]),
    ...[...reasons, ...numberReasonCodes, 'worry', 'asked-for-person', 'said-not-now', 'danger-by-key'].map(
      (c) => `reason.${c}`,
    ),
    ...[...goodCodes, ...growthGoodCodes].map((c) => `feedback.good.${c}`),
    ...assessAdviceCodes.map((c) => `feedback.advice.${c}`),
    ...[...spoken, ...growthGoodCodes, 'noted'].map((c) => `growth.${c}`),
    ...outcomes.map((o) => `outcome.${o}`),
    ...tiers,
    ...tips.map(({ id }) => `tips.${id}`),
    ...listed,
  ];
}

/** Every language has every text, with the same things to fill in; nothing is there that the first language lacks. */
export function checkKeys(
  files: readonly LanguageFile[],
  flows: readonly Flow[],
  tips: readonly Tip[],
): readonly Finding[] {
  const first = files[0];
  if (first === undefined) return [problem('locales/: no language has a messages.yaml')];
  const firsts = files.filter((file) => file.language === first.language);
  const reference = new Map(firsts.flatMap((file) => [...leavesOf(file)]));
  const missing = [...new Set(neededKeys(flows, tips))].filter(
    (k) => !reference.has(k) && !reference.has(`${k}_other`),
  );
  return [
    ...missing.map((k) =>
      problem(`${first.file}: no text named "${k}", which a flow, a rule or a tip needs`),
    ),
    ...firsts.flatMap((one) => {
      const others = files.filter((file) => file !== one && basename(file.file) === basename(one.file));
      return others.flatMap((file) => compare(leavesOf(one), file, one.file));
    }),
    ...firsts.flatMap((one) => {
      const has = new Set(
        files.filter((f) => basename(f.file) === basename(one.file)).map((f) => f.language),
      );
      const languages = new Set(files.map((f) => f.language));
      return [...languages]
        .filter((language) => !has.has(language))
        .map((language) => problem(`locales/${language}: ${basename(one.file)} is missing`));
    }),
  ];
}

function compare(
  reference: ReadonlyMap<string, Leaf>,
  file: LanguageFile,
  firstFile: string,
): readonly Finding[] {
  const own = leavesOf(file);
  const found: Finding[] = [];
  for (const [key, leaf] of reference) {
    const mine = own.get(key);
    const plural = /_(zero|one|two|few|many|other)$/u.exec(key);
    if (mine === undefined) {
      if (plural === null || plural[1] === 'other') found.push(problem(`${file.file}: "${key}" is missing`));
      continue;
    }
    for (const channel of ['text', 'voice'] as const) {
      const want = slotsOf(leaf[channel] ?? leaf.text);
      const have = slotsOf(mine[channel] ?? mine.text);
      if (want !== have) {
        found.push(
          problem(
            `${file.file}: "${key}" (${channel}) fills in ${have || 'nothing'}; ${firstFile} fills in ${want || 'nothing'}`,
          ),
        );
      }
    }
  }
  for (const key of own.keys()) {
    if (!reference.has(key) && !/_(zero|two|few|many)$/u.test(key)) {
      found.push(problem(`${file.file}: "${key}" is not in ${firstFile}; nothing will ever say it`));
    }
  }
  return found;
}

function slotsOf(text: string): string {
  return [...new Set([...text.matchAll(/\{\{\s*(\w+)\s*\}\}/gu)].map((m) => m[1] ?? ''))].sort().join(', ');
}
