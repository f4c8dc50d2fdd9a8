/**
 * `npm run bench`: measures and prints; first the turns, then every `*.bench.mjs` beside this file. `--floor` is short, measures
 * the turns alone and fails (exit 1) under floors that lie far below what was measured, so that only a real loss of speed fails
 * in CI.
 */
import { readdirSync } from 'node:fs';
import { benchTurns } from './turns.mjs';

const isFloor = process.argv.includes('--floor');
const tell = (words) => process.stdout.write(`${words}\n`);

/**
 * About half of the 0.29 measured on two cores shared with a dozen other busy programs, where a short run gives 0.2; on idle cores
 * it is more. The turns far under what any machine gives that does nothing else.
 */
const floors = { processorRatio: 0.14, turnsPerSecond: 200 };

try {
  const turns = await benchTurns(isFloor ? 'short' : 'full', tell);
  if (isFloor) {
    for (const [name, floor] of Object.entries(floors)) {
      if (turns[name] >= floor) continue;
      process.exitCode = 1;
      tell(`${name} is ${turns[name].toFixed(2)}, under the floor of ${floor}`);
    }
  } else {
    const others = readdirSync(new URL('.', import.meta.url)).filter((file) => file.endsWith('.bench.mjs'));
    for (const file of others.sort()) {
      const { run } = await import(new URL(file, import.meta.url).href);
      for (const { name, value, unit } of await run()) tell(`${name}: ${value} ${unit}`);
    }
  }
} catch (error) {
  process.stderr.write(`The measuring failed: ${String(error)}\n`);
  process.exitCode = 1;
}
