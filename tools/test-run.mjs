/** `npm run check` and `npm test`: the steps, what this machine cannot run, and the one line that sums it up. */
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromiumPath, redisServerPath } from './programs.mjs';
import { runLoudly, runQuietly } from './run-script.mjs';

/** The gate that needs no tests run: npm scripts, independent of each other, two at a time. */
const still = ['format:check', 'lint', 'types', 'rooms', 'dead', 'content'];
const quick = { script: 'test:quick', tests: true, lacks: () => undefined };
/** What stands together runs together: the faults mostly wait for a lease or a restart. The bench needs the machine to itself. */
const slow = [
  [{ script: 'test:journeys', tests: true, lacks: () => undefined }],
  [
    { script: 'test:faults', tests: true, lacks: () => undefined },
    {
      script: 'test:browser',
      tests: true,
      lacks: () => (chromiumPath() === undefined ? 'no Chromium was found' : undefined),
    },
  ],
  [{ script: 'bench', args: ['--', '--floor'], tests: false, lacks: () => undefined }],
];

const inCi = /^(1|true)$/i.test(process.env.CI ?? '');
const say = (words) => process.stdout.write(`${words}\n`);

function newTally() {
  return { passed: 0, failures: [], skips: [] };
}

async function runStill(tally) {
  const waiting = [...still];
  const worker = async () => {
    for (let script = waiting.shift(); script !== undefined; script = waiting.shift()) {
      const { code, output, seconds } = await runQuietly(script);
      say(`${code === 0 ? 'ok    ' : 'FAILED'} ${script} (${seconds} s)`);
      if (code !== 0) {
        say(output.trimEnd());
        tally.failures.push(`npm run ${script}`);
      }
    }
  };
  await Promise.all([worker(), worker()]);
}

/** Adds what Vitest reported. A file that could not be loaded has no tests in it, and counts as one failure. */
function addResults(tally, script, code, path) {
  const results = existsSync(path) ? JSON.parse(readFileSync(path, 'utf8')) : { testResults: [] };
  const before = tally.failures.length;
  for (const file of results.testResults) {
    const name = file.name.slice(file.name.lastIndexOf('/tests/') + 1);
    for (const test of file.assertionResults) {
      const title = `${name}: ${test.fullName}`;
      if (test.status === 'passed') tally.passed += 1;
      else if (test.status === 'failed') tally.failures.push(title);
      else tally.skips.push(title);
    }
    if (file.status === 'failed' && !file.assertionResults.some((test) => test.status === 'failed'))
      tally.failures.push(name);
  }
  if (code !== 0 && tally.failures.length === before) tally.failures.push(`npm run ${script}`);
}

async function runStep(tally, step) {
  const lack = step.lacks();
  if (lack !== undefined) {
    tally.skips.push(`${step.script}: ${lack}`);
    return;
  }
  const folder = mkdtempSync(join(tmpdir(), 'eightfeeds-results-'));
  try {
    const path = join(folder, 'results.json');
    say(`\n${step.script}`);
    const code = await runLoudly(step.script, step.args ?? [], {
      TEST_RESULTS: path,
      ...(chromiumPath() === undefined ? {} : { CHROMIUM: chromiumPath() }),
    });
    if (step.tests) addResults(tally, step.script, code, path);
    else if (code !== 0) tally.failures.push(`npm run ${step.script}`);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Prints what failed, what was skipped and why, and last the count. In CI a skip is a failure. */
function sumUp(tally) {
  const lackOfRedis =
    redisServerPath() === undefined ? ' (no redis-server was found: what needs one was left out)' : '';
  if (tally.failures.length > 0) say(`\nFailed:\n${tally.failures.map((line) => `  ${line}`).join('\n')}`);
  if (tally.skips.length > 0 || lackOfRedis !== '') {
    say(`\nSkipped${lackOfRedis}:\n${tally.skips.map((line) => `  ${line}`).join('\n')}`);
    if (inCi) say('With CI=true nothing may be skipped, so each of these counts as failed.');
  }
  const forgone = inCi ? tally.skips.length + (lackOfRedis === '' ? 0 : 1) : 0;
  const failed = tally.failures.length + forgone;
  say(`\n${tally.passed} passed, ${failed} failed`);
  return failed === 0 ? 0 : 1;
}

/** The gate: format, lint, types, rooms, dead exports, content, quick tests. Goes on after a failure, to show all of them. */
export async function runCheck() {
  const tally = newTally();
  await runStill(tally);
  await runStep(tally, quick);
  return sumUp(tally);
}

/** The gate, then everything slower that this machine can run. */
export async function runTest() {
  const tally = newTally();
  await runStill(tally);
  for (const steps of [[quick], ...slow]) await Promise.all(steps.map((step) => runStep(tally, step)));
  return sumUp(tally);
}
