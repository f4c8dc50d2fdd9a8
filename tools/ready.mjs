/**
 * The way in from a clone: makes the project ready (packages, build), then does what was asked.
 *
 *   node tools/ready.mjs start | build | check | test | bench | stand-in | eightfeeds <command>
 *
 * Needs only Node: everything imported before `prepare` has run is built in. Preparing writes to stderr alone, so that stdout
 * belongs to whatever is run.
 */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build, buildStandIn, install, root } from './prepare.mjs';
import { runCheck, runTest } from './test-run.mjs';

const oldestNode = [20, 19];

/** Runs a program of ours in this very process, so that signals, stdin, stdout and the exit code are its own. */
async function become(script, args) {
  process.argv = [process.argv[0], script, ...args];
  await import(pathToFileURL(script).href);
}

/**
 * npm puts a shell between itself and us, and a shell that is told to stop does not pass it on. When that shell is gone we
 * stop as if we had been told, so that stopping `npm start` never leaves a server behind.
 */
function stopWithParent() {
  const parent = process.ppid;
  const timer = setInterval(() => {
    if (process.ppid === parent) return;
    clearInterval(timer);
    process.kill(process.pid, 'SIGTERM');
  }, 250);
  timer.unref();
}

const commands = {
  start: async (args) => {
    await install();
    await build();
    if (process.env.npm_lifecycle_event !== undefined) stopWithParent();
    await become(join(root, 'dist', 'main.js'), args);
  },
  eightfeeds: async (args) => {
    await install();
    await build();
    await become(join(root, 'dist', 'cli', 'eightfeeds.js'), args);
  },
  build: async () => {
    await install();
    await build();
  },
  bench: async (args) => {
    await install();
    await build();
    await become(join(root, 'tests', 'bench', 'bench.mjs'), args);
  },
  'stand-in': async (args) => {
    await install();
    if (process.env.npm_lifecycle_event !== undefined) stopWithParent();
    await become(await buildStandIn(), args);
  },
  check: async () => {
    await install();
    process.exitCode = await runCheck();
  },
  test: async () => {
    await install();
    process.exitCode = await runTest();
  },
};

const [major, minor] = process.versions.node.split('.').map(Number);
const [name, ...args] = process.argv.slice(2);
const command = Object.hasOwn(commands, name ?? '') ? commands[name] : undefined;

if (major < oldestNode[0] || (major === oldestNode[0] && minor < oldestNode[1])) {
  process.stderr.write(
    `Eightfeeds needs Node ${oldestNode.join('.')} or later; this is ${process.versions.node}.\n`,
  );
  process.exitCode = 1;
} else if (command === undefined || !existsSync(join(root, 'package.json'))) {
  process.stderr.write(`usage: node tools/ready.mjs ${Object.keys(commands).join(' | ')}\n`);
  process.exitCode = 2;
} else {
  await command(args);
}
