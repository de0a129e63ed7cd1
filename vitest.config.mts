import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

/** Tests that look at a real browser or kernel and how soon it answers: one after the other, when all others are done. */
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
          sequence: { groupOrder: 0 },
          poolOptions: { forks: { minForks: 1, maxForks: 2 } },
        },
      },
      {
        extends: true,
        test: {
          name: 'one by one',
          include: watched,
          sequence: { groupOrder: 1 },
          poolOptions: { forks: { minForks: 1, maxForks: 1 } },
        },
      },
    ],
  },
});
