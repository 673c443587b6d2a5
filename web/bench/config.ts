// Benchmarks run like page tests, in a browser against the real program, but only when asked for: `npm run bench`.

import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    name: 'bench',
    environment: 'node',
    include: ['bench/*.ts'],
    exclude: ['bench/config.ts'],
    globalSetup: ['test/page/setup.ts'],
    testTimeout: 300_000,
    hookTimeout: 60_000,
  },
});
