import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

/** Tests that look at a real browser or kernel and how soon it answers: `npm test` runs them alone, when all others are done. */
const watched = ['browser', 'files', 'inputs', 'kernel', 'page'].map((folder) => `tests/${folder}/**/*.test.ts`);

export default defineConfig({
  resolve: {
    alias: {
      'blankoff/notebook': here('kernel-helpers/notebook.ts'),
      blankoff: here('src/index.ts'),
    },
  },
  test: {
    testTimeout: 60_000,
    hookTimeout: 120_000,
    projects: [
      {
        extends: true,
        test: {
          name: 'side by side',
          include: ['tests/**/*.test.ts'],
          exclude: watched,
        },
      },
      {
        extends: true,
        test: {
          name: 'one by one',
          include: watched,
        },
      },
    ],
  },
});
