/** Markup that is safe to send. Only `html` makes it, so that nobody's words can become markup. */
export class Html {
  readonly text: string;
  constructor(text: string) {
    this.text = text;
  }
}

export type Piece = Html | string | number | null | undefined | false | readonly Piece[];

const entities: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** A template whose values are escaped, whatever is in them; lists are joined, null and false leave nothing. */
export function html(strings: TemplateStringsArray, ...pieces: readonly Piece[]): Html {
  return new Html(
    strings.reduce(
      (text, string, index) => text + written(pieces[index - 1]) + string.replace(/\n\s*/g, '\n'),
    ),
  );
}

function written(piece: Piece): string {
  if (piece === null || piece === undefined || piece === false) return '';
  if (piece instanceof Html) return piece.text;
  if (typeof piece === 'object') return piece.map(written).join('');
  return String(piece)
    .replace(controls, '')
    .replace(/[&<>"']/g, (sign) => entities[sign] ?? '');
}

/** What no page may hold: control characters, and marks that turn the direction of what follows. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
const controls =
  /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g;
