import { type Document, LineCounter, parseDocument } from 'yaml';
import type { z } from 'zod';

/** One file as found: `path` from the project's root with forward slashes, `text` its whole content. */
export interface ContentText {
  readonly path: string;
  readonly text: string;
}

/** A parsed file that can say on which line a thing stands. */
export interface ContentFile {
  readonly path: string;
  readonly data: unknown;
  /** `path, line N: problem`, at the nearest line that exists. */
  readonly problem: (at: readonly PropertyKey[], what: string) => string;
}

/** Parses YAML. A file that does not parse has data undefined and its problems listed. */
export function openContent({ path, text }: ContentText): {
  readonly file: ContentFile;
  readonly problems: readonly string[];
} {
  const lines = new LineCounter();
  const document = parseDocument(text, { lineCounter: lines });
  const problems = document.errors.map(
    (error) => `${path}, line ${error.linePos?.[0].line ?? 1}: ${error.message.split('\n')[0]}`,
  );
  const problem = (at: readonly PropertyKey[], what: string): string =>
    `${path}, line ${lineAt(document, lines, at)}: ${at.length > 0 ? `${at.join('.')}: ` : ''}${what}`;
  return { file: { path, data: problems.length > 0 ? undefined : document.toJS(), problem }, problems };
}

/** The problems that a schema finds in a file, each with its line. */
export function schemaProblems(file: ContentFile, schema: z.ZodType): readonly string[] {
  const read = schema.safeParse(file.data);
  return read.success ? [] : read.error.issues.map((issue) => file.problem(issue.path, issue.message));
}

function lineAt(document: Document, lines: LineCounter, at: readonly PropertyKey[]): number {
  for (let length = at.length; length > 0; length--) {
    const path = at.slice(0, length).map((part) => (typeof part === 'symbol' ? String(part) : part));
    const parent: unknown = length === 1 ? document.contents : document.getIn(path.slice(0, -1), true);
    const pairs = (parent as { items?: readonly unknown[] } | undefined)?.items ?? [];
    for (const item of pairs) {
      const key = (item as { key?: { value?: unknown; range?: readonly number[] } }).key;
      if (key?.range !== undefined && String(key.value) === String(path.at(-1)))
        return lines.linePos(key.range[0] ?? 0).line;
    }
    const node = document.getIn(path, true) as { range?: readonly number[] } | undefined;
    if (node?.range !== undefined && node.range !== null) return lines.linePos(node.range[0] ?? 0).line;
  }
  return 1;
}
