/**
 * The stores side by side: real turns over signed webhooks on SQLite and on Redis (`everysec` and `always`), one process and two,
 * with few lines and with many; beside the do-nothing stack in the same run. And what a mother takes up in each.
 */
import { execFile } from 'node:child_process';
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import Database from 'better-sqlite3';
import { motherNumber } from './turns-account.mjs';
import { connections, onCores, pin, requestMaker, serve, shareOfPeak, warmUpAtRateMs } from './turns.mjs';
import { drive, driveAtRate, median, percentile } from './turns-load.mjs';
import { openAt } from './stores-open.mjs';
import { asMother, lived } from './stores-people.mjs';
import { redisServer } from './stores-redis.mjs';

const run = promisify(execFile);
/** A whole number of mothers a connection, so that each writes on one connection only. */
const active = 15 * connections;
const historyDays = 5;
const rounds = 3;
const warmUpMs = 5_000;
const measureMs = 3_000;
const monthDays = 30;
/** Lived through, and made of them: many, so that what the server takes for itself does not count. */
const monthMothers = 8;
const copies = 12_000;
/** Packing takes milliseconds: more at once would keep the answers waiting. */
const atOnce = 50;

let idsFrom = 0;

/** Every store that is measured, by the name to ask for it. */
export const allStores = ['sqlite', 'everysec', 'always'];

/**
 * @param {readonly number[]} sizes how many lines
 * @param {readonly string[]} stores which of `allStores`
 * @returns figures, for a file and for comparing
 */
export async function benchStores(sizes, stores, tell) {
  const folder = mkdtempSync(join(tmpdir(), 'eightfeeds-stores-'));
  const isPinned = pin();
  const redis = await redisServer(isPinned ? ['taskset', '-c', '1'] : []);
  const rows = [];
  try {
    const bytesPerMother = await bytesOfAMonth(folder, redis, tell);
    tell(heading);
    for (const lines of sizes) {
      if (stores.includes('sqlite')) {
        const file = join(folder, `${lines}.db`);
        await seed({ file }, lines, folder);
        rows.push(await measure({ store: 'SQLite', place: { file }, processes: 1, lines, isPinned }, tell));
        for (const end of ['', '-wal', '-shm']) rmSync(`${file}${end}`, { force: true });
      }
      const syncs = stores.filter((store) => store !== 'sqlite');
      if (syncs.length === 0) continue;
      const place = { url: redis.url };
      await redis.empty();
      await seed(place, lines, folder);
      for (const sync of syncs) {
        await redis.sync(sync);
        for (const processes of [1, 2])
          rows.push(
            await measure({ store: `Redis ${sync}`, place, processes, lines, isPinned, redis }, tell),
          );
      }
    }
    return {
      at: new Date().toISOString(),
      machine: `${cpus().length} x ${cpus()[0]?.model ?? 'processor'}, Node ${process.versions.node}`,
      isPinned,
      bytesPerMother,
      rows,
    };
  } finally {
    await redis.stop();
    rmSync(folder, { recursive: true, force: true });
    if (isPinned) onCores(`0-${cpus().length - 1}`);
  }
}

/** What a mother takes up in each store, alone; of so many mothers in Redis. */
export async function benchMemory(tell, mothers = copies) {
  const folder = mkdtempSync(join(tmpdir(), 'eightfeeds-memory-'));
  const redis = await redisServer();
  try {
    return await bytesOfAMonth(folder, redis, tell, mothers);
  } finally {
    await redis.stop();
    rmSync(folder, { recursive: true, force: true });
  }
}

const heading =
  'store          processes    lines  turns/s  of do-nothing   p50 ms   p99 ms  at 70%: p50   p99  us a turn  of do-nothing  us of Redis';

async function seed(place, lines, folder) {
  const script = fileURLToPath(new URL('./stores-seed.mjs', import.meta.url));
  await run(process.execPath, [script, JSON.stringify({ place, lines, days: historyDays, folder })]);
}

