import { compileNearWords, typosBetween } from './danger/near-words.ts';
import { consonantKey, soundKey } from './danger/sound-key.ts';
import { textTokens } from './danger/text-tokens.ts';

/** The names of one language: by id, a name, and other spellings separated by commas. */
export interface NamesOfLanguage {
  readonly language: string;
  readonly names: Readonly<Record<string, string>>;
  readonly spelled: Readonly<Record<string, string>>;
}

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

interface NameIndex {
  /** As it is written, spaces left out: goes before the sound, which til and tel share. */
  readonly written: ReadonlyMap<string, string>;
  readonly exact: ReadonlyMap<string, string>;
  readonly near: (key: string) => readonly string[];
  readonly bones: ReadonlyMap<string, string | null>;
  /** Names of four or five letters by their first letter. */
  readonly short: ReadonlyMap<string, readonly (readonly [string, string])[]>;
  readonly clashes: readonly NameClash[];
}

/** One way of writing for two things: `first` is the one that is read. */
export interface NameClash {
  readonly language: string;
  readonly part: 'names' | 'spelled';
  readonly written: string;
  readonly first: string;
  readonly second: string;
}

/** Names written alike that mean two things, since only one can be read. */
export const nameClashes = (languages: readonly NamesOfLanguage[]): readonly NameClash[] =>
  indexOf(languages).clashes;

/** Prepares the reader. All languages are read at once, because people mix them. */
export function openNames(languages: readonly NamesOfLanguage[]): NamesReader {
  const index = indexOf(languages);
  return (text) => {
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
      const glued = word.length > 7 && word.length < 33 ? splitGlued(word, index) : null;
      if (glued !== null) {
        for (const id of glued)
          found.push({ thing: { id, words: word, sure: false, negated: false }, at, to: at + 1 });
        at++;
        continue;
      }
      const key = soundKey(word);
      if (!FILLERS.has(key) && !NOT_BEFORE.has(key) && !NOT_AFTER.has(key) && key.length > 2)
        unread.push(word);
      at++;
    }
    return { things: negate(found, spoken), unread };
  };
}

type Word = { readonly word: string; readonly breakBefore: 0 | 1 | 2 };
type ReadName = {
  readonly id: string;
  readonly words: string;
  readonly sure: boolean;
  readonly count: number;
};

function readAt(tokens: readonly Word[], at: number, index: NameIndex): ReadName | null {
  if (STRANGERS.has(tokens[at]?.word ?? '')) return null;
  const spans: { key: string; written: string; words: string; count: number }[] = [];
  let key = '';
  let written = '';
  for (let count = 1; count <= LONGEST_NAME; count++) {
    const token = tokens[at + count - 1];
    if (token === undefined || (count > 1 && token.breakBefore > 0)) break;
    key += soundKey(token.word);
    written += token.word;
    const said = tokens
      .slice(at, at + count)
      .map(({ word }) => word)
      .join(' ');
    spans.push({ key, written, words: said, count });
  }
  for (const { key: whole, written: letters, words: said, count } of [...spans].reverse()) {
    const id = index.written.get(letters) ?? index.exact.get(whole);
    if (id !== undefined) return { id, words: said, sure: true, count };
  }
  const first = spans[0];
  const word = tokens[at]?.word ?? '';
  if (first === undefined || FILLERS.has(first.key) || NOT_AFTER.has(first.key)) return null;
  const single = index.exact.get(soundKey(word.replace(ENGLISH_PLURAL, '')));
  if (single !== undefined && word.length > 3) return { id: single, words: word, sure: true, count: 1 };
  for (const { key: whole, words: said, count } of spans.slice(0, 2).reverse()) {
    // Two words are taken together past a mistyping only when neither means something by itself.
    const second = tokens[at + 1];
    if (count === 2 && second !== undefined) {
      const own = soundKey(second.word);
      if (index.exact.has(own) || FILLERS.has(own) || NOT_AFTER.has(own)) continue;
    }
    const near = new Set(index.near(whole).map((other) => index.exact.get(other)));
    const [id] = near;
    if (near.size === 1 && id !== undefined) return { id, words: said, sure: false, count };
  }
  const slip = shortSlip(first.key, index);
  if (slip !== null && at < 40) return { id: slip, words: word, sure: false, count: 1 };
  const bare = index.bones.get(first.key);
  if (first.key.length >= 3 && consonantKey(first.key) === first.key && typeof bare === 'string')
    return { id: bare, words: word, sure: false, count: 1 };
  return null;
}

/** One slip in a word of four or five letters, which the look-up of longer words leaves alone: 'plak'. Null when two things are as near. */
function shortSlip(key: string, index: NameIndex): string | null {
  if (key.length < 4 || key.length > 5) return null;
  const near = new Set<string>();
  for (const [name, id] of index.short.get(key.slice(0, 1)) ?? [])
    if (typosBetween(key, name) === 1) near.add(id);
  const [only] = near;
  return near.size === 1 && only !== undefined ? only : null;
}

/** Names written without spaces between them: 'palakbesan'. Null when it does not come out even. */
function splitGlued(word: string, index: NameIndex): readonly string[] | null {
  const endsAt: (readonly string[] | null)[] = [[]];
  for (let to = 1; to <= word.length; to++) {
    endsAt[to] = null;
    for (let from = Math.max(0, to - 12); from <= to - 3; from++) {
      const before = endsAt[from];
      const id = index.written.get(word.slice(from, to));
      if (before !== null && before !== undefined && id !== undefined) {
        endsAt[to] = [...before, id];
        break;
      }
    }
  }
  return endsAt[word.length] ?? null;
}

function negate(
  found: readonly { thing: NamedThing; at: number; to: number }[],
  tokens: readonly Word[],
): readonly NamedThing[] {
  const negated = new Set<number>();
  const keyAt = (at: number): string => soundKey(tokens[at]?.word ?? '');
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

function indexOf(languages: readonly NamesOfLanguage[]): NameIndex {
  const written = new Map<string, string>();
  const exact = new Map<string, string>();
  const bones = new Map<string, string | null>();
  const clashes: NameClash[] = [];
  // Every language's first name goes before any other spelling, so that a spelling never takes a name away.
  for (const part of ['names', 'spelled'] as const) {
    for (const entry of languages) {
      for (const [id, listed] of Object.entries(entry[part])) {
        for (const name of listed.split(',')) {
          const spelled = textTokens(name).tokens.map(({ word }) => word);
          const key = spelled.map(soundKey).join('');
          if (key === '') continue;
          const letters = spelled.join('');
          const taken = written.get(letters) ?? id;
          if (taken !== id)
            clashes.push({ language: entry.language, part, written: name.trim(), first: taken, second: id });
          written.set(letters, taken);
          if (!exact.has(key)) exact.set(key, id);
          // The sound key drops a last n, which a mother who leaves out vowels still types.
          for (const bare of new Set([
            consonantKey(key),
            letters.endsWith('n') ? `${consonantKey(key)}n` : '',
          ])) {
            const other = bones.get(bare);
            if (other === undefined) bones.set(bare, id);
            else if (other !== id) bones.set(bare, null);
          }
        }
      }
    }
  }
  const short = new Map<string, (readonly [string, string])[]>();
  for (const [key, id] of exact) {
    if (key.length < 4 || key.length > 5) continue;
    const first = key.slice(0, 1);
    short.set(first, [...(short.get(first) ?? []), [key, id]]);
  }
  return { written, exact, near: compileNearWords(exact.keys()).near, bones, short, clashes };
}
