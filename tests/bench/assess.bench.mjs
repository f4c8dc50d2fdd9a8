/**
 * How fast `eightfeeds assess` judges 100,000 cases in one pass, and how much memory it needs at its highest.
 * Runs the built command as a process of its own, fed as fast as it reads. Alone: node tests/bench/assess.bench.mjs
 */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { fileURLToPath } from 'node:url';

const command = fileURLToPath(new URL('../../dist/cli/eightfeeds.js', import.meta.url));

/** An invented case: every age to ten months, up to 20 weights, one in fifty with a danger sign. */
function caseLine(i) {
  const ageDays = i % 300;
  const weights = [];
  for (let day = 4, g = 3000 + (i % 900); day <= ageDays && weights.length < 20; day += 7) {
    g += 150 - Math.floor(day / 3);
    weights.push({ day, g });
  }
  const line = {
    id: `case-${i}`,
    age_days: ageDays,
    sex: i % 2 === 0 ? 'boy' : 'girl',
    birth_weight_g: 3100 + (i % 700),
    weights,
    feeds_24h: 5 + (i % 8),
    wet_nappies_24h: 3 + (i % 6),
    stools_24h: i % 6,
    longest_gap_h: i % 9,
    pain: ['none', 'mild', 'severe'][i % 3],
    soft_after_feed: ['yes', 'no', 'unsure'][i % 3],
    baby_signs: i % 50 === 0 ? ['fever'] : [],
  };
  return `${JSON.stringify(line)}\n`;
}

/** Highest resident memory of a running process in MB, where Linux tells it; undefined elsewhere. */
function highestMemoryMb(pid) {
  try {
    const kb = /VmHWM:\s+(\d+) kB/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1];
    return kb === undefined ? undefined : Number(kb) / 1024;
  } catch {
    return undefined;
  }
}

/** Judges `count` cases. Throws when a case was lost or refused. */
async function pass(count) {
  const began = process.hrtime.bigint();
  const child = spawn(process.execPath, [command, 'assess'], { stdio: ['pipe', 'pipe', 'inherit'] });
  const ended = once(child, 'close');
  let answered = 0;
  let memoryMb;
  child.stdout.on('data', (part) => {
    for (const byte of part) if (byte === 10) answered += 1;
    memoryMb = highestMemoryMb(child.pid) ?? memoryMb;
  });
  for (let i = 0; i < count; i += 200) {
    let lines = '';
    for (let j = i; j < Math.min(i + 200, count); j += 1) lines += caseLine(j);
    if (!child.stdin.write(lines)) await once(child.stdin, 'drain');
  }
  child.stdin.end();
  const [code] = await ended;
  if (code !== 0 || answered !== count)
    throw new Error(`assess answered ${answered} of ${count} and ended with ${code}`);
  return { perSecond: count / (Number(process.hrtime.bigint() - began) / 1e9), memoryMb };
}

/**
 * Rows of name, value and unit; the memory of a pass ten times as long beside that of the short one shows that it is flat.
 * @returns {Promise<readonly { name: string, value: number, unit: string }[]>}
 */
export async function run() {
  const short = await pass(10_000);
  const long = await pass(100_000);
  return [
    { name: 'assess, 100,000 cases', value: Math.round(long.perSecond), unit: 'cases/s' },
    ...(long.memoryMb === undefined || short.memoryMb === undefined
      ? []
      : [
          { name: 'assess, highest memory at 10,000 cases', value: Math.round(short.memoryMb), unit: 'MB' },
          { name: 'assess, highest memory at 100,000 cases', value: Math.round(long.memoryMb), unit: 'MB' },
        ]),
  ];
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  console.info(`Node ${process.version}, ${cpus().length} x ${cpus()[0]?.model ?? 'unknown'}`);
  for (const { name, value, unit } of await run()) console.info(`${name}: ${value} ${unit}`);
}
