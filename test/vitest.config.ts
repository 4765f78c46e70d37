import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

// Tests run on the packages' sources, so a failing line points at code that can be edited.
const conditions = ['@oddside/source', 'module', 'node', 'import', 'default'];

export default defineConfig({
  resolve: { conditions },
  ssr: { resolve: { conditions } },
  test: {
    root: fileURLToPath(new URL('.', import.meta.url)),
    include: ['**/*.test.ts'],
    testTimeout: 60_000,
    hookTimeout: 60_000,
    // All cores: most of the time goes into a few files that cast columns for minutes.
    maxWorkers: '100%',
    reporters: ['default'],
  },
});
