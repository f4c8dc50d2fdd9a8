import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { LineCounter, parseDocument } from 'yaml';
import { z } from 'zod';
import { openDialogs } from '../dialog/dialog-steps.ts';
import { type Flow, flowSchema } from '../dialog/flow.ts';
import { corrigibleFields } from '../dialog/correction.ts';
import { guards } from '../dialog/guards.ts';
import { acts } from '../dialog/acts.ts';
import { languageNames } from '../dialog/language-names.ts';
import { listed, openAnswerSteps } from '../dialog/step-words.ts';
import type { Content } from '../dialog/world.ts';
import { ContentError } from '../errors.ts';
import { type AnswerWords, compileAnswerWords } from '../language/answers/index.ts';
import { compileCommandWords } from '../language/command-words.ts';
import { compileDanger, type DangerPhrases, readDanger } from '../language/danger/index.ts';
import { openMendWords } from '../language/mend-words.ts';
import { rememberedTexts } from '../language/remembered.ts';
import { openWordLists } from '../language/word-list.ts';
import { type LanguageFile, openWording, type Wording } from '../language/wording.ts';
import { checkKeys } from './check/wording-keys.ts';
import { foodTextFiles, loadFood } from './load-food.ts';
import { loadRecordings } from './recording-files.ts';
import { loadTips, tipTextFile } from './load-tips.ts';
import { nearestName } from './nearest-name.ts';

/** The folder that holds `flows/` and `locales/`: the project's own, wherever it was built or copied to. */
export const contentRoot = fileURLToPath(new URL('../..', import.meta.url));

const languageSchema = z.strictObject({
  name: z.string(),
  script: z.enum(['Latin', 'Devanagari']),
  sms: z.enum(['gsm-7', 'ucs-2']),
  voice: z.string(),
  reviewedBy: z.string().nullable(),
});

/** What a language's folder says of itself. */
export interface LanguageInfo extends z.infer<typeof languageSchema> {
  readonly code: string;
}

/**
 * Reads and compiles every flow and language.
 * @throws ContentError with all problems: file, line, what is wrong, how to mend it
 */
export function loadContent(root: string = contentRoot): Content {
  const flows = loadFlows(root);
  const languages = loadLanguages(root).map((l) => l.code);
  const messages = messageFiles(root);
  const foodTexts = foodTextFiles.flatMap((name) => localeFiles(root, name));
  const tips = loadTips(root, languages);
  const tipTexts = localeFiles(root, tipTextFile);
  const lacking = checkKeys([...messages, ...tipTexts], flows, tips).map((f) => f.text);
  // Found at the start, or a mother's answer would be lost at the moment when the text is needed.
  if (lacking.length > 0) throw new ContentError(lacking);
  const inOneScript = [...foodTexts, ...tipTexts];
  const wording = openWording([...messages, ...inOneScript, ...spokenInOtherScript(root, inOneScript)]);
  const food = loadFood(root, foodTexts);
  const dangerPhrases = loadDangerPhrases(root);
  return {
    dialogs: openDialogs(flows),
    recordings: loadRecordings(root, languages),
    wording,
    food,
    answerSteps: openAnswerSteps(flows, wording, languages),
    languageNames: languageNames(wording, languages),
    wordLists: openWordLists((list) => languages.flatMap((language) => listed(wording, list, language))),
    mendWords: openMendWords(
      (kind) => languages.flatMap((l) => listed(wording, `label.mend.${kind}`, l)),
      new Map(
        corrigibleFields(flows).map((f) => [f, languages.flatMap((l) => listed(wording, `label.${f}`, l))]),
      ),
    ),
    answerWords: loadAnswerWords(root),
    readDanger: rememberedTexts((text) => readDanger(text, dangerPhrases)),
    commandWords: compileCommandWords(localeFiles(root, 'commands.yaml')),
    languages,
    tips,
  };
}

/** What the line says: `messages.yaml`, and files of their own for the talk about food, her rhythm, calls and corrections. */
export function messageFiles(root: string = contentRoot): readonly LanguageFile[] {
  return ['messages.yaml', 'food-talk.yaml', 'rhythm.yaml', 'calls.yaml', 'corrections.yaml'].flatMap(
    (name) => localeFiles(root, name),
  );
}

/** A language in Latin letters whose voice reads another script says names of foods and dishes, and tips, in that script. */
export function spokenInOtherScript(root: string, texts: readonly LanguageFile[]): readonly LanguageFile[] {
  const languages = loadLanguages(root);
  return languages.flatMap((language) => {
    const spoken = languages.find((l) => l.voice === language.voice && l.script !== language.script);
    if (language.script !== 'Latin' || spoken === undefined) return [];
    return texts
      .filter((text) => text.language === spoken.code)
      .map((text) => ({ ...text, language: language.code, channel: 'voice' as const }));
  });
}

/** The words of the counsellor's desk, in the languages that have them. */
export function loadDeskWords(root: string = contentRoot): Wording {
  return openWording(localeFiles(root, 'desk.yaml'));
}

export function loadAnswerWords(root: string = contentRoot): AnswerWords {
  return compileAnswerWords(localeFiles(root, 'words.yaml'));
}

export function loadDangerPhrases(root: string = contentRoot): DangerPhrases {
  return compileDanger(localeFiles(root, 'danger.yaml'));
}

