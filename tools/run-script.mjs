/** Runs an npm script of this project, aloud or with its output kept. Stops it when we are told to stop. */
import { spawn } from 'node:child_process';
import { root } from './prepare.mjs';

function start(script, args, stdio, env) {
  const child = spawn('npm', ['run', '--silent', script, ...args], {
    cwd: root,
    stdio,
    env: { ...process.env, ...env },
    shell: process.platform === 'win32',
  });
  const pass = (signal) => child.kill(signal);
  const signals = ['SIGTERM', 'SIGHUP', 'SIGINT'];
  for (const signal of signals) process.once(signal, pass);
  const ended = new Promise((resolve, reject) => {
    child.once('error', reject);
    child.once('close', (code, signal) => {
      for (const name of signals) process.removeListener(name, pass);
      // Stopped from outside: the run is over, not failed step by step.
      if (signal !== null) process.exit(1);
      resolve(code ?? 1);
    });
  });
  return { child, ended };
}

/** Runs with the terminal's own output; resolves to the exit code. */
export function runLoudly(script, args, env) {
  return start(script, args, 'inherit', env).ended;
}

/** Runs and keeps what it wrote, so that two at a time can be read. */
export async function runQuietly(script) {
  const from = Date.now();
  const { child, ended } = start(script, [], ['ignore', 'pipe', 'pipe'], {});
  let output = '';
  for (const stream of [child.stdout, child.stderr]) {
    stream.setEncoding('utf8').on('data', (text) => {
      output += text;
    });
  }
  const code = await ended;
  return { code, output, seconds: ((Date.now() - from) / 1000).toFixed(1) };
}
