/** A text with its gaps found: filling it is joining pieces. */
export interface TextTemplate {
  /** The text with these values in its gaps; undefined where a gap has no value, which is for i18next to say. */
  fill(values: Readonly<Record<string, string | number>>): string | undefined;
}

/**
 * The template of a raw i18next text; undefined where it has more than plain gaps (`{{name}}`): formats, nested texts,
 * unescaped values are read by i18next itself.
 */
export function textTemplate(raw: string): TextTemplate | undefined {
  const pieces = raw.split(/\{\{([^{}]*)\}\}/u);
  const texts = pieces.filter((_, i) => i % 2 === 0);
  const names = pieces.filter((_, i) => i % 2 === 1).map((name) => name.trim());
  if (texts.some((text) => /\{\{|\}\}|\$t\(/u.test(text)) || names.some((name) => !/^\w+$/u.test(name)))
    return undefined;
  const [first = '', ...after] = texts;
  return {
    fill: (values) => {
      let said = first;
      for (let i = 0; i < names.length; i++) {
        const value = values[names[i] ?? ''];
        if (typeof value !== 'string' && typeof value !== 'number') return undefined;
        said += value + (after[i] ?? '');
      }
      return said;
    },
  };
}
