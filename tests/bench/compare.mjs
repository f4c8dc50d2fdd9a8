const told = ['turnsPerSecond', 'ratio', 'p99Ms', 'p99AtRateMs', 'cpuMicros', 'cpuRatio', 'redisMicros'];

/** One line for each figure of each row that both have, with how far it moved. */
export function compared(before, after) {
  const words = [];
  if (before.machine !== after.machine)
    words.push(`Not the same machine: ${before.machine}; ${after.machine}.`);
  const keyOf = ({ store, processes, lines }) =>
    `${store}, ${processes} process${processes === 1 ? '' : 'es'}, ${lines} lines`;
  const earlier = new Map(before.rows.map((row) => [keyOf(row), row]));
  for (const row of after.rows) {
    const old = earlier.get(keyOf(row));
    if (old === undefined) continue;
    words.push(keyOf(row));
    for (const name of told)
      if (typeof old[name] === 'number' && typeof row[name] === 'number')
        words.push(moved(name, old[name], row[name]));
  }
  words.push('bytes a mother');
  for (const [store, bytes] of Object.entries(after.bytesPerMother)) {
    const old = before.bytesPerMother[store];
    if (old !== undefined) words.push(moved(store, old, bytes));
  }
  return words;
}

function moved(name, before, after) {
  const digits = before < 10 ? 2 : before < 100 ? 1 : 0;
  const percent = (100 * (after - before)) / before;
  return `  ${name.padEnd(16)} ${before.toFixed(digits).padStart(8)} -> ${after.toFixed(digits).padStart(8)}  ${percent >= 0 ? '+' : ''}${percent.toFixed(1)} %`;
}
