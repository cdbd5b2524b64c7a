// SPDX-License-Identifier: Apache-2.0
// Browser tests: Debian's Chromium against the program itself, with a data folder of their own.
import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['e2e/**/*.e2e.ts'],
    globalSetup: 'e2e/set_up.ts',
    environment: 'node',
    fileParallelism: false,
    pool: 'threads',
    poolOptions: { threads: { singleThread: true } },
    isolate: false,
    testTimeout: 60_000,
    hookTimeout: 60_000,
  },
});
