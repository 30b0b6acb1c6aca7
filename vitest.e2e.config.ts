import { defineConfig } from 'vitest/config'
import './tests/compile-cache.ts'
import { findChromium, hasDisplay } from './build/browser.js'
import { environmentFor, findElectron } from './build/electron.js'

const electron = hasDisplay() ? findElectron() : null

/**
 * Tests that drive the page: in a Chromium, and in Electron's own window. They need the bundles of dist/ and go by
 * the two variables, which are empty where the machine lacks the one or the other.
 */
export default defineConfig({
  test: {
    include: [
      'tests/e2e/*.test.ts',
      'tests/security/**/*.e2e.ts',
      // What goes over one thing in all its corners, with the other long counts.
      ...(process.env.EVENFILM_TEST_LONG ? ['tests/e2e/long/*.test.ts'] : []),
    ],
    setupFiles: ['tests/setup.ts'],
    // Files share the engine's modules and one Chromium; each opens a database and a context of its own.
    isolate: false,
    testTimeout: 60_000,
    hookTimeout: 60_000,
    expect: { poll: { timeout: 20_000 } },
    maxWorkers: 2,
    env: {
      EVENFILM_TEST_BROWSER: process.env.EVENFILM_TEST_BROWSER ?? findChromium() ?? '',
      EVENFILM_TEST_ELECTRON: process.env.EVENFILM_TEST_ELECTRON ?? electron?.executable ?? '',
      EVENFILM_ENGINE_NODE: (electron && environmentFor(electron).EVENFILM_ENGINE_NODE) ?? '',
    },
  },
})
