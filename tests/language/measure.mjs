/**
 * Measures the readers on the fixture texts beside this file, per way of writing, with 95% intervals.
 *   node tests/language/measure.mjs [--half build|measured] [--show]
 * Reads through the built command, as an operator would. `--show` lists the misses, of the build half only: the
 * texts of the measured half are never printed, so that nobody tunes to them.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { parseArgs } from 'node:util';

const ways = ['en', 'hi', 'hi-Latn', 'mr', 'mr-Latn'];
const command = fileURLToPath(new URL('../../dist/cli/eightfeeds.js', import.meta.url));

/**
 * Wilson score interval at 95% for `found` of `all`, both as shares 0-1. `found` may hold halves (an unsure false
 * alarm); the interval is then an approximation.
 * Source: E. B. Wilson, "Probable inference, the law of succession, and statistical inference", JASA 22 (1927).
 */
export function wilson(found, all) {
  const z = 1.959964; // the 97.5% point of the standard normal distribution
  const share = found / all;
  const middle = (share + z ** 2 / (2 * all)) / (1 + z ** 2 / all);
  const reach = (z / (1 + z ** 2 / all)) * Math.sqrt((share * (1 - share)) / all + z ** 2 / (4 * all ** 2));
  return { low: Math.max(0, middle - reach), high: Math.min(1, middle + reach) };
}

const rowsOf = (name) =>
  readFileSync(new URL(`fixtures/${name}.jsonl`, import.meta.url), 'utf8')
    .split('\n')
    .filter((line) => line !== '')
    .map((line) => JSON.parse(line));

const sameSign = (a, b) => a.code === b.code && a.who === b.who;
const holds = (read, sign) =>
  read.signs.some((found) => sameSign(found, sign) || (sign.or !== undefined && sameSign(found, sign.or)));

/** Key order does not matter: {weeks, days} is {days, weeks}. */
const canonical = (value) =>
  value !== null && typeof value === 'object' && !Array.isArray(value)
    ? JSON.stringify(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)))
    : JSON.stringify(value);

/** What each figure counts. `of` picks the rows; `score` gives 0 to 1 for one row and what was read of it. */
const figures = [
  {
    name: 'tier A found (unsure counts as found)',
    of: (row) => row.signs !== undefined && row.tier === 'A',
    score: (row, read) =>
      row.signs.some((sign) => holds(read, sign)) || read.signs.some((sign) => sign.tier === 'A') ? 1 : 0,
  },
  {
    name: 'tier A acted on or asked about (tier A, or unsure)',
    of: (row) => row.signs !== undefined && row.tier === 'A',
    score: (_row, read) => (read.signs.some((sign) => sign.tier === 'A' || !sign.sure) ? 1 : 0),
  },
  {
    name: 'all signs found (each expected code of each text)',
    of: (row) => row.signs !== undefined && row.signs.length > 0,
    each: (row) => row.signs.length,
    score: (row, read) => row.signs.filter((sign) => holds(read, sign)).length,
  },
  {
    name: 'specificity (unsure is half a false alarm)',
    of: (row) => row.signs !== undefined && row.signs.length === 0,
    score: (_row, read) => {
      if (read.signs.length === 0) return 1;
      return read.signs.some((sign) => sign.sure) ? 0 : 0.5;
    },
  },
  {
    name: 'answers exact',
    of: (row) => row.as !== undefined,
    score: (row, read) => (canonical(read.value) === canonical(row.value) ? 1 : 0),
  },
];

/**
 * Measures one half. `read(rows)` and `readAs(flags, rows)` give what was read, one for each row and in their order.
 * @returns per figure: its name, the share found with its interval per way and 'all', and the rows not fully found
 * @throws Error when a reading is missing or out of order
 */
