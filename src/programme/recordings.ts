import { isRecordable, recordingName } from '../language/recording.ts';
import { leavesOf } from './check/leaves.ts';
import { recordingFiles } from './recording-files.ts';
import { contentRoot, loadLanguages, localeFiles, spokenInOtherScript } from './load-content.ts';
import { tipTextFile } from './load-tips.ts';

/** One line of the recording sheet. */
export interface RecordingLine {
  readonly language: string;
  readonly key: string;
  /** Where the file belongs, from the project's folder. */
  readonly file: string;
  readonly state: 'recorded' | 'missing' | 'out-of-date';
  readonly words: string;
}

/** Texts that only counsellors or screens get: no call to a mother says them. */
const unspoken = /^(label|option|language\.also|alert|counsellor|outcome|reason|who|age|ask)\b/u;

/** Every prompt that can be recorded, in every language, and whether it is. */
export function recordingSheet(root: string = contentRoot): readonly RecordingLine[] {
  const messages = localeFiles(root, 'messages.yaml');
  const tips = localeFiles(root, tipTextFile);
  const tipsSaid = [...spokenInOtherScript(root, tips), ...tips];
  return loadLanguages(root).flatMap(({ code }): readonly RecordingLine[] => {
    const files = [messages, tipsSaid].flatMap((some) => some.find((f) => f.language === code) ?? []);
    const there = recordingFiles(root, code);
    return files
      .flatMap((file) => [...leavesOf(file)])
      .flatMap(([key, leaf]): readonly RecordingLine[] => {
        const words = (leaf.voice ?? leaf.text).trim();
        if (unspoken.test(key) || !isRecordable(words)) return [];
        const name = recordingName(key, words);
        const isOld = [...there].some(
          (n) => n !== name && n.startsWith(`${key}.`) && n.split('.').length === name.split('.').length,
        );
        const state = there.has(name) ? 'recorded' : isOld ? 'out-of-date' : 'missing';
        return [{ language: code, key, file: `locales/${code}/recordings/${name}`, state, words }];
      });
  });
}
