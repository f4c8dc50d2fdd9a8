import type { LanguageFile } from '../../language/wording.ts';

/** One text of a wording file. `voice` only where a call says it in another way. */
export interface Leaf {
  readonly text: string;
  readonly voice?: string;
}

/** The texts of a `messages.yaml` by name. A shape that is no text is left to the loader, which refuses it. */
export function leavesOf(file: LanguageFile): ReadonlyMap<string, Leaf> {
  const leaves = new Map<string, Leaf>();
  const walk = (node: unknown, at: string): void => {
    if (typeof node === 'string') {
      leaves.set(at, { text: node });
      return;
    }
    if (typeof node !== 'object' || node === null) return;
    const { text, voice } = node as { readonly text?: unknown; readonly voice?: unknown };
    if (typeof text === 'string') leaves.set(at, { text, ...(typeof voice === 'string' ? { voice } : {}) });
    else for (const [name, below] of Object.entries(node)) walk(below, at === '' ? name : `${at}.${name}`);
  };
  walk(file.data, '');
  return leaves;
}
