import { consonantKey, soundKey } from './danger/sound-key.ts';
import { textTokens } from './danger/text-tokens.ts';
import { indexNames, type NameIndex, type NamesOfLanguage } from './food-name-index.ts';
import { remembered, rememberedTexts } from './remembered.ts';
import { phraseSlip, splitGlued, type Word, wordSlip } from './food-name-slips.ts';

/** A thing named in a text. `sure: false`: read past a mistyping. `negated`: she said that it is not there. */
export interface NamedThing {
  readonly id: string;
  readonly words: string;
  readonly sure: boolean;
  readonly negated: boolean;
}

export interface NamesReading {
  readonly things: readonly NamedThing[];
  /** Words that mean nothing here, in order, without fillers. */
  readonly unread: readonly string[];
}

/** Finds names in a text, whatever the script, language or spelling. Never throws. */
export type NamesReader = (text: string) => NamesReading;

const words = (list: string): ReadonlySet<string> => new Set(list.split(' ').map(soundKey));

const NOT_BEFORE = words('no not without except bina बिना na nor');
const NOT_AFTER = words(
  'nahi nahin nhi nai nahee nako naahi nahiye chhod chod alawa siva sivay chhodkar sodun khatam khatm sampla sample sampli allergy elargi finished over milta allergy एलर्जी ॲलर्जी नहीं नही नाही नको खत्म संपले संपला संपली',
);
const IS = words('hai he hain h ahe aahe aahet है हैं आहे आहेत');
const LINKS = words('aur and or ya va ani or और या आणि व किंवा kinva evam n');
const FILLERS = words(
  `hai he hain ho tha the thi aur and or ya va ani n bhi also sirf only bas thoda thodi thode little some few kuch kuchh ek do teen char half
  aadha pav kilo kg gram packet ghar me mein main mere mera meri paas pas ke ka ki ko i have we got my house home kitchen rasoi there is are
  in the a of with katori vati wala wali lal mujhe mala ghar pani paani gilas pav baki bacha rakha rakhi aahe ahe aahet ahet majhya kade gharat mazya just left over aaj today kal please ji didi tai bhabhi
  है हैं हो और या भी थोड़ा थोड़ी थोड़े कुछ एक दो तीन चार घर में मेरे मेरा पास के का की को बस सिर्फ आज दीदी आहे आहेत आणि व थोडे थोडी थोडा
  माझ्या कडे माझ्याकडे घरात काही फक्त एक दोन ताई pan par lekin but पण लेकिन पर sab sabzi sabji सब्जी bhaji भाजी what can cook make kya
  kabhi karta karte karu yeil khas khichdi idli dosa daana banau banaun banana पकाऊं क्या बनाऊं काय करू kay karu only ताज़ा taza fresh`,
);
/** Written out, because they sound like a food and are another: butter (makhan) is not maize (makka). */
const STRANGERS: ReadonlySet<string> = new Set([
  'makhan',
  'makkhan',
  'मक्खन',
  'butter',
  'dalda',
  'sabudana',
  'साबूदाना',
  'साबुदाणा',
]);
const ENGLISH_PLURAL = /(?:e?s)$/u;
const LONGEST_NAME = 5;
const MOST_TOKENS = 200;
/** Slips are looked past in so many words of a text, so that no text takes long. */
const MOST_SLIPS = 60;

/** The names, with what a single word may stand for kept: typing slips are dear to look for, and words come again. */
interface ReadyIndex extends NameIndex {
  readonly slip: (word: string) => string | null;
  readonly glued: (word: string) => readonly string[] | null;
}

/** Prepares the reader. All languages are read at once, because people mix them. */
export function openNames(languages: readonly NamesOfLanguage[]): NamesReader {
  const names = indexNames(languages);
  const index: ReadyIndex = {
    ...names,
    slip: remembered((word) => wordSlip(word, names)),
    glued: remembered((word) => splitGlued(word, names)),
  };
  return rememberedTexts((text) => {
    const { tokens } = textTokens(text.slice(0, 2000));
    const spoken = tokens.filter(({ number }) => number === undefined).slice(0, MOST_TOKENS);
    const found: { thing: NamedThing; at: number; to: number }[] = [];
    const unread: string[] = [];
    let at = 0;
    while (at < spoken.length) {
      const read = readAt(spoken, at, index);
      if (read !== null) {
        found.push({ thing: { ...read, negated: false }, at, to: at + read.count });
        at += read.count;
        continue;
      }
      const word = spoken[at]?.word ?? '';
      const glued = word.length > 7 && word.length < 33 ? index.glued(word) : null;
      if (glued !== null) {
        for (const id of glued)
          found.push({ thing: { id, words: word, sure: false, negated: false }, at, to: at + 1 });
        at++;
        continue;
      }
      const key = index.sound(word);
      if (!FILLERS.has(key) && !NOT_BEFORE.has(key) && !NOT_AFTER.has(key) && key.length > 2)
        unread.push(word);
      at++;
    }
    return { things: negate(found, spoken, index), unread };
  });
}

