import { readFileSync, rmSync } from 'node:fs'
import { join } from 'node:path'

/** Another Electron than the one that electron-builder would download, for tests: a folder with its files. */
const electronDist = process.env.ELECTRON_OVERRIDE_DIST_PATH

/**
 * What electron-builder packs, and how: the bundles in an archive, and beside it what a process other than
 * Electron's own must be able to read, the engine with its worker and the database library. Page libraries are in the bundles.
 */
export default {
  appId: 'app.evenfilm.desktop',
  productName: 'Evenfilm',
  copyright: 'MIT licence',
  directories: { output: 'release', buildResources: 'build/resources' },
  ...(electronDist
    ? {
        electronDist,
        electronVersion: readFileSync(join(electronDist, 'version'), 'utf8').trim().replace(/^v/, ''),
      }
    : {}),
  // better-sqlite3 brings one binary for Node and Electron alike: nothing is compiled.
  npmRebuild: false,
  nodeGypRebuild: false,
  files: [
    'package.json',
    'dist/*.cjs',
    'dist/page/**',
    'dist/LICENCES.txt',
    '!node_modules/better-sqlite3/{deps,src,binding.gyp}',
    '!node_modules/better-sqlite3/prebuilds/*',
    // biome-ignore lint/suspicious/noTemplateCurlyInString: electron-builder fills it in
    'node_modules/better-sqlite3/prebuilds/${platform}-${arch}.node',
    '!node_modules/node-addon-api',
    '!**/*.{md,map,d.ts}',
  ],
  asar: true,
  asarUnpack: ['dist/{engine,worker}.cjs', 'node_modules/better-sqlite3/**'],
  electronFuses: {
    runAsNode: false,
    enableNodeOptionsEnvironmentVariable: false,
    enableNodeCliInspectArguments: false,
    enableEmbeddedAsarIntegrityValidation: true,
    onlyLoadAppFromAsar: true,
    enableCookieEncryption: true,
  },
  // A test Electron brings a launcher of its own, which would be loaded in place of the archive.
  afterPack: ({ appOutDir, packager }) =>
    rmSync(join(packager.getResourcesDir(appOutDir), 'app'), { recursive: true, force: true }),
  win: {
    target: [
      { target: 'nsis', arch: ['x64'] },
      { target: 'portable', arch: ['x64'] },
    ],
  },
  nsis: { oneClick: false, perMachine: false, allowToChangeInstallationDirectory: true },
  mac: {
    target: [{ target: 'dmg', arch: ['x64', 'arm64'] }],
    category: 'public.app-category.productivity',
    darkModeSupport: true,
  },
  linux: {
    target: ['AppImage', 'deb', 'tar.gz'].map((target) => ({ target, arch: ['x64'] })),
    category: 'Science',
    maintainer: 'Evenfilm',
    synopsis: 'Plan, run and judge spin-coat-and-bake experiments',
  },
}
