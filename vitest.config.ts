import { defineConfig } from 'vitest/config'
import './tests/compile-cache.ts'

export default defineConfig({
  test: {
    include: ['tests/{unit,published,engine,cli,security,faults}/**/*.test.ts'],
    setupFiles: ['tests/setup.ts'],
    // Files share what is loaded, which halves the time; each test makes its own engine, stores and folders.
    isolate: false,
    // Vitest would leave one processor to others, which on two is half of them.
    maxWorkers: 2,
    testTimeout: 20_000,
  },
})