type ReadName = {
  readonly id: string;
  readonly words: string;
  readonly sure: boolean;
  readonly count: number;
};

function readAt(tokens: readonly Word[], at: number, index: ReadyIndex): ReadName | null {
  if (STRANGERS.has(tokens[at]?.word ?? '')) return null;
  const spans: { key: string; written: string; words: string; count: number }[] = [];
  let key = '';
  let written = '';
  for (let count = 1; count <= LONGEST_NAME; count++) {
    const token = tokens[at + count - 1];
    if (token === undefined || (count > 1 && token.breakBefore > 0)) break;
    key += index.sound(token.word);
    written += token.word;
    const said = tokens
      .slice(at, at + count)
      .map(({ word }) => word)
      .join(' ');
    spans.push({ key, written, words: said, count });
  }
  for (const { key: whole, written: letters, words: said, count } of [...spans].reverse()) {
    const id = index.written.get(letters) ?? index.exact.get(whole);
    if (id === undefined) continue;
    // "drumstick leaes": the word after a name belongs to a longer one when it means nothing by itself.
    const longer = isUnknown(tokens[at + count], index) ? phraseSlip(tokens, at, index) : null;
    if (longer === null || longer.count <= count) return { id, words: said, sure: true, count };
    return { id: longer.id, words: spans[longer.count - 1]?.words ?? said, sure: false, count: longer.count };
  }
  const first = spans[0];
  const word = tokens[at]?.word ?? '';
  if (first === undefined || FILLERS.has(first.key) || NOT_AFTER.has(first.key)) return null;
  const single = index.exact.get(index.sound(word.replace(ENGLISH_PLURAL, '')));
  if (single !== undefined && word.length > 3) return { id: single, words: word, sure: true, count: 1 };
  const phrase = phraseSlip(tokens, at, index);
  if (phrase !== null) {
    const said = spans[phrase.count - 1]?.words ?? word;
    return { id: phrase.id, words: said, sure: false, count: phrase.count };
  }
  const slip = at < MOST_SLIPS ? index.slip(word) : null;
  if (slip !== null) return { id: slip, words: word, sure: false, count: 1 };
  for (const { key: whole, words: said, count } of spans.slice(0, 2).reverse()) {
    // Two words are taken together past a mistyping only when neither means something by itself.
    const second = tokens[at + 1];
    if (count === 2 && second !== undefined) {
      const own = index.sound(second.word);
      if (index.exact.has(own) || FILLERS.has(own) || NOT_AFTER.has(own)) continue;
    }
    const near = new Set(index.near(whole).map((other) => index.exact.get(other)));
    const [id] = near;
    if (near.size === 1 && id !== undefined) return { id, words: said, sure: false, count };
  }
  const bare = index.bones.get(first.key);
  if (first.key.length >= 3 && consonantKey(first.key) === first.key && typeof bare === 'string')
    return { id: bare, words: word, sure: false, count: 1 };
  return null;
}

/** True for a word of this clause that is no name, filler or denial. */
function isUnknown(token: Word | undefined, index: NameIndex): boolean {
  if (token === undefined || token.breakBefore > 0) return false;
  const key = index.sound(token.word);
  return ![index.exact, FILLERS, NOT_AFTER, NOT_BEFORE].some((known) => known.has(key));
}

function negate(
  found: readonly { thing: NamedThing; at: number; to: number }[],
  tokens: readonly Word[],
  index: ReadyIndex,
): readonly NamedThing[] {
  const negated = new Set<number>();
  const keyAt = (at: number): string => index.sound(tokens[at]?.word ?? '');
  found.forEach(({ at, to }, which) => {
    const joinedBefore = tokens[at]?.breakBefore === 0;
    if (joinedBefore && at > 0 && NOT_BEFORE.has(keyAt(at - 1))) negated.add(which);
    const next = tokens[to];
    const after =
      next !== undefined && next.breakBefore === 0 && FILLERS.has(keyAt(to)) && !LINKS.has(keyAt(to))
        ? to + 1
        : to;
    const refused = [to, after].some(
      (place) => tokens[place]?.breakBefore === 0 && NOT_AFTER.has(keyAt(place)),
    );
    if (!refused) return;
    // "doodh dahi nahi hai" is about both; "palak besan anda nahi" only about the last; "aur" always joins.
    const ofWholeRun = IS.has(keyAt(to + 1)) && NOT_AFTER.has(keyAt(to));
    for (let back = which; back >= 0; back--) {
      negated.add(back);
      const here = found[back];
      const earlier = found[back - 1];
      if (here === undefined || earlier === undefined) break;
      const linked = here.at === earlier.to + 1 && LINKS.has(keyAt(earlier.to));
      const inRun = ofWholeRun && here.at === earlier.to && tokens[here.at]?.breakBefore === 0;
      if (!linked && !inRun) break;
    }
  });
  return found.map(({ thing }, which) => (negated.has(which) ? { ...thing, negated: true } : thing));
}