/** One row: turn about with the do-nothing stack, then at a fixed rate of arrivals. Two processes share the cores with the load. */
async function measure({ store, place, processes, lines, isPinned, redis }, tell) {
  const onOneCore = isPinned && processes === 1;
  const plain = await serve(new URL('./turns-plain.mjs', import.meta.url), [], isPinned);
  const servers = [];
  try {
    for (let i = 0; i < processes; i += 1) {
      const settings = JSON.stringify({ place, active, works: i === 0 });
      servers.push(await serve(new URL('./stores-line.mjs', import.meta.url), [settings], onOneCore));
    }
    const kept = async () => {
      const [first] = await Promise.all([servers[0].ask('kept')]);
      let unasked = first.unasked;
      for (const other of servers.slice(1)) unasked += (await other.ask('kept')).unasked;
      return first.kept - unasked;
    };
    const base = await kept();
    // Rows share a store, and an id that was taken before is answered and not acted on.
    const requests = requestMaker(active, (idsFrom += 10_000_000));
    const them = [
      { name: 'do-nothing', server: plain, servers: [plain], rates: [], latencies: [], cpuMicros: [] },
      { name: store, server: servers[0], servers, rates: [], latencies: [], cpuMicros: [] },
    ];
    let answered = 0;
    let unexpected = 0;
    const redisMicros = [];
    for (let round = -1; round < rounds; round += 1) {
      for (const one of them) {
        const ms = round < 0 ? warmUpMs : measureMs;
        const lists = requests.lists(one, ms);
        const redisBefore = await redis?.cpuMicros();
        const before = await cpuOf(one.servers);
        const measured = await together(one.servers, lists, (port, some) => drive(port, some, ms));
        const cpu = (await cpuOf(one.servers)) - before;
        requests.putBack(one, lists);
        unexpected += measured.unexpected;
        one.lastRate = (measured.turns * 1000) / measured.ms;
        if (one === them[1]) answered += measured.turns;
        if (round < 0) continue;
        one.rates.push(one.lastRate);
        one.cpuMicros.push(cpu / measured.turns);
        for (const latency of measured.latenciesMs) one.latencies.push(latency);
        if (redis && one === them[1])
          redisMicros.push(((await redis.cpuMicros()) - redisBefore) / measured.turns);
      }
    }
    const [nothing, line] = them;
    const perSecond = median(line.rates) * shareOfPeak;
    // Enough of them, even if the last round was a slow one.
    line.lastRate = Math.max(...line.rates);
    const lists = requests.lists(line, warmUpAtRateMs + 2 * measureMs);
    const comeFor = (ms) =>
      together(servers, lists, (port, some) =>
        driveAtRate(port, some, ms, (perSecond * some.length) / connections),
      );
    const before = await comeFor(warmUpAtRateMs);
    const atRate = await comeFor(2 * measureMs);
    unexpected += before.unexpected + atRate.unexpected;
    answered += before.turns + atRate.turns;
    if (unexpected > 0) throw new Error(`${store}: ${unexpected} answers were not what they should be`);
    const nowKept = (await kept()) - base;
    if (nowKept !== answered)
      throw new Error(`${store}: ${answered} turns were answered and ${nowKept} are kept`);
    const row = {
      ...{ store, processes, lines },
      turnsPerSecond: median(line.rates),
      ratio: median(line.rates.map((rate, i) => rate / nothing.rates[i])),
      p50Ms: percentile(line.latencies, 50),
      p99Ms: percentile(line.latencies, 99),
      p50AtRateMs: percentile(atRate.latenciesMs, 50),
      p99AtRateMs: percentile(atRate.latenciesMs, 99),
      cpuMicros: median(line.cpuMicros),
      // Of processor time: what a machine shared with others still tells.
      cpuRatio: median(nothing.cpuMicros) / median(line.cpuMicros),
      redisMicros: redis === undefined ? null : median(redisMicros),
    };
    tell(rowWords(row));
    return row;
  } finally {
    await Promise.all([plain, ...servers].map((server) => server.stop()));
  }
}

/** Spreads the connections over the processes; each mother stays with one. */
async function together(servers, lists, work) {
  const parts = await Promise.all(
    servers.map(({ port }, i) =>
      work(
        port,
        lists.filter((_, connection) => connection % servers.length === i),
      ),
    ),
  );
  return {
    turns: parts.reduce((sum, { turns }) => sum + turns, 0),
    ms: Math.max(...parts.map(({ ms }) => ms)),
    latenciesMs: parts.flatMap(({ latenciesMs }) => latenciesMs),
    unexpected: parts.reduce((sum, { unexpected }) => sum + unexpected, 0),
  };
}

async function cpuOf(servers) {
  let sum = 0;
  for (const server of servers) {
    const { cpu } = await server.ask('cpu');
    sum += cpu.user + cpu.system;
  }
  return sum;
}

function rowWords(row) {
  const cells = [
    row.store.padEnd(14),
    String(row.processes).padStart(9),
    String(row.lines).padStart(8),
    String(Math.round(row.turnsPerSecond)).padStart(8),
    row.ratio.toFixed(2).padStart(14),
    row.p50Ms.toFixed(1).padStart(8),
    row.p99Ms.toFixed(1).padStart(8),
    row.p50AtRateMs.toFixed(1).padStart(12),
    row.p99AtRateMs.toFixed(1).padStart(5),
    String(Math.round(row.cpuMicros)).padStart(10),
    row.cpuRatio.toFixed(2).padStart(14),
    (row.redisMicros === null ? '-' : String(Math.round(row.redisMicros))).padStart(12),
  ];
  return cells.join(' ');
}

/** Mothers who answer when they are asked, for a month, through the real turn; in Redis at rest. */
async function bytesOfAMonth(folder, redis, tell, mothers = copies) {
  const file = join(folder, 'month.db');
  const months = await lived(file, { mothers: monthMothers, days: monthDays });
  const db = new Database(file);
  const small = join(folder, 'small.db');
  db.exec(`VACUUM INTO '${small}'`);
  db.close();
  const figures = { SQLite: statSync(small).size / monthMothers };
  const languageOf = ({ state }) => JSON.parse(state).language;
  for (const language of new Set(months.map(languageOf))) {
    const some = months.filter((month) => languageOf(month) === language);
    figures[`Redis, ${language}`] = await bytesInRedis(redis, some, Math.ceil(mothers / 4));
  }
  figures.Redis = await bytesInRedis(redis, months, mothers, tell);
  for (const [store, bytes] of Object.entries(figures))
    tell(`${store.padEnd(14)} ${Math.round(bytes)} bytes a mother with a month of history`);
  return { SQLite: figures.SQLite, Redis: figures.Redis };
}

async function bytesInRedis(redis, months, count, tell) {
  const store = await openAt({ url: redis.url }, 60_000);
  const before = await redis.bytes();
  for (let i = 0; i < count; i += atOnce) {
    await Promise.all(
      Array.from({ length: Math.min(atOnce, count - i) }, (_, k) =>
        store.writeLine(asMother(months[(i + k) % months.length], motherNumber(i + k))),
      ),
    );
  }
  const bytes = await redis.bytes();
  if (tell)
    for (const [kind, sum] of await redis.bytesByKey())
      tell(`  ${kind.padEnd(24)} ${(sum / count).toFixed(0).padStart(5)}`);
  await store.close();
  await redis.empty();
  return (bytes - before) / count;
}
