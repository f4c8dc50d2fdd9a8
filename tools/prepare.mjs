/** Packages and build, made ready only when they are not. Safe when several processes prepare at once. */
import { spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  cpSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { dirname, extname, join, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { withLock } from './lock.mjs';

export const root = dirname(dirname(fileURLToPath(import.meta.url)));

const inRoot = (...parts) => join(root, ...parts);
const lockFile = inRoot('.preparing.lock');
const say = (words) => process.stderr.write(`${words}\n`);

/** Something the person at the terminal can mend: told in one line, without a stack. */
function giveUp(words) {
  say(words);
  process.exit(1);
}

/** Runs a program with its stdout sent to our stderr. Resolves to its exit code; a signal counts as 1. */
function run(program, args) {
  return new Promise((resolve, reject) => {
    const child = spawn(program, args, {
      cwd: root,
      stdio: ['ignore', 2, 2],
      shell: process.platform === 'win32' && program === 'npm',
    });
    child.once('error', reject);
    child.once('exit', (code) => resolve(code ?? 1));
  });
}

const readJson = (path) => JSON.parse(readFileSync(path, 'utf8'));

/**
 * Whether `node_modules` holds what the lock file asks for, by name and version. Times of files are not looked at: a fresh
 * checkout has new times on old content. Optional packages may be absent, as they are on other platforms.
 */
function packagesMatch() {
  const installed = inRoot('node_modules', '.package-lock.json');
  if (!existsSync(installed)) return false;
  const have = readJson(installed).packages;
  return Object.entries(readJson(inRoot('package-lock.json')).packages).every(
    ([path, wanted]) =>
      path === '' || wanted.optional || wanted.devOptional || have[path]?.version === wanted.version,
  );
}

/** Installs the packages of the lock file if they are not there. */
export async function install() {
  if (packagesMatch()) return;
  await withLock(lockFile, async () => {
    if (packagesMatch()) return;
    say('eightfeeds: installing packages (once; about a minute)');
    const npm = process.env.npm_execpath;
    const args = ['ci', '--include=dev', '--no-audit', '--no-fund', '--loglevel=error'];
    // npm names itself in npm_execpath; other package managers do too, and they do not know `ci`.
    const code =
      npm !== undefined && /npm-cli\.c?js$/.test(npm)
        ? await run(process.execPath, [npm, ...args])
        : await run('npm', args);
    if (code !== 0) giveUp('eightfeeds: the packages could not be installed; what npm said is above');
  });
}

function filesUnder(folder) {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name))
    .sort();
}

/** A digest of everything the build reads: names and contents, so that a deleted or renamed file counts as a change. */
function sourceDigest() {
  const digest = createHash('sha256');
  for (const file of [
    ...filesUnder(inRoot('src')),
    inRoot('tsconfig.json'),
    inRoot('tsconfig.build.json'),
    inRoot('package-lock.json'),
  ]) {
    const content = readFileSync(file);
    digest.update(`${relative(root, file).split(sep).join('/')}\n${content.length}\n`).update(content);
  }
  return digest.digest('hex');
}

const stamp = inRoot('dist', '.built-from');
const isBuiltFrom = (digest) => existsSync(stamp) && readFileSync(stamp, 'utf8') === digest;

/**
 * Builds `dist` from `src` if it was built from something else. The new build is made beside the old one and takes its place
 * at the end, so nobody ever starts half a build.
 */
export async function build() {
  if (isBuiltFrom(sourceDigest())) return;
  await withLock(lockFile, async () => {
    const digest = sourceDigest();
    if (isBuiltFrom(digest)) return;
    for (const left of readdirSync(root).filter((name) => /^dist\.(new|old)-/.test(name))) {
      rmSync(inRoot(left), { recursive: true, force: true });
    }
    say('eightfeeds: building');
    const fresh = inRoot(`dist.new-${process.pid}`);
    const tsc = inRoot('node_modules', 'typescript', 'bin', 'tsc');
    const code = await run(process.execPath, [tsc, '-p', 'tsconfig.build.json', '--outDir', fresh]);
    if (code !== 0) {
      rmSync(fresh, { recursive: true, force: true });
      giveUp('eightfeeds: the build failed; what the compiler said is above');
    }
    // Pages, styles and scripts for the store go along with the code that reads them.
    for (const file of filesUnder(inRoot('src')).filter((path) => extname(path) !== '.ts')) {
      const target = join(fresh, relative(inRoot('src'), file));
      mkdirSync(dirname(target), { recursive: true });
      cpSync(file, target);
    }
    writeFileSync(join(fresh, '.built-from'), digest);
    const old = inRoot(`dist.old-${process.pid}`);
    if (existsSync(inRoot('dist'))) renameSync(inRoot('dist'), old);
    renameSync(fresh, inRoot('dist'));
    rmSync(old, { recursive: true, force: true });
  });
}

/** Compiles the stand-in for the carrier's API beside `dist`; it is not part of the line. Gives the script to run. */
export async function buildStandIn() {
  const tsc = inRoot('node_modules', 'typescript', 'bin', 'tsc');
  const folder = inRoot('tests', 'stand-in');
  if ((await run(process.execPath, [tsc, '-p', join(folder, 'tsconfig.json')])) !== 0)
    giveUp('eightfeeds: the stand-in could not be built; what the compiler said is above');
  return inRoot('dist.stand-in', 'run.js');
}
