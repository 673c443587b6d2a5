// How the page is built, served while it is written, and tested.

import { defineConfig } from 'vitest/config';

// A running `dryfit serve`, for `npm run dev`.
const server = process.env['DRYFIT_URL'] ?? 'http://127.0.0.1:8420';

const jsx = { jsx: { runtime: 'automatic', importSource: 'preact' } } as const;

export default defineConfig({
  oxc: jsx,
  build: {
    target: 'es2023',
    // The worker keeps every file of it for when the server is out of reach.
    manifest: 'files.json',
    rollupOptions: {
      input: { page: 'index.html', worker: 'src/worker.ts' },
      // A worker rules what lies below its own address.
      output: {
        entryFileNames: ({ name }) => (name === 'worker' ? 'worker.js' : 'assets/[name]-[hash].js'),
      },
    },
    // Older targets would have light-dark() rewritten so that a sheet's preview, which is always
    // light, takes the colours of the page around it.
    cssTarget: ['chrome123', 'firefox120', 'safari17.5'],
    // Inlined files would be data: URLs, which the page's policy refuses for anything but pictures.
    assetsInlineLimit: 0,
    // Polyfilling preloads needs no inline script, but no browser in use lacks them.
    modulePreload: { polyfill: false },
    // The 3-D view's library is larger than the rest together and comes only when it is asked for;
    // test/unit/size.test.ts holds what a page loads at first.
    chunkSizeWarningLimit: 800,
  },
  server: {
    // The server refuses changes whose Origin is not its own.
    proxy: { '/api': { target: server, changeOrigin: true, headers: { origin: server } } },
  },
  test: {
    projects: [
      {
        oxc: jsx,
        test: { name: 'unit', environment: 'happy-dom', include: ['test/unit/**/*.test.{ts,tsx}'] },
      },
      {
        test: {
          name: 'page',
          environment: 'node',
          include: ['test/page/**/*.test.ts'],
          // A page test waits for a browser, a server and a proof.
          testTimeout: 60_000,
          hookTimeout: 60_000,
          globalSetup: ['test/page/setup.ts'],
          // Two cores: browsers side by side only make each other late.
          fileParallelism: false,
          // As long as harness.ts waits for a page: on two busy cores a save takes more than the usual second.
          expect: { poll: { timeout: 30_000 } },
        },
      },
    ],
  },
});