/** English first, since it is the line's reference; then by code. */
export function loadLanguages(root: string = contentRoot): readonly LanguageInfo[] {
  return localeFiles(root, 'language.yaml').map(({ language, data, file }) => {
    const read = languageSchema.safeParse(data);
    if (!read.success) throw new ContentError([`${file}: ${z.prettifyError(read.error)}`]);
    return { code: language, ...read.data };
  });
}

/** The file of that name in each language's folder that has it and is a language of its own (`language.yaml`). */
export function localeFiles(root: string, name: string): readonly LanguageFile[] {
  const folder = join(root, 'locales');
  const codes = readdirSync(folder).sort(
    (a, b) => Number(b === 'en') - Number(a === 'en') || a.localeCompare(b),
  );
  return codes
    .filter((code) => readdirSync(join(folder, code)).includes(name))
    .map((code) => readYaml(root, join(folder, code, name), code));
}

function readYaml(root: string, path: string, language: string): LanguageFile {
  const file = relative(root, path);
  const document = parseDocument(readFileSync(path, 'utf8'));
  const problem = document.errors[0];
  if (problem !== undefined) throw new ContentError([`${file}: ${problem.message}`]);
  return { language, data: document.toJS(), file };
}

/** Every flow, from files that hold one or a list. */
export function loadFlows(root: string = contentRoot): readonly Flow[] {
  const folder = join(root, 'flows');
  const problems: string[] = [];
  const flows: Flow[] = [];
  for (const name of flowFiles) {
    const file = `flows/${name}`;
    const lines = new LineCounter();
    const document = parseDocument(readFileSync(join(folder, name), 'utf8'), { lineCounter: lines });
    const wrong = document.errors[0];
    if (wrong !== undefined) {
      problems.push(`${file}: ${wrong.message}`);
      continue;
    }
    const data: unknown = document.toJS();
    const list = Array.isArray(data) ? data : [data];
    list.forEach((one: unknown, index) => {
      const read = flowSchema.safeParse(one);
      const base = Array.isArray(data) ? [index] : [];
      const lineOf = (path: readonly PropertyKey[]): number => lineAt(document, lines, [...base, ...path]);
      if (read.success) {
        flows.push(read.data);
        problems.push(...flowProblems(read.data, file, lineOf));
      } else {
        problems.push(
          ...read.error.issues.map(
            (i) => `${file}, line ${lineOf(i.path)}: ${i.path.join('.')}: ${i.message}`,
          ),
        );
      }
    });
  }
  if (problems.length > 0) throw new ContentError(problems);
  return flows;
}

const flowFiles = ['enrolment.yaml', 'check-in.yaml', 'asides.yaml', 'food.yaml', 'rhythm.yaml'];

function lineAt(
  document: ReturnType<typeof parseDocument>,
  lines: LineCounter,
  path: readonly PropertyKey[],
): number {
  for (let end = path.length; end > 0; end--) {
    const node: unknown = document.getIn(path.slice(0, end), true);
    const range = (node as { range?: readonly [number, number, number] } | undefined)?.range;
    if (range !== undefined) return lines.linePos(range[0]).line;
  }
  return 1;
}

/** Names in a flow that nothing answers to, with the nearest name that exists. */
function flowProblems(
  flow: Flow,
  file: string,
  lineOf: (path: readonly PropertyKey[]) => number,
): readonly string[] {
  const ids = flow.steps.map((s) => s.id);
  const problems: string[] = [];
  const unknown = (
    path: readonly PropertyKey[],
    step: string,
    kind: string,
    name: string,
    known: readonly string[],
  ) => {
    const near = nearestName(name, known);
    problems.push(
      `${file}, line ${lineOf(path)}, flow "${flow.flow}", step "${step}": no ${kind} named "${name}".${near === undefined ? '' : ` Did you mean "${near}"?`}`,
    );
  };
  flow.steps.forEach((step, i) => {
    if (ids.indexOf(step.id) !== i)
      problems.push(`${file}, line ${lineOf(['steps', i, 'id'])}: two steps named "${step.id}"; rename one`);
    (step.do ?? []).forEach((name, j) => {
      if (!Object.hasOwn(acts, name)) unknown(['steps', i, 'do', j], step.id, 'act', name, Object.keys(acts));
    });
    const next =
      step.next === undefined ? [] : typeof step.next === 'string' ? [{ to: step.next }] : step.next;
    next.forEach((route, j) => {
      const path = ['steps', i, 'next', j];
      if (!ids.includes(route.to)) unknown(path, step.id, 'step', route.to, ids);
      const when = 'when' in route ? route.when : undefined;
      if (when !== undefined && !Object.hasOwn(guards, when))
        unknown(path, step.id, 'guard', when, Object.keys(guards));
    });
    const last = next.at(-1);
    if (last !== undefined && 'when' in last && last.when !== undefined) {
      problems.push(
        `${file}, line ${lineOf(['steps', i, 'next'])}, step "${step.id}": the last way on has a "when"; add one without, or she can be stranded`,
      );
    }
  });
  (flow.onIdle ?? []).forEach((name, j) => {
    if (!Object.hasOwn(acts, name)) unknown(['onIdle', j], 'onIdle', 'act', name, Object.keys(acts));
  });
  return problems;
}
