/** Metrics as a scraper reads them. */
export interface Exposition {
  readonly names: ReadonlySet<string>;
  /** The sample with exactly these labels; undefined when it is not told. */
  value(name: string, labels: Readonly<Record<string, string>>): number | undefined;
}

/**
 * Reads the Prometheus text format, version 0.0.4, as its documentation gives it (prometheus.io, "Exposition formats"): a line
 * is a comment, or name, labels in braces, value as Go's ParseFloat takes it. Throws for any other line.
 */
export function readExposition(text: string): Exposition {
  const samples = new Map<string, number>();
  const names = new Set<string>();
  const keyOf = (name: string, labels: Readonly<Record<string, string>>) =>
    JSON.stringify([name, Object.entries(labels).sort(([a], [b]) => (a < b ? -1 : 1))]);
  for (const line of text.split('\n')) {
    if (line === '' || /^# (HELP|TYPE) [a-zA-Z_:][\w:]* /.test(line)) continue;
    const match = /^([a-zA-Z_:][\w:]*)(?:\{(.*)\})? (nan|[+-]?inf|[-+.\de]+)$/i.exec(line);
    if (match === null) throw new Error(`Not a line of the text format: ${line}`);
    const [, name = '', inBraces = '', value = ''] = match;
    const labels = Object.fromEntries(
      [...inBraces.matchAll(/([a-zA-Z_]\w*)="((?:[^"\\]|\\.)*)"/g)].map(([, key = '', text = '']) => [
        key,
        text,
      ]),
    );
    names.add(name);
    samples.set(keyOf(name, labels), Number(value));
  }
  return { names, value: (name, labels) => samples.get(keyOf(name, labels)) };
}
