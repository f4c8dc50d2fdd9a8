/**
 * Turns a second of signed text webhooks, each a real answer to the check-in, kept durably before it is answered; beside a
 * plain express app on the same machine, in the same run, turn about.
 */
import { execFileSync, spawn } from 'node:child_process';
import { cpus } from 'node:os';
import { fileURLToPath } from 'node:url';
import { motherNumber } from './turns-account.mjs';
import { drive, driveAtRate, median, percentile, signedText } from './turns-load.mjs';

/** As `npm start` and the Docker image start the line; the app beside it gets the same. */
const asStarted = ['--max-semi-space-size=32'];
/** Puts a process on one core, where the system has it. */
const pinner = 'taskset';
export const connections = 64;
const activeMothers = 1024;
/**
 * What the two steps of a check-in are answered with, and a word of what must come back. Mostly as it is asked for, every fourth
 * in words, from some 600 different sets of a thriving baby's figures: neither one text that everybody sends, nor the hardest.
 */
const steps = [
  {
    body: (n) => {
      const [feeds, gap, wet, stools] = [8 + (n % 5), 1 + (n % 4), 6 + ((n >> 3) % 5), 3 + ((n >> 5) % 6)];
      if (n % 4 !== 3) return `${feeds} ${gap} ${wet} ${stools}`;
      return `${feeds} feeds gap ${gap} wet ${wet} potty ${stools}`;
    },
    expects: '<Message>',
  },
  { body: (n) => ['1 1 0', '1 1', '1 1 no', '1 yes 0'][n % 4], expects: '<Message>' },
];
/** The share of the measured peak at which requests come in the open loop. */
export const shareOfPeak = 0.7;

export const warmUpAtRateMs = 1_500;

/** How long and how often; the short one is for CI. Code that has run only a thousand times is not yet what a day of work runs. */
const lengths = {
  full: { rounds: 5, warmUpMs: 12_000, measureMs: 3_000, mothers: 20_000 },
  short: { rounds: 2, warmUpMs: 4_000, measureMs: 2_000, mothers: 2_000 },
};

/**
 * Measures and tells; gives the figures.
 * @param {'full' | 'short'} length
 */
export async function benchTurns(length, tell) {
  const { rounds, warmUpMs, measureMs, mothers } = lengths[length];
  const isPinned = pin();
  tell(
    `signed text webhooks, ${connections} connections, ${activeMothers} of ${mothers} mothers answering, ` +
      `${cpus().length} x ${cpus()[0]?.model ?? 'processor'}, Node ${process.versions.node}, ` +
      `${isPinned ? 'server and load on a core each' : 'not pinned'}`,
  );
  const plain = await serve(new URL('./turns-plain.mjs', import.meta.url), [], isPinned);
  const line = await serve(
    new URL('./turns-line.mjs', import.meta.url),
    [String(mothers), String(activeMothers)],
    isPinned,
  ).catch(async (error) => {
    await plain.stop();
    throw error;
  });
  const rows = [
    { name: 'express, form and signature only', server: plain, rates: [], latencies: [], cpuMicros: [] },
    { name: 'the line, each turn kept', server: line, rates: [], latencies: [], cpuMicros: [] },
  ];
  const requests = requestMaker();
  let unexpected = 0;
  let answered = 0;
  try {
    for (let round = -1; round < rounds; round += 1) {
      for (const row of rows) {
        const ms = round < 0 ? warmUpMs : measureMs;
        const lists = requests.lists(row, ms);
        const before = await row.server.ask('cpu');
        const measured = await drive(row.server.port, lists, ms);
        const { cpu } = await row.server.ask('cpu');
        requests.putBack(row, lists);
        unexpected += measured.unexpected;
        if (row.server === line) answered += measured.turns;
        row.lastRate = (measured.turns * 1000) / measured.ms;
        if (round < 0) continue;
        row.rates.push(row.lastRate);
        for (const latency of measured.latenciesMs) row.latencies.push(latency);
        row.cpuMicros.push((cpu.user + cpu.system - before.cpu.user - before.cpu.system) / measured.turns);
      }
    }
    const atRate = await openLoop(rows[1], requests, measureMs);
    unexpected += atRate.unexpected;
    answered += atRate.turns;
    const { kept } = await line.ask('kept');
    for (const row of rows) tell(rowWords(row));
    tell(
      `at ${Math.round(shareOfPeak * 100)} % of that, ${Math.round(atRate.perSecond)}/s coming at a fixed rate: ` +
        `p50 ${percentile(atRate.latenciesMs, 50).toFixed(1)} ms  p99 ${percentile(atRate.latenciesMs, 99).toFixed(1)} ms`,
    );
    const ratios = rows[1].rates.map((rate, i) => rate / rows[0].rates[i]);
    const figures = {
      turnsPerSecond: median(rows[1].rates),
      p99Ms: percentile(rows[1].latencies, 99),
      p99AtRateMs: percentile(atRate.latenciesMs, 99),
      ratio: median(ratios),
      // Of processor time: what a machine shared with others still tells.
      processorRatio: median(rows[0].cpuMicros) / median(rows[1].cpuMicros),
    };
    tell(
      `${Math.round(figures.turnsPerSecond)} turns/s, p99 ${figures.p99Ms.toFixed(1)} ms, ratio ${figures.ratio.toFixed(2)} ` +
        `(each round: ${ratios.map((r) => r.toFixed(2)).join(' ')}), ratio of processor time ${figures.processorRatio.toFixed(2)}`,
    );
    if (unexpected > 0) throw new Error(`${unexpected} answers were not what they should be`);
    if (kept !== answered) throw new Error(`${answered} turns were answered and ${kept} are kept`);
    return figures;
  } finally {
    await Promise.all([plain.stop(), line.stop()]);
    if (isPinned) onCores(`0-${cpus().length - 1}`);
  }
}

