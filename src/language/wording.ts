import i18next, { type i18n } from 'i18next';
import { z } from 'zod';
import { ContentError } from '../errors.ts';
import { type TextTemplate, textTemplate } from './text-template.ts';

/** Text for a screen, or speech for a call. A name without speech of its own is read out as its text. */
export type Channel = 'text' | 'voice';

export interface LanguageFile {
  readonly language: string;
  readonly data: unknown;
  readonly file: string;
  /** Absent: read and heard. `voice`: only heard, in place of what is read. */
  readonly channel?: 'voice';
}

/** Every text the line can say, in every language. */
export interface Wording {
  /** @throws ContentError when the language has no such text: `eightfeeds check` proves that this cannot happen */
  say(
    key: string,
    values: Readonly<Record<string, string | number>>,
    language: string,
    channel: Channel,
  ): string;
  has(key: string, language: string): boolean;
}

type Tree = { readonly [name: string]: string | Tree };
const treeSchema: z.ZodType<Tree> = z.lazy(() => z.record(z.string(), z.union([z.string(), treeSchema])));

/** More than all texts of all languages with every small number: only keys that nobody wrote could be more. */
const mostTemplates = 50_000;

/**
 * Reads the files of each language, one or several. A leaf is a string, or `{ text, voice }`; plural forms are i18next's own suffixes.
 * What a mother wrote goes in as a value and is shown as it is: nothing in it is ever looked up or filled in.
 * i18next finds each text and its plural form once; filling the gaps of a plain one again is joining strings.
 * @throws ContentError naming the file of a wrong shape
 */
export function openWording(files: readonly LanguageFile[]): Wording {
  const resources: Record<string, { text: Record<string, string>; voice: Record<string, string> }> = {};
  const keys = new Map<string, readonly string[]>();
  for (const { language, data, file, channel } of files) {
    const tree = treeSchema.safeParse(data);
    if (!tree.success) throw new ContentError([`${file}: ${z.prettifyError(tree.error)}`]);
    const text: Record<string, string> = {};
    const voice: Record<string, string> = {};
    flatten(tree.data, '', text, voice);
    const said = { ...text, ...voice };
    const before = resources[language] ?? { text: {}, voice: {} };
    if (channel === 'voice') {
      resources[language] = { ...before, voice: { ...before.voice, ...said } };
      continue;
    }
    resources[language] = { text: { ...before.text, ...text }, voice: { ...before.voice, ...said } };
    keys.set(language, [...(keys.get(language) ?? []), ...Object.keys(text)]);
  }
  const instance: i18n = i18next.createInstance();
  void instance.init({
    resources,
    lng: files[0]?.language ?? 'en',
    // A text that is missing all the same is said in the first language: odd words beat a lost answer.
    fallbackLng: files[0]?.language ?? 'en',
    ns: ['text', 'voice'],
    defaultNS: 'text',
    keySeparator: false,
    nsSeparator: false,
    initAsync: false,
    showSupportNotice: false,
    interpolation: { escapeValue: false, skipOnVariables: true },
  } as Parameters<i18n['init']>[0]);
  const known = new Map([...keys].map(([language, names]) => [language, new Set(names)]));
  const found = (said: string, key: string, language: string): string => {
    if (said === key) throw new ContentError([`locales/${language}/messages.yaml: no text named "${key}"`]);
    return said;
  };
  const templates = new Map<string, TextTemplate | null>();
  const templateOf = (
    key: string,
    count: number | undefined,
    language: string,
    channel: Channel,
  ): TextTemplate | null => {
    const name = `${language} ${channel} ${count ?? ''} ${key}`;
    const made = templates.get(name);
    if (made !== undefined) return made;
    const plural = count === undefined ? {} : { count };
    const raw = instance.t(key, { ...plural, lng: language, ns: channel, skipInterpolation: true });
    const template = textTemplate(found(raw, key, language)) ?? null;
    if (templates.size >= mostTemplates) templates.clear();
    templates.set(name, template);
    return template;
  };
  return {
    has: (key, language) => known.get(language)?.has(key) ?? false,
    say: (key, values, language, channel) => {
      const { count, context } = values;
      // What i18next alone can say: another form by context, a plural of a fraction or of a large number.
      const isPlain =
        context === undefined &&
        (count === undefined || (Number.isInteger(count) && +count >= 0 && +count <= 100));
      const plainCount = typeof count === 'number' ? count : undefined;
      const filled = isPlain ? templateOf(key, plainCount, language, channel)?.fill(values) : undefined;
      const said = filled ?? found(instance.t(key, { ...values, lng: language, ns: channel }), key, language);
      return said.trim();
    },
  };
}

function flatten(tree: Tree, at: string, text: Record<string, string>, voice: Record<string, string>): void {
  for (const [name, below] of Object.entries(tree)) {
    const key = at === '' ? name : `${at}.${name}`;
    if (typeof below === 'string') text[key] = below;
    else if (typeof below['text'] === 'string') {
      text[key] = below['text'];
      if (typeof below['voice'] === 'string') voice[key] = below['voice'];
    } else flatten(below, key, text, voice);
  }
}
