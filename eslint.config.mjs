/** Lint for what types and format cannot see: promises nobody waits for, and a clock read where time must be a value. */
import { defineConfig } from 'eslint/config';
import tseslint from 'typescript-eslint';

const rooms = (...names) => names.map((name) => `src/${name}/**/*.ts`);

const atAnyTime = 'The same turn run again must give the same result: take `now` or the id as an argument.';
const noClockProperties = [
  { object: 'Date', property: 'now', message: atAnyTime },
  { object: 'performance', property: 'now', message: atAnyTime },
  { object: 'Math', property: 'random', message: atAnyTime },
  { object: 'crypto', property: 'randomUUID', message: atAnyTime },
  { object: 'crypto', property: 'randomBytes', message: atAnyTime },
  { object: 'crypto', property: 'getRandomValues', message: atAnyTime },
  { object: 'process', property: 'hrtime', message: atAnyTime },
];
const noClockSyntax = [
  { selector: "NewExpression[callee.name='Date'][arguments.length=0]", message: atAnyTime },
  { selector: "CallExpression[callee.name='Date']", message: atAnyTime },
];
const noImports = (...modules) => ['error', { paths: modules }];
const seenByLint = { name: 'node:process', message: 'Use the global `process`, which lint can see.' };
const noClockImports = [
  {
    name: 'node:crypto',
    importNames: ['randomUUID', 'randomBytes', 'randomInt', 'webcrypto'],
    message: atAnyTime,
  },
  { name: 'node:perf_hooks', message: atAnyTime },
  { name: 'node:timers', message: atAnyTime },
  { name: 'node:timers/promises', message: atAnyTime },
];
const noEnvironment = {
  object: 'process',
  property: 'env',
  message:
    'Only src/config.ts, src/main.ts and the commands read the environment: ask for the setting as an argument.',
};
const namedExportsOnly = {
  selector: 'ExportDefaultDeclaration',
  message: 'Named exports only: one name for one thing.',
};
const noStateOfModules = {
  selector:
    "Program > VariableDeclaration[kind='let'], Program > ExportNamedDeclaration > VariableDeclaration[kind='let']",
  message: 'A module keeps no state: two lines, or two tests, would share it.',
};

export default defineConfig(
  { ignores: ['dist/**', 'dist.*/**', 'data/**', 'coverage/**'] },
  {
    linterOptions: { reportUnusedDisableDirectives: 'error' },
    rules: {
      eqeqeq: 'error',
      'no-var': 'error',
      'prefer-const': 'error',
      'no-debugger': 'error',
      'no-self-compare': 'error',
    },
  },
  {
    files: ['src/**/*.ts', 'tests/**/*.ts', '*.ts'],
    languageOptions: {
      parser: tseslint.parser,
      parserOptions: { project: './tsconfig.json', tsconfigRootDir: import.meta.dirname },
    },
    plugins: { '@typescript-eslint': tseslint.plugin },
    rules: {
      '@typescript-eslint/await-thenable': 'error',
      '@typescript-eslint/consistent-type-imports': 'error',
      '@typescript-eslint/no-explicit-any': 'error',
      '@typescript-eslint/no-floating-promises': 'error',
      '@typescript-eslint/no-misused-promises': 'error',
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_' }],
      '@typescript-eslint/only-throw-error': 'error',
      // In an async function a bare `return promise` inside try escapes its catch.
      '@typescript-eslint/return-await': ['error', 'error-handling-correctness-only'],
      '@typescript-eslint/switch-exhaustiveness-check': [
        'error',
        { considerDefaultExhaustiveForUnions: true },
      ],
    },
  },
  {
    files: ['src/**/*.ts'],
    rules: {
      'no-console': 'error',
      'no-restricted-properties': ['error', noEnvironment],
      'no-restricted-imports': noImports(seenByLint),
      'no-restricted-syntax': ['error', namedExportsOnly, noStateOfModules],
    },
  },
  {
    files: rooms('dialog', 'care', 'language', 'counsel', 'outreach'),
    rules: {
      'no-restricted-imports': noImports(seenByLint, ...noClockImports),
      'no-restricted-properties': ['error', noEnvironment, ...noClockProperties],
      'no-restricted-syntax': ['error', namedExportsOnly, noStateOfModules, ...noClockSyntax],
    },
  },
  {
    files: rooms('dialog', 'care', 'language'),
    rules: {
      'no-restricted-globals': [
        'error',
        ...['setTimeout', 'setInterval', 'setImmediate', 'queueMicrotask', 'fetch'].map((name) => ({
          name,
          message: 'Waiting is a due time in the store, and a pure room asks nobody.',
        })),
      ],
    },
  },
  {
    files: ['src/config.ts', 'src/main.ts', 'src/cli/**/*.ts'],
    rules: { 'no-restricted-properties': 'off' },
  },
  { files: ['src/cli/**/*.ts'], rules: { 'no-console': 'off' } },
);
