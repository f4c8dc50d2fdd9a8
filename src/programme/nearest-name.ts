/** The known name closest to a mistyped one, or undefined when none is near: at most a third of its letters differ. */
export function nearestName(name: string, known: readonly string[]): string | undefined {
  let best: { name: string; distance: number } | undefined;
  for (const candidate of known) {
    const distance = editDistance(name.toLowerCase(), candidate.toLowerCase());
    if (best === undefined || distance < best.distance) best = { name: candidate, distance };
  }
  return best !== undefined && best.distance <= Math.max(2, Math.ceil(name.length / 3))
    ? best.name
    : undefined;
}

function editDistance(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      const swap = a[i - 1] === b[j - 1] ? 0 : 1;
      next.push(Math.min((next[j - 1] ?? 0) + 1, (row[j] ?? 0) + 1, (row[j - 1] ?? 0) + swap));
    }
    row = next;
  }
  return row[b.length] ?? 0;
}
