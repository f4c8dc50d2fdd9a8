import type { LanguageFile } from '../../language/wording.ts';
import type { LanguageInfo } from '../load-content.ts';
import type { Finding } from './finding.ts';
import { leavesOf } from './leaves.ts';
import { checkSpoken } from './spoken.ts';

/** A tip is read out as it is written where it has no words of its own for a call: so what is written must be sayable. */
export function checkTipsSpoken(
  texts: readonly LanguageFile[],
  languages: readonly LanguageInfo[],
): readonly Finding[] {
  return texts
    .filter((text) => !isSaidInOtherScript(text.language, languages))
    .flatMap((text) => {
      const said = [...leavesOf(text)].map(
        ([key, leaf]) => [key, { ...leaf, voice: leaf.voice ?? leaf.text }] as const,
      );
      return checkSpoken(text.file, new Map(said));
    });
}

function isSaidInOtherScript(code: string, languages: readonly LanguageInfo[]): boolean {
  const own = languages.find((language) => language.code === code);
  return (
    own?.script === 'Latin' && languages.some((one) => one.voice === own.voice && one.script !== own.script)
  );
}
