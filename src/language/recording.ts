import { shortHash } from './short-hash.ts';

/** The recorded prompts that are there, by language. */
export interface Recordings {
  /** The file of a prompt as it is worded now, below `recordings/`; undefined when it is not recorded so. */
  file(key: string, words: string, language: string): string | undefined;
}

/**
 * The name of a prompt's recording: its key and a hash of its words, so that a prompt worded anew has another name and an
 * old recording of it is never played.
 */
export function recordingName(key: string, words: string): string {
  return `${key}.${shortHash(words)}.mp3`;
}

/** @param files names of the files there, by language */
export function openRecordings(files: ReadonlyMap<string, ReadonlySet<string>>): Recordings {
  return {
    file: (key, words, language) => {
      const name = recordingName(key, words);
      return files.get(language)?.has(name) === true ? `${language}/${name}` : undefined;
    },
  };
}

/** Only prompts without anything to fill in can be recorded; the others are said by the carrier's voice. */
export function isRecordable(words: string): boolean {
  return !words.includes('{{');
}
