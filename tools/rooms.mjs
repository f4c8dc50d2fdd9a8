/** Checks the direction of imports between rooms. Fails too if it looked at fewer modules than `src` has: then it proves nothing. */
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { cruise } from 'dependency-cruiser';
import extractTSConfig from 'dependency-cruiser/config-utl/extract-ts-config';
import rules from '../.dependency-cruiser.mjs';
import { root } from './prepare.mjs';

process.chdir(root);
const { options, ...ruleSet } = rules;
const { output } = await cruise(['src'], { ...options, ruleSet, validate: true }, undefined, {
  tsConfig: extractTSConfig('tsconfig.json'),
});

const files = readdirSync('src', { withFileTypes: true, recursive: true })
  .filter((entry) => entry.isFile() && /\.(ts|m?js)$/.test(entry.name))
  .map((entry) => join(entry.parentPath, entry.name).replaceAll('\\', '/'));
const cruised = new Set(output.modules.map((module) => module.source));
const missed = files.filter((file) => !cruised.has(file));
const unresolved = output.modules.flatMap((module) =>
  module.dependencies
    .filter((to) => to.couldNotResolve)
    .map((to) => `${module.source} imports ${to.module}, which is not there`),
);

const comments = new Map(ruleSet.forbidden.map((rule) => [rule.name, rule.comment]));
const problems = output.summary.violations.map(({ from, to, rule, cycle }) => {
  const way = cycle === undefined ? [from, to] : [from, ...cycle.map((step) => step.name)];
  // An orphan is told as a way from itself to itself.
  const path = (from === to ? [from] : way).join(' -> ');
  return `${rule.name}: ${path}\n    ${comments.get(rule.name)}`;
});
problems.push(
  ...missed.map((file) => `not looked at: ${file}\n    A file the cruise does not see can import anything.`),
  ...unresolved,
);

if (problems.length > 0) process.stderr.write(`${problems.join('\n')}\n`);
process.stdout.write(
  `rooms: ${files.length - missed.length} of ${files.length} modules looked at, ${problems.length} problems\n`,
);
process.exitCode = problems.length === 0 && files.length > 0 ? 0 : 1;