/** The line at a fixed rate of arrivals below its peak: what a mother waits, and not what a full queue makes of it. */
async function openLoop(row, requests, measureMs) {
  const perSecond = median(row.rates) * shareOfPeak;
  // Enough of them, even if the last round was a slow one.
  row.lastRate = Math.max(...row.rates);
  const lists = requests.lists(row, warmUpAtRateMs + measureMs);
  // The load has not run this way before: what stands still at first is the load.
  const before = await driveAtRate(row.server.port, lists, warmUpAtRateMs, perSecond);
  const measured = await driveAtRate(row.server.port, lists, measureMs, perSecond);
  requests.putBack(row, lists);
  const unexpected = before.unexpected + measured.unexpected;
  return { ...measured, turns: before.turns + measured.turns, unexpected, perSecond };
}

function rowWords({ name, rates, latencies, cpuMicros }) {
  const [low, high] = [Math.min(...rates), Math.max(...rates)].map(Math.round);
  const [p50, p99] = [50, 99].map((p) => percentile(latencies, p).toFixed(1));
  return (
    `${name.padEnd(34)} ${String(Math.round(median(rates))).padStart(6)}/s (${low}-${high})  ` +
    `p50 ${p50} ms  p99 ${p99} ms  ${Math.round(median(cpuMicros))} us of processor a turn`
  );
}

/**
 * Requests signed in advance, so that the load costs little while it runs. Each mother belongs to one connection and answers the
 * two steps by turns; what a run did not get to is sent in the next, so that no mother skips a step.
 */
export function requestMaker(active = activeMothers, madeBefore = 0) {
  let made = madeBefore;
  const waiting = new Map();
  const turnOf = new Map();
  const next = (row, connection, i) => {
    const mother = (i * connections + connection) % active;
    const turn = turnOf.get(row)?.[mother] ?? 0;
    const turns = turnOf.get(row) ?? new Uint32Array(active);
    turnOf.set(row, turns);
    turns[mother] = turn + 1;
    made += 1;
    const { body: bodyOf, expects } = steps[turn % steps.length];
    const body = bodyOf(mother * 7 + Math.floor(turn / steps.length));
    const sid = `SM${made.toString(16).padStart(32, '0')}`;
    return { bytes: signedText(row.server.port, sid, motherNumber(mother), body), expects };
  };
  const counts = new Map();
  return {
    lists: (row, ms) => {
      const lists = waiting.get(row) ?? Array.from({ length: connections }, () => []);
      // Half as many again as the last run got through; 12,000 a second is more than either can do before that is known.
      const enough = Math.ceil(((row.lastRate ?? 8_000) * 1.5 * ms) / 1000 / connections + 16);
      lists.forEach((list, connection) => {
        const key = `${row.name} ${connection}`;
        while (list.length < enough) {
          const i = counts.get(key) ?? 0;
          counts.set(key, i + 1);
          list.push(next(row, connection, i));
        }
      });
      return lists;
    },
    putBack: (row, lists) => waiting.set(row, lists),
  };
}

/** Starts a server as a process of its own; with BENCH_PROFILE_DIR set it leaves a CPU profile there. `ask` gets one answer. */
export async function serve(file, args, isPinned) {
  const script = fileURLToPath(file);
  const { BENCH_PROFILE_DIR } = process.env;
  const profile =
    BENCH_PROFILE_DIR === undefined ? [] : ['--cpu-prof', `--cpu-prof-dir=${BENCH_PROFILE_DIR}`];
  const command = [process.execPath, ...asStarted, ...profile, script, ...args];
  const [program = '', ...rest] = isPinned ? [pinner, '-c', '0', ...command] : command;
  const child = spawn(program, rest, {
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
    env: { ...process.env, NODE_ENV: 'production' },
  });
  const gone = new Promise((resolve) => child.once('exit', resolve));
  const heard = () =>
    Promise.race([
      new Promise((resolve) => child.once('message', resolve)),
      gone.then((code) => {
        throw new Error(`${script} ended with ${code}`);
      }),
    ]);
  const { port } = await heard();
  return {
    port,
    ask: async (kind) => {
      const answer = heard();
      child.send({ kind });
      return answer;
    },
    stop: async () => {
      if (child.connected) child.disconnect();
      await gone;
    },
  };
}

/** The load on core 1, so that the server has core 0 for itself; false where that cannot be done. */
export function pin() {
  return cpus().length > 1 && onCores('1');
}

export function onCores(cores) {
  try {
    execFileSync(pinner, ['-cp', cores, String(process.pid)], { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  }
}
