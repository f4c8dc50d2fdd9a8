import type { Programme } from '../dialog/world.ts';
import { ConfigError } from '../errors.ts';

/** @throws ConfigError when the programme or a counsellor is set to a language that the line does not write */
export function requireLanguages(programme: Programme, languages: readonly string[]): void {
  const known = languages.join(', ');
  const problems = [
    ...(languages.includes(programme.language)
      ? []
      : [`LANGUAGE "${programme.language}" is not a language of the line: ${known}.`]),
    ...programme.counsellors
      .filter((c) => !languages.includes(c.language))
      .map((c) => `COUNSELLORS: "${c.id}" has the language "${c.language}"; the line has ${known}.`),
  ];
  if (problems.length > 0) throw new ConfigError(problems);
}
