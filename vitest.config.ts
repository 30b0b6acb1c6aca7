import { defineConfig } from 'vitest/config'

export default defineConfig({
  test: {
    include: ['tests/{unit,published,engine,cli,security,faults}/**/*.test.ts'],
    setupFiles: ['tests/setup.ts'],
    // Files share what is loaded, which halves the time; each test makes its own engine, stores and folders.
    isolate: false,
    testTimeout: 20_000,
  },
})
