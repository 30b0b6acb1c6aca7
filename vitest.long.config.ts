import { defineConfig, mergeConfig } from 'vitest/config'
import endToEnd from './vitest.e2e.config.ts'

/** Long counts: kills, coverage of intervals, fuzzing, packaging. Their figures are for reading, their bounds for failing. */
export default mergeConfig(
  { ...endToEnd, test: { ...endToEnd.test, include: [] } },
  defineConfig({ test: { include: ['tests/long/**/*.test.ts'], testTimeout: 30 * 60_000 } }),
)
