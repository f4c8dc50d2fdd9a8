const letters = (name: string): string => name.toLowerCase().replace(/[^a-z0-9]/gu, '');

/** Shorter names are too near to others to say what was meant. */
const leastLetters = 5;

/**
 * The known field that a name was meant to be: the same letters in another writing (`babySigns`), or one letter too many, too few
 * or wrong. Undefined when the name is known, or is not near any.
 */
export function misspeltField(name: string, known: readonly string[]): string | undefined {
  if (known.includes(name)) return undefined;
  return known.find((field) => {
    const [told, meant] = [letters(name), letters(field)];
    if (told === meant) return true;
    return meant.length >= leastLetters && told.length >= leastLetters && isOneLetterOff(told, meant);
  });
}

function isOneLetterOff(a: string, b: string): boolean {
  let same = 0;
  while (same < a.length && same < b.length && a[same] === b[same]) same += 1;
  const [restA, restB] = [a.slice(same), b.slice(same)];
  return restA.slice(1) === restB || restA === restB.slice(1) || restA.slice(1) === restB.slice(1);
}