export function measure(half, read, readAs) {
  const danger = [...rowsOf(`danger.${half}`), ...(half === 'build' ? rowsOf('danger.fresh') : [])];
  const readings = new Map();
  const keep = (rows, results) => {
    if (results.length !== rows.length)
      throw new Error(`${rows.length} texts went in, ${results.length} came out`);
    rows.forEach((row, at) => {
      if (results[at].id !== row.id)
        throw new Error(`expected the reading of ${row.id}, got ${results[at].id}`);
      readings.set(row.id, results[at]);
    });
  };
  keep(danger, read(danger));

  const answers = rowsOf(`answers.${half}`);
  const groups = new Map();
  for (const row of answers) {
    const flags = ['--as', row.as];
    if (row.options !== undefined) flags.push('--options', String(row.options));
    if (row.today !== undefined) flags.push('--today', row.today);
    if (row.date_of !== undefined) flags.push('--date-of', row.date_of);
    const key = flags.join(' ');
    const group = groups.get(key) ?? { flags, rows: [] };
    group.rows.push(row);
    groups.set(key, group);
  }
  for (const { flags, rows } of groups.values()) keep(rows, readAs(flags, rows));

  return figures.map((figure) => {
    const rows = [...danger, ...answers].filter(figure.of);
    const each = figure.each ?? (() => 1);
    const lines = [...ways, 'all'].map((way) => {
      const mine = rows.filter((row) => way === 'all' || row.way === way);
      const all = mine.reduce((sum, row) => sum + each(row), 0);
      const found = mine.reduce((sum, row) => sum + figure.score(row, readings.get(row.id)), 0);
      return { way, found, all, share: found / all, ...wilson(found, all) };
    });
    const misses = rows
      .filter((row) => figure.score(row, readings.get(row.id)) < each(row))
      .map((row) => ({ row, reading: readings.get(row.id) }));
    return { name: figure.name, lines, misses };
  });
}

/** Runs the built command over the rows; only what a programme would send goes in, never the labels. */
function throughCommand(flags, rows) {
  const input = rows.map(({ id, text, age_days }) => JSON.stringify({ id, text, age_days })).join('\n');
  const run = spawnSync(process.execPath, [command, 'read', ...flags], {
    input: `${input}\n`,
    encoding: 'utf8',
    maxBuffer: 64 * 1024 * 1024,
  });
  if (run.status !== 0) {
    throw new Error(`eightfeeds read ${flags.join(' ')} ended with ${run.status}: ${run.stderr}`);
  }
  return run.stdout
    .split('\n')
    .filter((line) => line !== '')
    .map((line) => JSON.parse(line));
}

const shown = (share) => (Number.isNaN(share) ? '    -' : share.toFixed(3));

function main() {
  const { values } = parseArgs({
    options: { half: { type: 'string', default: 'measured' }, show: { type: 'boolean', default: false } },
  });
  if (values.half !== 'build' && values.half !== 'measured') {
    console.error('--half must be build or measured');
    return 2;
  }
  if (values.show && values.half === 'measured') {
    console.error('--show works with --half build only: texts of the measured half stay unread.');
    return 2;
  }
  if (!existsSync(command)) {
    console.error('There is no built command yet: run npm run build first.');
    return 1;
  }
  const results = measure(values.half, (rows) => throughCommand([], rows), throughCommand);
  console.log(`${values.half} half; share found, 95% Wilson interval, found of all`);
  for (const { name, lines, misses } of results) {
    console.log(`\n${name}`);
    for (const { way, found, all, share, low, high } of lines) {
      console.log(`  ${way.padEnd(8)} ${shown(share)}  ${shown(low)} to ${shown(high)}  ${found} of ${all}`);
    }
    if (!values.show) continue;
    for (const { row, reading } of misses) {
      const wanted = row.signs ?? row.value;
      console.log(`    ${row.id} ${row.text}`);
      console.log(
        `      wanted ${JSON.stringify(wanted)}, read ${JSON.stringify(reading.signs ?? reading.value)}`,
      );
    }
  }
  return 0;
}

if (process.argv[1] !== undefined && import.meta.url === pathToFileURL(process.argv[1]).href) {
  process.exitCode = main();
}
