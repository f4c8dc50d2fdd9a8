/** Programs that some tests need and that npm does not bring. */
import { accessSync, constants } from 'node:fs';
import { delimiter, join } from 'node:path';

function canRun(path) {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

function firstOnPath(names) {
  const folders = (process.env.PATH ?? '').split(delimiter);
  return names.flatMap((name) => folders.map((folder) => join(folder, name))).find(canRun);
}

/** Where Chromium is: `CHROMIUM` if set, else the first one on the PATH. Undefined if there is none. */
export function chromiumPath() {
  const named = process.env.CHROMIUM;
  if (named) return canRun(named) ? named : undefined;
  return firstOnPath(['chromium', 'chromium-browser', 'google-chrome-stable', 'google-chrome']);
}

/** Where redis-server is: the first one on the PATH. Undefined if there is none. */
export function redisServerPath() {
  return firstOnPath(['redis-server']);
}
