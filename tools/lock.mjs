/** A lock between processes, kept as a file. The holder touches it every second, so a dead holder's lock is known by its age. */
import { linkSync, readFileSync, renameSync, rmSync, statSync, utimesSync, writeFileSync } from 'node:fs';
import { setTimeout as pause } from 'node:timers/promises';

const touchMs = 1_000;
// Taken over late rather than early: two installs at once spoil node_modules, while waiting costs only seconds.
const abandonedMs = 20_000;
const retryMs = 100;

function isAlive(pid) {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return error.code === 'EPERM';
  }
}

/** The lock's content if its holder is gone, or undefined while it is held or nobody holds it. */
function abandonedContent(file) {
  try {
    const content = readFileSync(file, 'utf8');
    const ageMs = Date.now() - statSync(file).mtimeMs;
    const pid = Number.parseInt(content, 10);
    return ageMs > abandonedMs || (ageMs > touchMs && !isAlive(pid)) ? content : undefined;
  } catch (error) {
    if (error.code === 'ENOENT') return undefined;
    throw error;
  }
}

/** Takes an abandoned lock away. If somebody took it in between, it is put back. */
function clear(file, content) {
  const aside = `${file}.${process.pid}.tmp`;
  try {
    renameSync(file, aside);
    if (readFileSync(aside, 'utf8') !== content) linkSync(aside, file);
  } catch (error) {
    if (error.code !== 'ENOENT' && error.code !== 'EEXIST') throw error;
  } finally {
    rmSync(aside, { force: true });
  }
}

/** Runs `work` while no other process holds the lock `file`; waits for as long as that takes. */
export async function withLock(file, work) {
  const content = `${process.pid} ${Date.now()}\n`;
  for (;;) {
    try {
      writeFileSync(file, content, { flag: 'wx' });
      break;
    } catch (error) {
      if (error.code !== 'EEXIST') throw error;
    }
    const left = abandonedContent(file);
    if (left === undefined) await pause(retryMs);
    else clear(file, left);
  }
  const release = () => rmSync(file, { force: true });
  const touching = setInterval(() => utimesSync(file, new Date(), new Date()), touchMs).unref();
  process.once('exit', release);
  try {
    return await work();
  } finally {
    clearInterval(touching);
    process.removeListener('exit', release);
    release();
  }
}
