import type { Spoken } from '../channels/carrier.ts';
import type { Channel } from '../language/wording.ts';
import type { Say } from './line.ts';
import type { World } from './world.ts';

/** Characters that XML 1.0 cannot carry, lone surrogates and text-direction controls: never sent on. */
const unsendable =
  /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f\u202a-\u202e\u2066-\u2069\ufffe\uffff]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g;

/** Says as words in one language: one text, a line each; on a call, sentences one after the other. */
export function render(says: readonly Say[], language: string, channel: Channel, world: World): string {
  return says
    .map((s) => world.content.wording.say(s.key, s.values ?? {}, language, channel))
    .filter((words) => words !== '')
    .join(channel === 'text' ? '\n' : ' ')
    .replace(unsendable, '');
}

/** The same words for a call, prompt by prompt: the recording where there is one of exactly these words. */
export function renderPieces(says: readonly Say[], language: string, world: World): readonly Spoken[] {
  return says.flatMap((s): readonly Spoken[] => {
    const text = render([s], language, 'voice', world);
    if (text === '') return [];
    const file = world.content.recordings.file(s.key, text, language);
    return [file === undefined ? { kind: 'words', text } : { kind: 'recording', file }];
  });
}
