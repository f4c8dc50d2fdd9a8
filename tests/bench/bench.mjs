/**
 * `npm run bench`: measures and prints; first the turns, then the stores side by side, then every `*.bench.mjs` beside this file.
 *
 *   --floor           short: the turns alone, and fails (exit 1) under floors that lie far below what was measured, so that only a
 *                     real loss of speed fails in CI
 *   --stores          the stores alone
 *   --million         the stores with 1,000,000 lines too: takes 8 GB of disk and memory, and a quarter of an hour
 *   --lines=<n>,<n>   the stores with so many lines and no others; each at least 960
 *   --on=<store>,<store>  only these of sqlite, everysec, always
 *   --json=<file>     where the figures of the stores go; `bench-stores.json` unless told
 *
 *   --memory[=<n>]              what a mother takes up in each store, and nothing else; in Redis among so many, 12,000 unless told
 *   --primer=<file>             measures nothing: writes a new primer for lines at rest; see `primer.mjs`
 *   --compare=<before>,<after>  measures nothing: tells how far the figures of two such files lie apart
 */
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { benchTurns } from './turns.mjs';

const isFloor = process.argv.includes('--floor');
const isStores = process.argv.includes('--stores');
const given = (name, otherwise) =>
  process.argv.find((argument) => argument.startsWith(`--${name}=`))?.slice(name.length + 3) ?? otherwise;
const million = process.argv.includes('--million') ? ',1000000' : '';
const sizes = given('lines', `1000,100000${million}`).split(',').map(Number);
const tell = (words) => process.stdout.write(`${words}\n`);

/**
 * Under half of what short runs gave in the whole of CI on two cores: 0.57 and 0.69 of processor time, 5,200 and 5,400 turns. The
 * floors lie low for a machine that others use too.
 */
const floors = { processorRatio: 0.2, turnsPerSecond: 1_000 };

async function tellMoved(files) {
  const { compared } = await import('./compare.mjs');
  const [before, after] = files.map((file) => JSON.parse(readFileSync(file, 'utf8')));
  for (const words of compared(before, after)) tell(words);
}

async function tellMemory() {
  const { benchMemory } = await import('./stores.mjs');
  const mothers = given('memory', '');
  await benchMemory(tell, mothers === '' ? undefined : Number(mothers));
}

async function writePrimer(file) {
  const { madePrimer } = await import('./primer.mjs');
  writeFileSync(file, await madePrimer(), { flag: 'wx' });
  tell(`a new primer is in ${file}`);
}

async function measure() {
  const turns = isStores ? {} : await benchTurns(isFloor ? 'short' : 'full', tell);
  if (!isFloor) {
    const { allStores, benchStores } = await import('./stores.mjs');
    const figures = await benchStores(sizes, given('on', allStores.join()).split(','), tell);
    const file = given('json', 'bench-stores.json');
    writeFileSync(file, `${JSON.stringify(figures, null, 2)}\n`);
    tell(`the figures are in ${file}`);
  }
  if (isFloor) {
    for (const [name, floor] of Object.entries(floors)) {
      if (turns[name] >= floor) continue;
      process.exitCode = 1;
      tell(`${name} is ${turns[name].toFixed(2)}, under the floor of ${floor}`);
    }
  } else if (!isStores) {
    const others = readdirSync(new URL('.', import.meta.url)).filter((file) => file.endsWith('.bench.mjs'));
    for (const file of others.sort()) {
      const { run } = await import(new URL(file, import.meta.url).href);
      for (const { name, value, unit } of await run()) tell(`${name}: ${value} ${unit}`);
    }
  }
}

try {
  const files = given('compare', '').split(',');
  const primer = given('primer', '');
  if (files.length === 2) await tellMoved(files);
  else if (primer !== '') await writePrimer(primer);
  else if (process.argv.some((argument) => argument.startsWith('--memory'))) await tellMemory();
  else await measure();
} catch (error) {
  process.stderr.write(`The measuring failed: ${String(error)}\n`);
  process.exitCode = 1;
}
