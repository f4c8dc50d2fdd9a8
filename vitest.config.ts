import { defineConfig } from 'vitest/config';

/** Projects from quick to slow. `quick` is part of the gate; the rest need a server process, Chromium or minutes. */
const project = (name: string, include: string[], testTimeout: number, exclude: string[] = []) => ({
  test: { name, include, exclude, testTimeout, hookTimeout: 60_000, pool: 'forks' as const },
});

/** Where `npm test` wants the results as JSON, to add them up over the projects. */
const resultsPath = process.env.TEST_RESULTS;

export default defineConfig({
  test: {
    reporters: resultsPath === undefined ? ['default'] : ['default', ['json', { outputFile: resultsPath }]],
    projects: [
      project('quick', ['tests/**/*.test.ts'], 20_000, ['tests/{journeys,browser,faults,bench}/**']),
      project('journeys', ['tests/journeys/**/*.test.ts'], 120_000),
      project('faults', ['tests/faults/**/*.test.ts'], 240_000),
      project('browser', ['tests/browser/**/*.test.ts'], 180_000),
    ],
  },
});
