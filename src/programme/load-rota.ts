import { readFileSync } from 'node:fs';
import { parseDocument } from 'yaml';
import { areasKnown, isSameArea } from '../counsel/area.ts';
import { readRota, type RotaFile } from '../counsel/rota-file.ts';
import type { Programme } from '../dialog/world.ts';
import { ConfigError } from '../errors.ts';

/**
 * Reads a rota file.
 * @param languages what the line speaks
 * @throws ConfigError with every problem, a sentence each
 */
export function loadRota(path: string, languages: readonly string[]): RotaFile {
  let text: string;
  try {
    text = readFileSync(path, 'utf8');
  } catch (cause) {
    const code = (cause as NodeJS.ErrnoException).code ?? 'unknown fault';
    throw new ConfigError([`${path}: the rota file cannot be read (${code}).`]);
  }
  const document = parseDocument(text);
  const wrong = document.errors[0];
  if (wrong !== undefined) throw new ConfigError([`${path}: ${wrong.message}`]);
  return readRota(document.toJS(), path, languages);
}

/**
 * The programme with the counsellors and the plan of its rota file, where it has one.
 * @throws ConfigError also when mothers would be placed in an area that no counsellor has: their alerts would reach the lead only
 */
export function withRota(
  programme: Programme,
  path: string | undefined,
  languages: readonly string[],
): Programme {
  if (path === undefined) return programme;
  const { counsellors, plan } = loadRota(path, languages);
  const { area } = programme;
  const areas = areasKnown({ counsellors });
  if (area !== undefined && areas.length > 0 && !areas.some((one) => isSameArea(one, area)))
    throw new ConfigError([
      `AREA is "${area}", but no counsellor of ${path} works there; there are ${areas.join(', ')}.`,
    ]);
  return { ...programme, counsellors, rota: plan };
}
