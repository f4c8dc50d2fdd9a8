/** One item of a phrase: any of these named slots or literal (possibly several-word) sayings. */
export interface PhraseItem {
  readonly slots: readonly string[];
  readonly literals: readonly string[];
}

/** A phrase as written: "[not] > [feed]" is ordered, "[severe] headache|head_ache" may come in any order. */
export interface PhraseItems {
  readonly ordered: boolean;
  readonly items: readonly PhraseItem[];
}

/** Reads the phrase notation. @returns a sentence on what is wrong, or the items */
export const phraseItems = (say: string): PhraseItems | string => {
  const pieces = say.trim().split(/\s+/u);
  const ordered = pieces.includes('>');
  const items: PhraseItem[] = [];
  for (const piece of pieces) {
    if (piece === '>') continue;
    const slots: string[] = [];
    const literals: string[] = [];
    for (const part of piece.split('|')) {
      const slot = /^\[([a-z][a-z-]*)\]$/u.exec(part);
      if (slot?.[1] !== undefined) slots.push(slot[1]);
      else if (/^[\p{L}\p{M}\p{N}_'’-]+$/u.test(part)) literals.push(part.replace(/_/gu, ' '));
      else return `"${piece}" in "${say}" is neither a [slot] nor a word`;
    }
    items.push({ slots, literals });
  }
  if (items.length === 0) return `"${say}" has no words`;
  if (items.length > 5) return `"${say}" has more than 5 parts`;
  return { ordered, items };
};
