import { defineConfig } from 'vitest/config'

/** Long counts: kills, coverage of intervals, fuzzing. Their figures are for reading, their bounds for failing. */
export default defineConfig({
  test: {
    include: ['tests/long/**/*.test.ts'],
    setupFiles: ['tests/setup.ts'],
    testTimeout: 30 * 60_000,
  },
})
